"""Closing a job is a short review: what was quoted and has no log, what became of it, and what is still owed.

Learning rests on it. A job whose lines are all logged or answered is *fully logged*; one that was closed unanswered
counts in money and is left out of what the record learns.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import NamedTuple

from domain.log_so_far import JobBudget, JobLog, material_key
from domain.money import format_money, line_cents
from domain.shares import shared
from domain.units import format_minutes, format_quantity

TASK, MATERIAL, COST = "task", "material", "cost"
LINE_KINDS = (TASK, MATERIAL, COST)

WITHIN, LEFT_OUT = "within", "left_out"
"""Done in the time of another task (used or paid with something else); not done (used, needed) at all."""
ANSWERS = (WITHIN, LEFT_OUT)

AS_QUOTED = {MATERIAL: "used as quoted", COST: "paid as quoted"}
"""Not an answer but an entry: the quantity or the amount of the quote is logged."""

_WORDS = {
    (TASK, WITHIN): "in other tasks' time",
    (TASK, LEFT_OUT): "not done",
    (MATERIAL, WITHIN): "logged with another",
    (MATERIAL, LEFT_OUT): "not used",
    (COST, WITHIN): "paid with another",
    (COST, LEFT_OUT): "not needed",
}


class LineKey(NamedTuple):
    """What a quoted line is known by: the task's or the item's id, else the words of a material or the kind of cost."""

    kind: str
    ref: int = 0
    words: str = ""


@dataclass(frozen=True, slots=True)
class ClosingAnswer:
    """What the owner said of one quoted line; `within_task_id` names the task in whose time it was done."""

    id: int
    job_id: int
    kind: str
    task_id: int | None
    item_id: int | None
    words: str
    answer: str
    within_task_id: int | None

    @property
    def key(self) -> LineKey:
        """The line it is about."""
        return LineKey(self.kind, self.task_id or self.item_id or 0, self.words)


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A quoted task, material or cost of which nothing is logged, and its answer, "" while there is none."""

    key: LineKey
    name: str
    minutes: int = 0
    quantity: Decimal = Decimal(0)
    unit: str = ""
    cents: int = 0
    answer: str = ""
    within_task_id: int | None = None

    @property
    def quoted_words(self) -> str:
        """What was quoted, as it is read."""
        if self.key.kind == TASK:
            return format_minutes(self.minutes)
        if self.key.kind == MATERIAL:
            return format_quantity(self.quantity, self.unit)
        return format_money(self.cents)

    def answer_words(self, task_names: Mapping[int, str]) -> str:
        """The answer in words; "" while there is none."""
        if self.within_task_id is not None:
            return f"in the time of {task_names.get(self.within_task_id, 'another task')}"
        return answer_words(self.key.kind, self.answer)


def answer_words(kind: str, answer: str) -> str:
    """An answer as it is read beside a line of this kind; "" for none."""
    return _WORDS.get((kind, answer), "")


def lines_without_log(
    budget: JobBudget, log: JobLog, answers: Iterable[ClosingAnswer] = (), *,
    task_names: Mapping[int, str], callbacks: Collection[int] = (),
) -> list[OpenLine]:  # fmt: skip
    """Every quoted task, material and cost without an entry, in the order of the quote.

    A callback that was allowed for and did not happen is no gap in the log. What is marked as not quoted is no log of
    the quoted line. An answer that nothing logged bears out any more (`groundless`) is no answer.

    Args:
        callbacks: ids of callback tasks.
    """
    there = _logged(log)
    said = {one.key: one for one in answers if not groundless(one.key.kind, one.answer, one.within_task_id, log)}
    lines = [line for line in _quoted(budget, task_names, callbacks) if line.key not in there]
    return [
        replace(line, answer=said[line.key].answer, within_task_id=said[line.key].within_task_id)
        if line.key in said
        else line
        for line in lines
    ]


def groundless(kind: str, answer: str, within_task_id: int | None, log: JobLog) -> str:
    """Why something cannot have been done, used or paid with another, as no other is logged; "" when it can."""
    if answer != WITHIN:
        return ""
    worked = {key.ref for key in _logged(log) if key.kind == TASK}
    if kind == TASK and not worked:
        return "No time is logged on this job, so nothing was done in the time of another task."
    if kind == TASK and within_task_id is not None and within_task_id not in worked:
        return "No time is logged on that task."
    used = sum(use.quantity for use in log.materials)
    if kind == MATERIAL and used <= 0:
        return "No materials are logged on this job, so nothing was logged with another."
    if kind == COST and sum(cost.quantity for cost in log.others) + used <= 0:
        return "No costs are logged on this job, so nothing was paid with another."
    return ""


def of_kind(lines: Iterable[OpenLine], kind: str) -> Sequence[OpenLine]:
    """The lines of one kind that have no answer yet."""
    return [line for line in lines if line.key.kind == kind and not line.answer]


def unanswered(lines: Iterable[OpenLine]) -> int:
    """How many lines have neither a log nor an answer; 0: the job is fully logged."""
    return sum(1 for line in lines if not line.answer)


def _logged(log: JobLog) -> set[LineKey]:
    """Lines of which something stands in the log: what was taken back again, by a correction, say, does not."""
    sums: dict[LineKey, Decimal] = defaultdict(Decimal)
    for entry in log.hours:
        if not entry.unquoted:
            sums[LineKey(TASK, entry.task_id)] += entry.minutes
    for use in log.materials:
        if not use.unquoted:
            sums[LineKey(MATERIAL, *material_key(use.item_id, use.description, use.unit))] += use.quantity
    for cost in log.others:
        if not cost.unquoted:
            sums[LineKey(COST, 0, cost.kind)] += cost.quantity
    return {key for key, amount in sums.items() if amount > 0}


def _quoted(
    budget: JobBudget, task_names: Mapping[int, str], callbacks: Collection[int]
) -> Iterable[OpenLine]:
    lines: dict[LineKey, OpenLine] = {}
    for labour in budget.labour:
        if labour.task_id not in callbacks:
            key = LineKey(TASK, labour.task_id)
            line = lines.get(key) or OpenLine(key, task_names.get(labour.task_id, "a task"))
            lines[key] = replace(line, minutes=line.minutes + labour.minutes)
    for stuff in budget.materials:
        key = LineKey(MATERIAL, *material_key(stuff.item_id, stuff.description, stuff.unit))
        line = lines.get(key) or OpenLine(key, stuff.description, unit=stuff.unit)
        cents = line_cents(stuff.quantity, stuff.unit_cost)
        lines[key] = replace(line, quantity=line.quantity + stuff.quantity, cents=line.cents + cents)
    for other in budget.others:
        key = LineKey(COST, 0, other.kind)
        line = lines.get(key) or OpenLine(key, other.description or other.kind)
        cents = line_cents(other.quantity, other.unit_cost)
        lines[key] = replace(line, quantity=line.quantity + other.quantity, unit=other.unit, cents=line.cents + cents)
    return [line for line in lines.values() if line.minutes > 0 or line.quantity > 0 or line.cents > 0]


# What the record makes of the answers.


def with_answers(
    quoted: Mapping[int, int], logged: Collection[int], answers: Mapping[int, tuple[str, int | None]]
) -> dict[int, int]:
    """Quoted minutes by task as the record may compare them with the log.

    A task that was not done was not fast: it is left out. One done in the time of another was quoted for that other's
    time too, so its minutes go there; when nobody said which, they go to all logged quoted tasks by their quoted share
    (largest remainder, so that no minute is lost).

    Args:
        quoted: minutes by task id.
        logged: ids of tasks with time in the log.
        answers: (answer, task in whose time) by task id.
    """
    kept = dict(quoted)
    for task_id, (answer, within) in answers.items():
        if task_id in logged or task_id not in kept:
            continue
        minutes = kept.pop(task_id)
        if answer != WITHIN:
            continue
        if within is not None and within in logged:
            kept[within] = kept.get(within, 0) + minutes
        else:
            base = {one: quoted[one] for one in kept if one in logged and quoted.get(one)}
            for one, more in shared(minutes, base).items():
                kept[one] += more
    return kept
