"""The first day on which a running job's log said that it would go over: what was known each evening, and no more.

A day knows the hours logged for it and before, the change orders accepted by then, and how much of each task was said
to be done by then. What nobody had said is neither done nor undone (`domain.earned_value`), so a day on which nothing
was said of the work warns only once its hours have passed the quoted ones.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.dates import format_day, format_day_short
from domain.earned_value import JobProgress, job_progress
from domain.units import format_minutes

OnTask = tuple[date, int, int]
"""A day, a task's id, and minutes."""

DoneOnTask = tuple[date, int, Decimal]
"""A day, a task's id, and the percent said to be done."""


@dataclass(frozen=True, slots=True)
class FirstWarning:
    """The first evening on which going over was to be seen, in whole minutes.

    Attributes:
        whole_minutes: where the job was heading at the pace of that evening; what was spent when that was more.
        used_up: all the quoted time was spent; else it was a forecast.
    """

    day: date
    spent_minutes: int
    whole_minutes: int
    quoted_minutes: int
    used_up: bool

    @property
    def words(self) -> str:
        """``First visible Mon, Nov 9, 2026: at this pace 31 h of 17 h 46 quoted, with 8 h logged.``"""
        quoted = format_minutes(self.quoted_minutes)
        if self.used_up:
            seen = f"{format_minutes(self.spent_minutes)} of {quoted} quoted was logged."
        else:
            whole, spent = format_minutes(self.whole_minutes), format_minutes(self.spent_minutes)
            seen = f"at this pace {whole} of {quoted} quoted, with {spent} logged."
        return f"First visible {format_day(self.day)}: {seen}"

    def short_words(self, taken_minutes: int = 0) -> str:
        """``first visible Nov 9, at this pace 31 h``, for a line beside the figures of today.

        What was expected that evening is left out where more is taken already: it is no pace of today.
        """
        day = format_day_short(self.day).partition(",")[0]
        if self.used_up or self.whole_minutes <= taken_minutes:
            return f"first visible {day}"
        return f"first visible {day}, at this pace {format_minutes(self.whole_minutes)}"


def first_warning(
    quoted: Iterable[OnTask], logged: Iterable[OnTask], said: Iterable[DoneOnTask]
) -> FirstWarning | None:
    """Return the first day by whose evening the job was over its quoted time, or heading over it; None without one.

    Args:
        quoted: minutes sold, each with the day from which they stand; what was sold before the first entry counts
            from the start.
        logged: every entry.
        said: every note of how much is done; of one task the latest note by a day stands.
    """
    sold, entries, notes = sorted(quoted), sorted(logged), sorted(said, key=lambda note: note[0])
    for day in sorted({one[0] for one in entries} | {one[0] for one in notes}):
        value = _by(day, sold, entries, notes)
        used_up = value.budget > 0 and value.spent > value.budget
        if used_up or value.warning:
            whole = max(value.spent, value.whole or 0)
            return FirstWarning(day, value.spent, whole, value.budget, used_up)
    return None


def _by(day: date, sold: list[OnTask], entries: list[OnTask], notes: list[DoneOnTask]) -> JobProgress:
    quoted, logged, done = defaultdict[int, int](int), defaultdict[int, int](int), dict[int, Decimal]()
    for on, task, minutes in sold:
        if on <= day:
            quoted[task] += minutes
    for on, task, minutes in entries:
        if on <= day:
            logged[task] += minutes
    for on, task, percent in notes:
        if on <= day and task in quoted:
            done[task] = percent
    return job_progress(quoted, logged, done)
