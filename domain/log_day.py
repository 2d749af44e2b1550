"""One day of a job's log beside its quote: the rows to type into, and the totals that move as one types."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.errors import NotUnderstood
from domain.log_entry import TypedHours, format_hours, parse_hours
from domain.log_so_far import JobBudget, JobLog, MaterialKey, hours_cents, material_key
from domain.money import labour_cents, line_cents, percent_of
from domain.so_far import SoFar
from domain.units import format_minutes

TaskKey = tuple[int, bool] | tuple[int, bool, str]
"""(task id, not quoted), of other work with the words for it."""


@dataclass(frozen=True, slots=True)
class HoursRow:
    """One task, quoted or not, with what one person did on it that day."""

    task_id: int
    unquoted: bool
    quoted_minutes: int
    before_minutes: int  # logged on other days or by somebody else
    entries: tuple[HoursEntry, ...]  # of this day and person
    own: str = ""  # the words for it, where the task is other work

    @property
    def key(self) -> TaskKey:
        """What makes it the same row after a refresh."""
        return (self.task_id, self.unquoted, self.own) if self.own else (self.task_id, self.unquoted)

    @property
    def day_minutes(self) -> int:
        """This person on this day."""
        return sum(entry.minutes for entry in self.entries)

    @property
    def minutes(self) -> int:
        """All that is logged on it."""
        return self.before_minutes + self.day_minutes

    @property
    def left_minutes(self) -> int:
        """Quoted and not yet logged, never less than none."""
        return max(self.quoted_minutes - self.minutes, 0)

    @property
    def over_minutes(self) -> int:
        """Logged beyond what was quoted, 0 on work that was not quoted at all."""
        return 0 if self.unquoted else max(self.minutes - self.quoted_minutes, 0)

    @property
    def text(self) -> str:
        """The day's cell: empty, the one entry as it was typed, or the sum of several."""
        if len(self.entries) == 1:
            return format_hours(self.entries[0].minutes, self.entries[0].began)
        return f"{format_minutes(self.day_minutes)} in {len(self.entries)}" if self.entries else ""


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One material with what was used of it that day."""

    key: MaterialKey
    item_id: int | None
    description: str
    unit: str
    quoted: Decimal
    quoted_unit_cost: Decimal | None  # None: not quoted
    before: Decimal  # used on other days
    entries: tuple[MaterialUse, ...]  # of this day
    unquoted: bool  # on the log without a quoted line, though the job has a quote

    @property
    def day_quantity(self) -> Decimal:
        """Used this day."""
        return sum((entry.quantity for entry in self.entries), Decimal(0))

    @property
    def left(self) -> Decimal:
        """Quoted and not used before this day, never less than none: what ``all`` means."""
        return max(self.quoted - self.before, Decimal(0))


@dataclass(frozen=True, slots=True)
class CostRow:
    """One kind of other cost with what was spent on it that day."""

    kind: str
    quoted_cents: int
    quoted: Decimal  # miles for travel
    before_cents: int
    before: Decimal
    entries: tuple[OtherCost, ...]

    @property
    def day_cents(self) -> int:
        """Spent this day."""
        return sum(line_cents(entry.quantity, entry.unit_cost) for entry in self.entries)

    @property
    def day_quantity(self) -> Decimal:
        """Counted this day, miles for travel."""
        return sum((entry.quantity for entry in self.entries), Decimal(0))


@dataclass(frozen=True, slots=True)
class LogTotals:
    """The strip above the rows."""

    day_minutes: int  # everybody, this day
    minutes: int
    quoted_minutes: int
    cents: int  # cost so far, with overhead and tax on purchases
    quoted_cents: int
    unquoted_minutes: int
    unquoted_cents: int  # of everything marked not quoted, overhead and tax on purchases included
    unquoted_entries: int


def has_budget(budget: JobBudget) -> bool:
    """True when the job has something quoted to compare with."""
    return bool(budget.labour or budget.materials or budget.others)


def hours_rows(
    budget: JobBudget, log: JobLog, day: date, person_id: int, extra: Iterable[TaskKey] = ()
) -> list[HoursRow]:
    """Tasks in the order of the quote, then what was not quoted in the order of the log, then rows just opened."""
    quoted: dict[int, int] = {}
    for line in budget.labour:
        quoted[line.task_id] = quoted.get(line.task_id, 0) + line.minutes
    rows: dict[TaskKey, HoursRow] = {
        (task_id, False): HoursRow(task_id, False, minutes, 0, ()) for task_id, minutes in quoted.items()
    }
    any_quote = has_budget(budget)
    for entry in log.hours:
        key: TaskKey = (entry.task_id, entry.unquoted or (any_quote and entry.task_id not in quoted))
        row = rows.get(key) or HoursRow(entry.task_id, key[1], 0, 0, ())
        mine = entry.day == day and entry.person_id == person_id
        rows[key] = (
            replace(row, entries=(*row.entries, entry))
            if mine
            else replace(row, before_minutes=row.before_minutes + entry.minutes)
        )
    for key in extra:
        rows.setdefault(key, HoursRow(key[0], key[1], 0, 0, ()))
    return sorted(rows.values(), key=lambda row: row.unquoted)


def told_apart(
    rows: Iterable[HoursRow], other_id: int | None, begun: Iterable[TaskKey] = (), opened: Iterable[TaskKey] = ()
) -> list[HoursRow]:
    """Other work with a row for each of its own words: those of the day's entries, then those only begun.

    Time typed for one of them can land on no other. What has no words stays in the row of the task, which goes when
    it holds nothing and nobody `opened` it.
    """
    told: dict[TaskKey, HoursRow] = {}
    for row in rows:
        if row.task_id != other_id or row.quoted_minutes:
            told[row.key] = row
            continue
        plain = replace(row, entries=tuple(one for one in row.entries if not one.note))
        if plain.entries or plain.before_minutes or not row.entries or row.key in opened:
            told[row.key] = plain
        for one in row.entries:
            if one.note:
                own = HoursRow(row.task_id, row.unquoted, 0, 0, (one,), one.note)
                before = told.get(own.key)
                told[own.key] = own if before is None else replace(before, entries=(*before.entries, one))
    for key in begun:
        if len(key) == 3:
            told.setdefault(key, HoursRow(key[0], key[1], 0, 0, (), key[2]))
    return sorted(told.values(), key=lambda row: row.unquoted)


def material_rows(
    budget: JobBudget, log: JobLog, day: date, extra: Iterable[MaterialRow] = ()
) -> list[MaterialRow]:
    """Materials in the order of the quote, then those only used, then rows just opened."""
    rows: dict[MaterialKey, MaterialRow] = {}
    for line in budget.materials:
        key = material_key(line.item_id, line.description, line.unit)
        row = rows.get(key) or MaterialRow(
            key, line.item_id, line.description, line.unit, Decimal(0), line.unit_cost, Decimal(0), (), False
        )
        rows[key] = replace(row, quoted=row.quoted + line.quantity)
    any_quote = has_budget(budget)
    for use in log.materials:
        key = material_key(use.item_id, use.description, use.unit)
        row = rows.get(key) or MaterialRow(
            key, use.item_id, use.description, use.unit, Decimal(0), None, Decimal(0), (), any_quote
        )
        rows[key] = (
            replace(row, entries=(*row.entries, use))
            if use.day == day
            else replace(row, before=row.before + use.quantity)
        )
    for row in extra:
        rows.setdefault(row.key, row)
    return list(rows.values())


def cost_rows(budget: JobBudget, log: JobLog, day: date, extra: Iterable[str] = ()) -> list[CostRow]:
    """Travel first, for there is always the drive; then the quoted kinds, those spent on, and those just opened."""
    order = dict.fromkeys(
        ("travel", *(line.kind for line in budget.others), *(cost.kind for cost in log.others), *extra)
    )
    rows = []
    for kind in order:
        lines = [line for line in budget.others if line.kind == kind]
        costs = [cost for cost in log.others if cost.kind == kind]
        before = [cost for cost in costs if cost.day != day]
        rows.append(
            CostRow(
                kind,
                sum(line_cents(line.quantity, line.unit_cost) for line in lines),
                sum((line.quantity for line in lines), Decimal(0)),
                sum(line_cents(cost.quantity, cost.unit_cost) for cost in before),
                sum((cost.quantity for cost in before), Decimal(0)),
                tuple(cost for cost in costs if cost.day == day),
            )
        )
    return rows


def log_totals(
    budget: JobBudget, log: JobLog, so_far: SoFar, day: date, typed_minutes: int = 0, rate_cents: int = 0,
    purchase_tax_percent: Decimal = Decimal(0),
) -> LogTotals:
    """The totals as they are told everywhere (`so_far`), and with `typed_minutes` being typed at this moment.

    What is typed and not yet saved costs `rate_cents` an hour, burdened and overhead rate together; what is saved is
    rounded entry by entry.
    """
    tasks = {line.task_id for line in budget.labour}
    keys = {material_key(line.item_id, line.description, line.unit) for line in budget.materials}
    kinds = {line.kind for line in budget.others}
    any_quote = has_budget(budget)
    hours = [one for one in log.hours if one.unquoted or (any_quote and one.task_id not in tasks)]
    uses = [
        one for one in log.materials
        if one.unquoted or (any_quote and material_key(one.item_id, one.description, one.unit) not in keys)
    ]  # fmt: skip
    goods = sum(line_cents(use.quantity, use.unit_cost) for use in uses)
    costs = [one for one in log.others if one.unquoted or (any_quote and one.kind not in kinds)]
    return LogTotals(
        day_minutes=sum(entry.minutes for entry in log.hours if entry.day == day) + typed_minutes,
        minutes=so_far.minutes + typed_minutes,
        quoted_minutes=so_far.quoted_minutes,
        cents=so_far.cents + labour_cents(typed_minutes, rate_cents),
        quoted_cents=so_far.quoted_cents,
        unquoted_minutes=so_far.unquoted_minutes,
        unquoted_cents=(
            sum(hours_cents(entry) for entry in hours)
            + goods
            + (percent_of(goods, purchase_tax_percent) if purchase_tax_percent else 0)
            + sum(line_cents(cost.quantity, cost.unit_cost) for cost in costs)
        ),
        unquoted_entries=len(hours) + len(uses) + len(costs),
    )


def typed_into(text: str, entries: Sequence[HoursEntry]) -> TypedHours | None:
    """What a text typed into a day's cell means beside the entries already there; None takes the entry out.

    ``+1h`` always adds one. Raises NotUnderstood when it is no time, or when several entries are there and it
    cannot be known which one is meant.
    """
    if len(entries) > 1 and not text.strip().startswith("+"):
        raise NotUnderstood(
            f"There are {len(entries)} entries here. Change them in the list below, or type +1h15 to add one.", text
        )
    return parse_hours(text.strip().removeprefix("+"))


def is_added(text: str, entries: Sequence[object]) -> bool:
    """True when what was typed becomes a new entry rather than changing the one that is there."""
    return not entries or text.strip().startswith("+")


def is_another_cost(unit_cost: Decimal, words: str, entries: Sequence[OtherCost]) -> bool:
    """True when an amount with its words is a cost beside those of the day, and not a correction of the one there.

    Words of its own make it another one; the same amount with words for a cost that had none only names that.
    """
    said = " ".join(words.casefold().split())
    if not said or any(" ".join(one.description.casefold().split()) == said for one in entries):
        return False
    unnamed = len(entries) == 1 and not entries[0].description
    return not (unnamed and line_cents(entries[0].quantity, entries[0].unit_cost) == line_cents(Decimal(1), unit_cost))


def preview_minutes(text: str, row: HoursRow) -> int:
    """The minutes of the day on this row if the text typed so far were saved; unchanged when it cannot be read."""
    try:
        typed = typed_into(text, row.entries)
    except NotUnderstood:
        return row.day_minutes
    minutes = typed.minutes if typed else 0
    return row.day_minutes + minutes if text.strip().startswith("+") else minutes
