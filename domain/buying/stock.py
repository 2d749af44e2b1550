"""The truck: on hand is the last count, with what was bought since and without what was used since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.buying.packs import packs_for
from domain.money import line_cents
from domain.price_list import Item

LARGEST_COUNT = Decimal(1_000_000)


@dataclass(frozen=True, slots=True)
class StockRow:
    """One item as the truck has it on a day; on hand is computed, never stored.

    Attributes:
        unit_cost: dollars for one unit that day; None without a price.
        counted: the last count; None: never counted.
        bought: bought onto the truck since that count, in the item's unit.
        used: taken from the truck by the log since that count, in the item's unit.
        odd_entries: log entries since then in another unit, which cannot be taken off.
        reorder_at, fill_to: both None where the owner has set no limits.
    """

    item: Item
    supplier: str
    unit_cost: Decimal | None
    counted: Decimal | None = None
    counted_on: date | None = None
    bought: Decimal = Decimal(0)
    used: Decimal = Decimal(0)
    odd_entries: int = 0
    reorder_at: Decimal | None = None
    fill_to: Decimal | None = None

    @property
    def on_hand(self) -> Decimal | None:
        """counted + bought - used; None when it was never counted. Below nothing: the count is wrong by now."""
        return None if self.counted is None else self.counted + self.bought - self.used

    @property
    def usable(self) -> Decimal:
        """What a list may reckon with: never less than nothing."""
        return max(self.on_hand or Decimal(0), Decimal(0))

    @property
    def is_kept(self) -> bool:
        """True for what belongs on the truck: it was counted or has a reorder point."""
        return self.counted is not None or self.reorder_at is not None

    @property
    def is_low(self) -> bool:
        """True at the reorder point and below it."""
        on_hand = self.on_hand
        return on_hand is not None and self.reorder_at is not None and on_hand <= self.reorder_at

    def refill(self, taken: Decimal = Decimal(0)) -> Decimal:
        """How much brings the truck back to `fill_to` once so much is taken; nothing while it stays above the point."""
        if self.on_hand is None or self.reorder_at is None or self.fill_to is None:
            return Decimal(0)
        rest = self.on_hand - taken
        return max(self.fill_to - max(rest, Decimal(0)), Decimal(0)) if rest <= self.reorder_at else Decimal(0)

    @property
    def refill_packs(self) -> int:
        """The whole packs of a refill."""
        return packs_for(self.refill(), self.item.pack_quantity)


def stock_cents(rows: Iterable[StockRow]) -> int:
    """What lies on the truck is worth in cents at the prices of the day; what has no price is left out."""
    return sum(line_cents(row.usable, row.unit_cost) for row in rows if row.unit_cost is not None)


def count_problem(quantity: Decimal) -> str | None:
    """What is wrong with a count, as a sentence; None when nothing is."""
    if quantity < 0:
        return "Less than nothing cannot lie on the truck. Type 0 when there is none."
    if quantity > LARGEST_COUNT:
        return "That is more than a truck holds. Check the number."
    return None


def rule_problem(reorder_at: Decimal, fill_to: Decimal) -> str | None:
    """What is wrong with a reorder point and the level to fill to, as a sentence; None when nothing is."""
    if reorder_at < 0 or fill_to < 0:
        return "A reorder point lies at nothing or above."
    if max(reorder_at, fill_to) > LARGEST_COUNT:
        return "That is more than a truck holds. Check the number."
    if fill_to <= reorder_at:
        return "Fill up to more than the reorder point, or it is low again at once."
    return None
