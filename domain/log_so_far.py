"""A running job so far: what its budget allowed and what the log says, task by task and item by item."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine

MaterialKey = tuple[int, str]
"""(item id, "") for an item of the price list; (0, folded description and unit) for anything else."""


@dataclass(frozen=True, slots=True)
class JobBudget:
    """Every line that the accepted proposal (base and chosen options) and the accepted change orders allow."""

    labour: tuple[LabourLine, ...] = ()
    materials: tuple[MaterialLine, ...] = ()
    others: tuple[OtherLine, ...] = ()
    overhead_rates: tuple[tuple[int, int], ...] = ()  # (minutes, overhead cents an hour) of each quote

    @property
    def minutes(self) -> int:
        """All the time that was quoted."""
        return sum(line.minutes for line in self.labour)

    @property
    def cost_cents(self) -> int:
        """What the work was quoted to cost, overhead included, tax on purchases not."""
        return (
            sum(labour_cents(line.minutes, line.rate_cents) for line in self.labour)
            + sum(line_cents(line.quantity, line.unit_cost) for line in self.materials)
            + sum(line_cents(line.quantity, line.unit_cost) for line in self.others)
            + sum(labour_cents(minutes, rate) for minutes, rate in self.overhead_rates)
        )


@dataclass(frozen=True, slots=True)
class JobLog:
    """Everything logged on one job."""

    hours: tuple[HoursEntry, ...] = ()
    materials: tuple[MaterialUse, ...] = ()
    others: tuple[OtherCost, ...] = ()

    @property
    def minutes(self) -> int:
        """All the time that was logged."""
        return sum(entry.minutes for entry in self.hours)

    @property
    def cost_cents(self) -> int:
        """What the job has cost so far, overhead included, tax on purchases not; each entry is rounded by itself."""
        return (
            sum(hours_cents(entry) for entry in self.hours)
            + sum(line_cents(entry.quantity, entry.unit_cost) for entry in self.materials)
            + sum(line_cents(entry.quantity, entry.unit_cost) for entry in self.others)
        )


def hours_cents(entry: HoursEntry) -> int:
    """What an entry cost: its burdened time and its overhead, each rounded half up to the cent."""
    return labour_cents(entry.minutes, entry.rate_cents) + labour_cents(entry.minutes, entry.overhead_rate_cents)


@dataclass(frozen=True, slots=True)
class TaskSoFar:
    """One labour task of the job: minutes quoted, minutes logged as quoted work, minutes marked unquoted."""

    task_id: int
    quoted_minutes: int
    logged_minutes: int  # without what is marked unquoted
    unquoted_minutes: int  # marked, or logged on a task that no line allows

    @property
    def is_over(self) -> bool:
        """More logged than quoted."""
        return self.logged_minutes > self.quoted_minutes


@dataclass(frozen=True, slots=True)
class MaterialSoFar:
    """One material of the job: how much was quoted and how much is used, in one unit."""

    key: MaterialKey
    item_id: int | None
    description: str
    unit: str
    quoted: Decimal
    quoted_unit_cost: Decimal  # of the first line that quotes it; 0 when none does
    used: Decimal

    @property
    def left(self) -> Decimal:
        """Quoted and not yet used, never less than none."""
        return max(self.quoted - self.used, Decimal(0))


@dataclass(frozen=True, slots=True)
class OtherSoFar:
    """One kind of other cost: money quoted and money spent, and the miles or pieces if all share a unit."""

    kind: str
    description: str
    unit: str
    quoted: Decimal
    used: Decimal
    unit_cost: Decimal
    quoted_cents: int
    used_cents: int


def material_key(item_id: int | None, description: str, unit: str) -> MaterialKey:
    """What makes two lines the same material."""
    if item_id is not None:
        return (item_id, "")
    return (0, f"{' '.join(description.casefold().split())}|{unit.casefold()}")


def tasks_so_far(labour: Iterable[LabourLine], hours: Iterable[HoursEntry]) -> list[TaskSoFar]:
    """Tasks in the order of the quote, then those that were only logged, in the order of the log."""
    quoted: dict[int, int] = {}
    for line in labour:
        quoted[line.task_id] = quoted.get(line.task_id, 0) + line.minutes
    logged: dict[int, int] = {}
    extra: dict[int, int] = {}
    for entry in hours:
        into = extra if entry.unquoted or entry.task_id not in quoted else logged
        into[entry.task_id] = into.get(entry.task_id, 0) + entry.minutes
    return [
        TaskSoFar(task_id, quoted.get(task_id, 0), logged.get(task_id, 0), extra.get(task_id, 0))
        for task_id in dict.fromkeys((*quoted, *extra))
    ]


def materials_so_far(lines: Iterable[MaterialLine], used: Iterable[MaterialUse]) -> list[MaterialSoFar]:
    """Materials in the order of the quote, then those that were only used. Uses marked unquoted count as used too."""
    rows: dict[MaterialKey, MaterialSoFar] = {}
    for line in lines:
        key = material_key(line.item_id, line.description, line.unit)
        row = rows.get(key)
        rows[key] = MaterialSoFar(
            key, line.item_id, row.description if row else line.description, row.unit if row else line.unit,
            line.quantity + (row.quoted if row else 0), row.quoted_unit_cost if row else line.unit_cost, Decimal(0),
        )  # fmt: skip
    for use in used:
        key = material_key(use.item_id, use.description, use.unit)
        row = rows.get(key) or MaterialSoFar(
            key, use.item_id, use.description, use.unit, Decimal(0), Decimal(0), Decimal(0)
        )
        rows[key] = MaterialSoFar(
            key, row.item_id, row.description, row.unit, row.quoted, row.quoted_unit_cost, row.used + use.quantity
        )
    return list(rows.values())


def others_so_far(lines: Iterable[OtherLine], costs: Iterable[OtherCost]) -> list[OtherSoFar]:
    """Other costs by kind in the order of the quote, then kinds that were only spent on."""
    rows: dict[str, OtherSoFar] = {}
    for line in lines:
        row = rows.get(line.kind)
        cents = line_cents(line.quantity, line.unit_cost)
        rows[line.kind] = OtherSoFar(
            line.kind, row.description if row else line.description, line.unit,
            line.quantity + (row.quoted if row else 0), Decimal(0), line.unit_cost,
            cents + (row.quoted_cents if row else 0), 0,
        )  # fmt: skip
    for cost in costs:
        nothing = OtherSoFar(
            cost.kind, cost.description, cost.unit, Decimal(0), Decimal(0), cost.unit_cost, 0, 0
        )
        row = rows.get(cost.kind) or nothing
        rows[cost.kind] = OtherSoFar(
            cost.kind, row.description, row.unit, row.quoted, row.used + cost.quantity, row.unit_cost,
            row.quoted_cents, row.used_cents + line_cents(cost.quantity, cost.unit_cost),
        )  # fmt: skip
    return list(rows.values())
