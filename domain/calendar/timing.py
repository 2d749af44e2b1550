"""The hours that lie between the work and a result in hand, from the dated standards table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from domain.calendar.visits import moment
from domain.standards import Standard, standard_on

HOUR = 60
DAY = 24 * HOUR
LAST_MINUTE = DAY - 1


@dataclass(frozen=True, slots=True)
class TimingRules:
    """All in minutes. A night when the clocks change is not reckoned: plan an hour more then."""

    after_fan: int  # the fan runs this long before a test may start
    closed_house: int  # the house is closed this long before a test; it may be the same hours
    test: int  # shortest test
    result: int  # from picking up to the result
    day_begins: int  # minute of the day
    day_ends: int  # minute of the day the last visit begins
    day_work: int  # work that fits into one day
    closing: int  # minute of the closing day by which the result is needed
    by_monitor: bool = False

    @property
    def wait(self) -> int:
        """From the fan on to the earliest start of a test, when the house is closed as the fan starts."""
        return max(self.after_fan, self.closed_house)

    def within_day(self, when: datetime) -> datetime:
        """The last moment not after this one at which a person can be there."""
        minute = when.hour * HOUR + when.minute
        if minute > self.day_ends:
            return moment(when.date(), self.day_ends)
        if minute < self.day_begins:
            return moment(when.date() - timedelta(days=1), self.day_ends)
        return when

    def next_in_day(self, when: datetime) -> datetime:
        """The first moment not before this one at which a person can be there."""
        minute = when.hour * HOUR + when.minute
        if minute > self.day_ends:
            return moment(when.date() + timedelta(days=1), self.day_begins)
        if minute < self.day_begins:
            return moment(when.date(), self.day_begins)
        return when

    def work_ends(self, start: datetime, minutes: int) -> datetime:
        """When work begun at a moment is done, a day's work a day, from the beginning of each day."""
        left, now = minutes, self._work_from(start)
        while left > (room := self._room_after(now)):
            left -= room
            now = moment(now.date() + timedelta(days=1), self.day_begins)
        return now + timedelta(minutes=left)

    def work_begins(self, end: datetime, minutes: int) -> datetime:
        """The latest moment at which work can begin and be done by another."""
        closes = min(self.day_begins + self.day_work, DAY)
        at = min(end, moment(end.date(), closes))
        left = minutes
        while left > (room := max(_minutes_between(moment(at.date(), self.day_begins), at), 0)):
            left -= room
            at = moment(at.date() - timedelta(days=1), closes)
        if left == 0 and at < moment(at.date(), self.day_begins):
            at = moment(at.date() - timedelta(days=1), closes)
        return at - timedelta(minutes=left)

    def _work_from(self, when: datetime) -> datetime:
        begins = moment(when.date(), self.day_begins)
        if when < begins:
            return begins
        return when if self._room_after(when) > 0 else begins + timedelta(days=1)

    def _room_after(self, when: datetime) -> int:
        closes = moment(when.date(), min(self.day_begins + self.day_work, DAY))
        return max(_minutes_between(when, closes), 0)


def timing_rules(
    day: date, own: Iterable[Standard], day_work: int, *, by_monitor: bool = False
) -> TimingRules:
    """The rules in force on a day, with the owner's own values.

    Args:
        day: usually the work day, or today.
        own: the owner's rows of the standards table.
        day_work: minutes of work that fit into a day, from the firm's settings.
        by_monitor: a continuous monitor tests; it may be shorter and tells its result at once.

    Sources: keys after_fan_hours and monitor_hours (ANSI/AARST MAH-2019 s. 7.3.2), closed_house_hours and
    short_test_hours (25 Pa. Code 240.310(a)(4)); the hours of a day and the laboratory's days are common
    practice, no source.
    """
    rows = tuple(own)

    def minutes(key: str) -> int:
        return int(standard_on(key, day, rows).value * HOUR)

    begins = min(minutes("day_begins_hours"), LAST_MINUTE - HOUR)
    laboratory = Decimal(0) if by_monitor else standard_on("laboratory_days", day, rows).value
    return TimingRules(
        after_fan=minutes("after_fan_hours"),
        closed_house=minutes("closed_house_hours"),
        test=minutes("monitor_hours" if by_monitor else "short_test_hours"),
        result=int(laboratory * DAY),
        day_begins=begins,
        day_ends=min(max(minutes("day_ends_hours"), begins), LAST_MINUTE),
        day_work=max(day_work, HOUR),
        closing=min(minutes("closing_hours"), LAST_MINUTE),
        by_monitor=by_monitor,
    )


def _minutes_between(first: datetime, second: datetime) -> int:
    return int((second - first).total_seconds() // 60)
