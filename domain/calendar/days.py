"""Days, weeks and months of the calendar: what each holds and what fits."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from domain.calendar.visits import PlannedVisit

WEEK = 7


@dataclass(frozen=True, slots=True)
class DayDeadline:
    """A deadline that falls on a day."""

    job_id: int
    job_number: str
    customer: str
    reason: str


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One day: its visits in order, its deadlines, and its hours against what fits."""

    day: date
    capacity_minutes: int
    visits: tuple[PlannedVisit, ...] = ()
    deadlines: tuple[DayDeadline, ...] = ()

    @property
    def visit_minutes(self) -> int:
        """The owner's minutes at the places."""
        return sum(one.visit.minutes for one in self.visits if one.visit.stands and one.visit.takes_own_time)

    @property
    def travel_minutes(self) -> int:
        """The owner's minutes on the way."""
        return sum(one.visit.travel_minutes for one in self.visits if one.visit.stands and one.visit.takes_own_time)

    @property
    def used_minutes(self) -> int:
        """All of the owner's minutes."""
        return self.visit_minutes + self.travel_minutes

    @property
    def over_minutes(self) -> int:
        """How much more than fits; 0 when it fits, and on a day off, where the owner chose to work."""
        return max(self.used_minutes - self.capacity_minutes, 0) if self.capacity_minutes else 0

    @property
    def is_free(self) -> bool:
        """Nothing stands on it."""
        return not any(one.visit.stands for one in self.visits)


def week_of(day: date) -> tuple[date, date]:
    """Monday and Sunday of the week of a day."""
    monday = day - timedelta(days=day.weekday())
    return monday, monday + timedelta(days=WEEK - 1)


def month_grid(day: date) -> tuple[date, date]:
    """The first and the last day of the whole weeks that show a month."""
    last = calendar.monthrange(day.year, day.month)[1]
    return week_of(day.replace(day=1))[0], week_of(day.replace(day=last))[1]


def add_months(day: date, months: int) -> date:
    """The same day of another month, or its last day where it has fewer."""
    place = day.year * 12 + day.month - 1 + months
    year, month = divmod(place, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def capacity_of(day: date, day_minutes: int, working_days: int) -> int:
    """What fits into a day: nothing on the days after the week's working days, which begin on Monday."""
    return day_minutes if day.weekday() < working_days else 0


def calendar_days(
    first: date, last: date, visits: Iterable[PlannedVisit], deadlines: Iterable[tuple[date, DayDeadline]],
    day_minutes: int, working_days: int,
) -> list[CalendarDay]:  # fmt: skip
    """Every day of a stretch with what stands on it; visits without an hour come first."""
    by_day: dict[date, list[PlannedVisit]] = {}
    for one in visits:
        by_day.setdefault(one.visit.day, []).append(one)
    due: dict[date, list[DayDeadline]] = {}
    for day, deadline in deadlines:
        due.setdefault(day, []).append(deadline)
    days = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        stand = sorted(by_day.get(day, ()), key=lambda one: (one.visit.starts_at or 0, one.visit.id))
        days.append(
            CalendarDay(day, capacity_of(day, day_minutes, working_days), tuple(stand), tuple(due.get(day, ())))
        )
    return days
