"""A receipt from the shop: lines for the truck or for jobs, and its sales tax shared over them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal

from domain.errors import NotUnderstood, as_typed
from domain.money import line_cents, parse_unit_cost
from domain.quoting.typed import Picks, material_values
from domain.units.numbers import parse_quantity

TRUCK = "truck"


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """One line as it is typed. ``job_id`` None: onto the truck, or, for what is not on the price list, just bought."""

    id: int
    item_id: int | None = None
    description: str = ""
    quantity: Decimal = Decimal(1)
    unit: str = "each"
    unit_cost: Decimal | None = None  # dollars paid for one unit; None: still to be typed
    job_id: int | None = None

    @property
    def cents(self) -> int:
        """What the line comes to without tax."""
        return 0 if self.unit_cost is None else line_cents(self.quantity, self.unit_cost)


def goods_cents(lines: Sequence[ReceiptLine]) -> int:
    """What all lines come to without tax."""
    return sum(line.cents for line in lines)


def shared_tax(cents: Sequence[int], tax_cents: int) -> list[int]:
    """The tax of a receipt shared over its lines by what they cost; the shares add up to it exactly.

    Each share is rounded down, and the cents that are left go to the lines that lost most by that, the first first.
    """
    total = sum(cents)
    if not total:
        return [0] * len(cents)
    exact = [Decimal(tax_cents) * one / total for one in cents]
    shares = [int(one.to_integral_value(ROUND_FLOOR)) for one in exact]
    lost = sorted(range(len(cents)), key=lambda n: shares[n] - exact[n])
    for n in lost[: tax_cents - sum(shares)]:
        shares[n] += 1
    return shares


def line_typed(line: ReceiptLine, key: str, text: str, picks: Picks, jobs: Mapping[int, str]) -> ReceiptLine:
    """The line with one cell typed anew: item, quantity, unit, unit_cost, amount or where. Raises NotUnderstood."""
    if key == "item":
        found = material_values("item", text, line.unit, picks)
        priced = picks.item(found.get("item_id"))
        if priced is None:
            return replace(line, item_id=None, description=found["description"])
        item = priced.item
        return replace(line, item_id=item.id, description=item.name, unit=item.unit, unit_cost=priced.unit_cost)
    if key == "quantity":
        quantity = parse_quantity(text, line.unit)
        if quantity <= 0:
            raise NotUnderstood("More than nothing was bought, or the line is not on the receipt.", text)
        return replace(line, quantity=quantity)
    if key == "unit":
        if line.item_id is not None:
            raise NotUnderstood("The price list says in what this item is counted.", text)
        return replace(line, unit=text.strip() or "each")
    if key == "amount":
        whole = parse_unit_cost(text)
        return replace(line, unit_cost=(whole / line.quantity).quantize(Decimal("0.0001")))
    if key == "unit_cost":
        return replace(line, unit_cost=parse_unit_cost(text))
    return replace(line, job_id=where_typed(text, jobs))


def where_typed(text: str, jobs: Mapping[int, str]) -> int | None:
    """A job by its number or any part of its label, None for the truck. Raises NotUnderstood."""
    wanted = " ".join(text.casefold().split())
    if not wanted or TRUCK.startswith(wanted):
        return None
    found = [job_id for job_id, words in jobs.items() if wanted in " ".join(words.casefold().split())]
    if len(found) != 1:
        why = f"fits {len(found)} jobs. Type more of it." if found else "is no running job. Type its number, or truck."
        raise NotUnderstood(f"{as_typed(text)} {why}", text)
    return found[0]
