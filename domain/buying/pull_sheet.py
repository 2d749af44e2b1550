"""The pull sheet: what to gather for the jobs of a day, from the truck or bought first, merged over the jobs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.buying.needs import JobNeed, WorkJob
from domain.buying.packs import packs_for, packs_in_words
from domain.buying.stock import StockRow
from domain.log_so_far import MaterialKey
from domain.price_list import ITEM_CLASSES
from domain.units.said import held_quantity, needed_quantity

# Common practice, no source; the label and the maker's safety sheet decide.
CARRYING = (
    "Primer, solvent cement, spray paint and foam burn, and their vapor harms. Carry them closed and upright, out of"
    " a hot cab and away from flame, and follow each label."
)
_SOLVENTS = ("cement", "paint", "sealing")

_PLACE = {kind: place for place, kind in enumerate(ITEM_CLASSES)}


@dataclass(frozen=True, slots=True)
class PullLine:
    """One material of the day, of one item or one wording.

    Attributes:
        shares: (job id, how much of `need` is for it).
        need: over all jobs, in the unit.
        aside: of that, bought for one of the jobs and waiting.
        on_hand: on the truck; None: never counted, and reckoned as none.
        from_truck: what the truck gives.
        to_buy: what it cannot give.
    """

    key: MaterialKey
    code: str
    description: str
    item_class: str
    unit: str
    pack: Decimal
    supplier: str
    shares: tuple[tuple[int, Decimal], ...]
    need: Decimal
    aside: Decimal
    on_hand: Decimal | None
    from_truck: Decimal
    to_buy: Decimal

    @property
    def packs(self) -> int:
        """Whole packs that hold the need."""
        return packs_for(self.need, self.pack)

    @property
    def packs_to_buy(self) -> int:
        """Whole packs to buy before the work."""
        return packs_for(self.to_buy, self.pack)

    @property
    def buy_first(self) -> bool:
        """True when the truck does not hold enough."""
        return self.to_buy > 0

    @property
    def take(self) -> str:
        """What to load, in whole packs: ``4 × 10 ft``; from an opened one on the truck what is needed: ``60 ft``."""
        if 1 < self.pack > self.need and not self.buy_first:
            return needed_quantity(self.need, self.unit)
        return packs_in_words(self.packs, self.pack, self.unit)

    @property
    def source(self) -> str:
        """Where it comes from, in words: ``truck``, ``buy first: 2 × 10 ft``, or both."""
        parts = []
        if self.aside:
            parts.append(f"bought already {held_quantity(self.aside, self.unit)}")
        if self.from_truck and (self.to_buy or self.aside):
            parts.append(f"truck {held_quantity(self.from_truck, self.unit)}")
        elif self.from_truck:
            parts.append("truck")
        if self.to_buy:
            parts.append(f"buy first: {packs_in_words(self.packs_to_buy, self.pack, self.unit)}")
        return ", ".join(parts)

    def share(self, job_id: int) -> Decimal:
        """How much is for one job."""
        return sum((quantity for job, quantity in self.shares if job == job_id), Decimal(0))


@dataclass(frozen=True, slots=True)
class PullSheet:
    """The sheet of one day: what to buy first by supplier, then what lies on the truck by kind."""

    day: date
    jobs: tuple[WorkJob, ...]
    lines: tuple[PullLine, ...]

    @property
    def to_buy(self) -> tuple[PullLine, ...]:
        """What has to be bought before the work."""
        return tuple(line for line in self.lines if line.buy_first)

    @property
    def ready(self) -> tuple[PullLine, ...]:
        """What only has to be loaded."""
        return tuple(line for line in self.lines if not line.buy_first)

    @property
    def caution(self) -> str:
        """A reminder for what is loaded; empty when nothing on the sheet asks for one."""
        return CARRYING if any(line.item_class in _SOLVENTS for line in self.lines) else ""

    def shares_in_words(self, line: PullLine) -> str:
        """Who gets how much: ``26-043 12 ft · 26-044 36 ft``; with one job on the sheet, nothing."""
        if len(self.jobs) < 2:
            return ""
        numbers = {job.job_id: job.number for job in self.jobs}
        return " · ".join(f"{numbers[job]} {needed_quantity(quantity, line.unit)}" for job, quantity in line.shares)


def make_pull_sheet(
    day: date, jobs: Iterable[WorkJob], needs: Iterable[JobNeed], truck: Mapping[int, StockRow]
) -> PullSheet:
    """Merge the needs of these jobs and say where each comes from; the truck is asked first.

    Args:
        truck: by item id; an item that is missing counts as not on the truck.
    """
    jobs = tuple(jobs)
    wanted = {job.job_id for job in jobs}
    merged: dict[MaterialKey, list[JobNeed]] = {}
    for need in needs:
        if need.job_id in wanted:
            merged.setdefault(need.key, []).append(need)
    lines = [_line(parts, truck) for parts in merged.values()]
    lines.sort(key=lambda line: (
        not line.buy_first, line.supplier.casefold() if line.buy_first else "", _PLACE.get(line.item_class, 99),
        line.code, line.description.casefold(),
    ))  # fmt: skip
    return PullSheet(day, jobs, tuple(lines))


def _line(parts: list[JobNeed], truck: Mapping[int, StockRow]) -> PullLine:
    first = parts[0]
    row = truck.get(first.item_id) if first.item_id is not None else None
    need = sum((part.left for part in parts), Decimal(0))
    aside = sum((part.aside for part in parts), Decimal(0))
    # A line in another unit than the price list's cannot be compared with the truck, nor counted in its packs.
    comparable = row if row and row.item.unit == first.unit else None
    from_truck = min(need - aside, comparable.usable) if comparable else Decimal(0)
    return PullLine(
        first.key,
        row.item.code if row else "",
        row.item.name if row else first.description,
        row.item.item_class if row else "other",
        first.unit,
        comparable.item.pack_quantity if comparable else Decimal(1),
        row.supplier if row else "",
        tuple((part.job_id, part.left) for part in parts),
        need,
        aside,
        comparable.on_hand if comparable else None,
        from_truck,
        need - aside - from_truck,
    )
