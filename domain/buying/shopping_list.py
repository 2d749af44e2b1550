"""The shopping list: what the jobs of the next days need beyond the truck, and what fills the truck up again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from domain.buying.needs import JobNeed, WorkJob
from domain.buying.packs import packs_for, packs_in_words
from domain.buying.stock import StockRow
from domain.log_so_far import MaterialKey
from domain.money import line_cents
from domain.price_list import ITEM_CLASSES
from domain.units import format_quantity
from domain.units.numbers import to_places
from domain.units.said import held_quantity, needed_quantity

_PLACE = {kind: place for place, kind in enumerate(ITEM_CLASSES)}


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One thing to buy.

    Attributes:
        shares: (job id, how much it still needs), what waits for a job already left out.
        needed: over all jobs.
        on_hand: on the truck; None: never counted, and reckoned as none.
        refill: how much of what is bought brings the truck back to its level.
        packs: whole packs to buy.
        for_truck: False for what cannot be kept by the price list's unit: it is bought straight for the jobs.
        unit_cost: expected dollars for one unit; None without a price.
    """

    key: MaterialKey
    item_id: int | None
    code: str
    description: str
    item_class: str
    unit: str
    pack: Decimal
    supplier_id: int | None
    supplier: str
    shares: tuple[tuple[int, Decimal], ...]
    needed: Decimal
    on_hand: Decimal | None
    refill: Decimal
    packs: int
    unit_cost: Decimal | None
    for_truck: bool = True

    @property
    def quantity(self) -> Decimal:
        """What the packs hold; for what goes straight to the jobs exactly what is needed."""
        return self.packs * self.pack if self.for_truck else self.needed

    @property
    def pack_cost(self) -> Decimal | None:
        """Dollars expected for one pack."""
        return None if self.unit_cost is None else self.unit_cost * self.one

    @property
    def one(self) -> Decimal:
        """The units in what one price is asked for: the pack, or one unit of what goes straight to the jobs."""
        return self.pack if self.for_truck else Decimal(1)

    @property
    def cost_cents(self) -> int | None:
        """Cents expected for the line; None without a price."""
        return None if self.unit_cost is None else line_cents(self.quantity, self.unit_cost)

    @property
    def buy(self) -> str:
        """What to buy, in packs: ``4 × 10 ft``."""
        if not self.for_truck:
            return format_quantity(self.needed, self.unit)
        return packs_in_words(self.packs, self.pack, self.unit)

    @property
    def pieces(self) -> str:
        """What to ask for at the counter: as `buy`, whole pieces where a job needs part of one."""
        return self.buy if self.for_truck else needed_quantity(self.needed, self.unit)

    def unit_cost_from(self, paid: Decimal) -> Decimal:
        """Dollars for one unit when so much was paid for one pack, to a hundredth of a cent, half up."""
        return to_places(Fraction(paid) / Fraction(self.one), 4)


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """Everything to buy for the jobs from a day up to another, by supplier."""

    first: date
    last: date
    jobs: tuple[WorkJob, ...]
    lines: tuple[ShoppingLine, ...]

    @property
    def cost_cents(self) -> int:
        """Cents expected for all that has a price."""
        return expected_cents(self.lines)

    @property
    def unpriced(self) -> int:
        """How many lines have no price."""
        return sum(line.unit_cost is None for line in self.lines)

    def by_supplier(self) -> list[tuple[str, tuple[ShoppingLine, ...]]]:
        """The lines of each supplier, by name; those without a supplier last."""
        names = dict.fromkeys(line.supplier for line in self.lines)
        return [(name, tuple(line for line in self.lines if line.supplier == name)) for name in names]

    def why(self, line: ShoppingLine) -> str:
        """Why it is on the list: ``36 ft for 26-044, 12 ft on the truck, fill up``."""
        numbers = {job.job_id: job.number for job in self.jobs}
        parts = []
        if line.shares:
            many = len(line.shares)
            parts.append(", ".join(f"{needed_quantity(n, line.unit)} for {numbers[job]}" for job, n in line.shares[:3]))
            if many > 3:
                parts[-1] = f"{needed_quantity(line.needed, line.unit)} for {many} jobs"
        if line.on_hand is not None:
            parts.append(f"{held_quantity(line.on_hand, line.unit)} on the truck")
        if line.refill:
            parts.append("fill up")
        return ", ".join(parts)


def expected_cents(lines: Iterable[ShoppingLine]) -> int:
    """Cents expected for those of the lines that have a price."""
    return sum(line.cost_cents or 0 for line in lines)


def make_shopping_list(
    first: date, last: date, jobs: Iterable[WorkJob], needs: Iterable[JobNeed], truck: Mapping[int, StockRow]
) -> ShoppingList:
    """Merge what the jobs need, take what the truck has, fill up what then is low, round up to packs.

    For each item: buy = max(needed - on hand, 0); when what is left on the truck afterwards lies at the reorder
    point or below it, as much more as brings the truck to its level. Bought in whole packs, so that
    on hand + bought - needed is never below the level, nor below nothing.

    Args:
        truck: by item id, every item of the price list.
    """
    jobs = tuple(jobs)
    wanted = {job.job_id for job in jobs}
    merged: dict[MaterialKey, list[JobNeed]] = {}
    for need in needs:
        if need.job_id in wanted and need.open > 0:
            merged.setdefault(need.key, []).append(need)
    lines = [_line(parts, truck) for parts in merged.values()]
    for item_id, row in truck.items():
        if (item_id, "") not in merged and row.is_low and not row.item.archived:
            lines.append(_refill_line(row))
    lines = [line for line in lines if line.packs > 0]
    lines.sort(key=lambda line: (
        not line.supplier, line.supplier.casefold(), _PLACE.get(line.item_class, 99), line.code,
        line.description.casefold(),
    ))  # fmt: skip
    return ShoppingList(first, last, jobs, tuple(lines))


def _line(parts: list[JobNeed], truck: Mapping[int, StockRow]) -> ShoppingLine:
    first = parts[0]
    row = truck.get(first.item_id) if first.item_id is not None else None
    needed = sum((part.open for part in parts), Decimal(0))
    shares = tuple((part.job_id, part.open) for part in parts)
    if row is None or row.item.unit != first.unit:
        return ShoppingLine(
            first.key, first.item_id, row.item.code if row else "", row.item.name if row else first.description,
            row.item.item_class if row else "other", first.unit, Decimal(1), row.item.supplier_id if row else None,
            row.supplier if row else "", shares, needed, None, Decimal(0), packs_for(needed, Decimal(1)),
            first.unit_cost or None, False,
        )  # fmt: skip
    return _item_line(row, shares, needed)


def _refill_line(row: StockRow) -> ShoppingLine:
    return _item_line(row, (), Decimal(0))


def _item_line(row: StockRow, shares: tuple[tuple[int, Decimal], ...], needed: Decimal) -> ShoppingLine:
    item = row.item
    short = max(needed - row.usable, Decimal(0))
    refill = row.refill(needed)
    # A count below nothing is wrong, so the truck is taken as empty and the level is bought anew.
    packs = packs_for(short + refill, item.pack_quantity)
    return ShoppingLine(
        (item.id, ""), item.id, item.code, item.name, item.item_class, item.unit, item.pack_quantity,
        item.supplier_id, row.supplier, shares, needed, row.on_hand, refill, packs, row.unit_cost,
    )  # fmt: skip
