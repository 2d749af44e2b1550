"""What prices did since a day, and which quotes still stand on the old ones."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from domain.money import line_cents
from domain.price_list import Item, ItemPrice
from domain.units.numbers import to_places


@dataclass(frozen=True, slots=True)
class PriceChange:
    """An item that costs something else today than on a day before; dollars for one unit."""

    item: Item
    supplier: str
    old_cost: Decimal
    new_cost: Decimal
    changed_on: date  # since when the price of today counts
    earlier: tuple[Decimal, ...]  # all prices it had before

    @property
    def percent(self) -> Decimal:
        """(new - old) / old x 100, one place, half up: the base is the old price."""
        return to_places(Fraction(self.new_cost - self.old_cost) / Fraction(self.old_cost) * 100, 1)


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A material line of a draft, or of a sent quote that waits for its answer."""

    quote_id: int
    job_id: int
    number: str
    customer: str
    what: str
    kind: str  # proposal | change_order
    version: int
    sent_on: date | None
    expires_on: date | None
    in_option: bool
    item_id: int
    quantity: Decimal
    unit_cost: Decimal


@dataclass(frozen=True, slots=True)
class OldPriceQuote:
    """A quote with lines at old prices, and what today's prices would make of them.

    Attributes:
        lines: how many stand at an old price.
        base_cents: new cost - old cost of those in the base; dearer is positive.
        option_cents: the same of those in options.
    """

    quote_id: int
    job_id: int
    number: str
    customer: str
    what: str
    kind: str
    version: int
    sent_on: date | None
    expires_on: date | None
    lines: int
    base_cents: int
    option_cents: int

    @property
    def cents(self) -> int:
        """What the difference costs with every option taken."""
        return self.base_cents + self.option_cents


def price_changes(
    items: Iterable[tuple[Item, str]], prices: Iterable[ItemPrice], since: date, today: date
) -> list[PriceChange]:
    """Items whose price in force on `since` is another than today's; those that had none by then are left out.

    Args:
        items: each with its supplier's name, in the order wanted.
        prices: every dated price.
    """
    dated: dict[int, list[ItemPrice]] = {}
    for price in sorted(prices, key=lambda price: price.starts_on):
        if price.starts_on <= today:
            dated.setdefault(price.item_id, []).append(price)
    found = []
    for item, supplier in items:
        mine = dated.get(item.id, [])
        before = [price for price in mine if price.starts_on <= since]
        if not before or before[-1].unit_cost == mine[-1].unit_cost or before[-1].unit_cost <= 0:
            continue
        now = mine[-1]
        earlier = tuple(dict.fromkeys(price.unit_cost for price in mine[:-1] if price.unit_cost != now.unit_cost))
        found.append(PriceChange(item, supplier, before[-1].unit_cost, now.unit_cost, now.starts_on, earlier))
    return found


def quotes_on_old_prices(lines: Iterable[OpenLine], changes: Mapping[int, PriceChange]) -> list[OldPriceQuote]:
    """Quotes with a line at an earlier price of an item that changed; what costs most first.

    A price the owner typed, which the item never had, is no old price. Each line is rounded by itself, as on the quote.

    Args:
        changes: by item id.
    """
    found: dict[int, OldPriceQuote] = {}
    for line in lines:
        change = changes.get(line.item_id)
        if change is None or line.unit_cost not in change.earlier:
            continue
        more = line_cents(line.quantity, change.new_cost) - line_cents(line.quantity, line.unit_cost)
        before = found.get(line.quote_id)
        found[line.quote_id] = OldPriceQuote(
            line.quote_id, line.job_id, line.number, line.customer, line.what, line.kind, line.version, line.sent_on,
            line.expires_on, (before.lines if before else 0) + 1,
            (before.base_cents if before else 0) + (0 if line.in_option else more),
            (before.option_cents if before else 0) + (more if line.in_option else 0),
        )  # fmt: skip
    return sorted(found.values(), key=lambda quote: (-quote.cents, quote.number, quote.quote_id))
