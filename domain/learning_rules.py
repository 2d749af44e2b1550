"""When finished jobs deserve a change of a task's standard minutes or of a condition's factor on it.

A task's own standard is judged by the lines done without any access condition, when there are enough of them, else
by all its lines; a factor by how much longer the task takes with the condition than without it. What is said is a
proposal: the owner decides.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from statistics import median

from domain.learning import LibraryProposal
from domain.track_record import Outcome
from domain.units import format_count, format_unit_minutes

ENOUGH = 6
"""So many finished jobs it takes before a change is proposed (ours, no source)."""

WORTH = 0.10  # a standard that is right within a tenth stays
WORTH_FACTOR = 0.15
SAME_SIDE = 0.7  # so large a part of the jobs must point the same way
ASK_AGAIN = 5  # after a no, so many more jobs


@dataclass(frozen=True, slots=True)
class Standards:
    """The owner's lists: (id, minutes) by task name, (condition id, percent) by task and condition name."""

    minutes: Mapping[str, tuple[int, Decimal]]
    factors: Mapping[tuple[str, str], tuple[int, Decimal]]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A change that finished jobs suggest."""

    task: str
    task_id: int
    condition: str  # "" for the standard minutes
    condition_id: int | None
    old_value: Decimal
    new_value: Decimal
    jobs: tuple[Hashable, ...]  # newest first
    evidence: str

    @property
    def key(self) -> tuple[int, int | None]:
        return self.task_id, self.condition_id

    @property
    def words(self) -> str:
        """``Remove old pipe: 3 min instead of 2.5 min for one unit``."""
        if self.condition:
            return (
                f"{self.task} in “{self.condition}”: {format_count(self.new_value / 100, 2)} times instead of "
                f"{format_count(self.old_value / 100, 2)} times"
            )
        return (
            f"{self.task}: {format_unit_minutes(self.new_value)} instead of {format_unit_minutes(self.old_value)} "
            "for one unit"
        )


def suggestions(
    outcomes: Iterable[Outcome], standards: Standards, answered: Sequence[LibraryProposal]
) -> list[Suggestion]:
    """Every change that is worth proposing, the one with most jobs behind it first."""
    lines: dict[str, list[Outcome]] = defaultdict(list)
    for line in outcomes:
        if line.quoted_minutes and line.actual_minutes and line.task in standards.minutes:
            lines[line.task].append(line)
    found = []
    for task, own in lines.items():
        own.sort(key=lambda line: line.finished_on, reverse=True)
        found += [one for one in (_standard(task, own, standards, answered),) if one]
        for condition in dict.fromkeys(word for line in own for word in line.conditions):
            made = _factor(task, condition, own, standards, answered)
            if made:
                found.append(made)
    return sorted(found, key=lambda one: (-len(one.jobs), one.task, one.condition))


def _standard(
    task: str, lines: Sequence[Outcome], standards: Standards, answered: Sequence[LibraryProposal]
) -> Suggestion | None:
    task_id, old = standards.minutes[task]
    lines = _since(lines, task_id, None, answered)
    plain = [line for line in lines if not line.conditions]
    seen = plain if len(plain) >= ENOUGH else lines
    ratio = _agreed(seen, 1.0, WORTH)
    if ratio is None or _refused(len(seen), task_id, None, answered):
        return None
    step = Decimal("0.5") if old < 20 else Decimal(1)
    new = (old * Decimal(str(round(ratio, 3))) / step).quantize(Decimal(1), ROUND_HALF_UP) * step
    if new == old or new <= 0:
        return None
    return Suggestion(task, task_id, "", None, old, new, _jobs(seen), _evidence(seen, ratio, ""))


def _factor(
    task: str, condition: str, lines: Sequence[Outcome], standards: Standards, answered: Sequence[LibraryProposal]
) -> Suggestion | None:
    known = standards.factors.get((task, condition))
    if known is None:  # a condition the owner has never tied to this task: its standard is judged as it is
        return None
    task_id, (condition_id, old) = standards.minutes[task][0], known
    lines = _since(lines, task_id, condition_id, answered)
    under = [line for line in lines if condition in line.conditions]
    others = [line for line in lines if condition not in line.conditions]
    without = median(_ratio(line) for line in others) if len(others) >= ENOUGH else 1.0
    ratio = _agreed(under, without, WORTH_FACTOR)
    if ratio is None or _refused(len(under), task_id, condition_id, answered):
        return None
    new = (old * Decimal(str(round(ratio, 3))) / 5).quantize(Decimal(1), ROUND_HALF_UP) * 5
    if new == old or not 0 < new <= 1000:
        return None
    return Suggestion(
        task, task_id, condition, condition_id, old, new, _jobs(under), _evidence(under, ratio, condition, without)
    )


def _agreed(lines: Sequence[Outcome], against: float, worth: float) -> float | None:
    """The middle of actual over quoted against ``against``, when enough jobs say the same and it is worth it."""
    if len({line.job for line in lines}) < ENOUGH:
        return None
    ratios = [_ratio(line) / against for line in lines]
    middle = median(ratios)
    if abs(middle - 1) < worth:
        return None
    same = sum(1 for ratio in ratios if (ratio > 1) == (middle > 1) and ratio != 1)
    return middle if same >= SAME_SIDE * len(ratios) else None


def _ratio(line: Outcome) -> float:
    return line.actual_minutes / line.quoted_minutes


def _since(
    lines: Sequence[Outcome], task_id: int, condition_id: int | None, answered: Sequence[LibraryProposal]
) -> list[Outcome]:
    """Lines quoted after the last change of this value, or of the task's standard: older ones judge another value."""
    days = [
        max(day for day in (one.accepted_on, one.taken_back_on) if day is not None)
        for one in answered
        if one.task_id == task_id and one.condition_id in (condition_id, None) and one.accepted_on is not None
    ]
    last: date = max(days, default=date.min)
    return [line for line in lines if (line.quoted_on or line.finished_on) > last]


def _refused(jobs: int, task_id: int, condition_id: int | None, answered: Sequence[LibraryProposal]) -> bool:
    """The owner said no, and few jobs were finished since."""
    said = [one for one in answered if (one.task_id, one.condition_id) == (task_id, condition_id) and one.declined_on]
    return any(jobs < one.jobs + ASK_AGAIN for one in said)


def _jobs(lines: Sequence[Outcome]) -> tuple[Hashable, ...]:
    return tuple(dict.fromkeys(line.job for line in lines))


def _evidence(lines: Sequence[Outcome], ratio: float, condition: str, against: float = 1.0) -> str:
    jobs, more = len(_jobs(lines)), ratio > 1
    same = sum(1 for line in lines if (_ratio(line) > against) == more and _ratio(line) != against)
    where = f" with “{condition}”" if condition else _where(lines)
    than = "what it takes without it" if condition else "the quoted time"
    took = f"{jobs} finished jobs{where} took {ratio:.2f} times {than} in the middle case"
    return f"{took}; {same} of {len(lines)} took {'longer' if more else 'less'}."


def _where(lines: Collection[Outcome]) -> str:
    return "" if any(line.conditions for line in lines) else " without access conditions"
