"""When a test may begin after the work, against the published rules.

Sources (read in stored copies):
- ANSI/AARST MAH-2019, s. 7.3.2: not sooner than 24 hours after the fan runs, with 12 hours of closed-building
  conditions; a continuous monitor at least 46 contiguous hours once both are met.
- 25 Pa. Code 240.310(a)(4)(ii) and (iv): a short-term test is at least 48 hours; closed-house conditions from 12 hours
  before it.
The laboratory's days and the hours of a working day are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from domain.calendar.steps_back import EARLY, JobDates, earliest_end, job_dates, latest_moments, steps_back
from domain.calendar.timing import timing_rules
from domain.calendar.visits import Visit

DAY = date(2026, 6, 1)  # a Monday
RULES = timing_rules(DAY, (), 480)
MONITOR = timing_rules(DAY, (), 480, by_monitor=True)
HOUR = timedelta(hours=1)


def test_the_rules_are_those_of_the_sources() -> None:
    assert (RULES.after_fan, RULES.closed_house, RULES.test, MONITOR.test) == (24 * 60, 12 * 60, 48 * 60, 46 * 60)
    assert RULES.wait == 24 * 60  # the twelve hours may lie within the twenty-four
    assert MONITOR.result == 0


def test_fan_on_monday_at_ten_the_test_may_start_on_tuesday_at_ten() -> None:
    dates = JobDates(480, fan_on=datetime(2026, 6, 1, 10))
    placed = Visit(1, 7, "test_placed", "", date(2026, 6, 2), 600, 30, 0, "", None, 1, "", None, None, "u", 0)
    for minute, too_early in ((599, True), (600, False)):
        one = Visit(**{**{name: getattr(placed, name) for name in Visit.__slots__}, "starts_at": minute})
        found = job_dates([one], None, None, 480, RULES)
        told = steps_back("closing date", date(2026, 6, 30), DAY, _with_fan(found, dates.fan_on), RULES)
        state = next(step.state for step in told.steps if step.key == "placed")
        assert (state == EARLY) is too_early


def _with_fan(found: JobDates, fan_on: datetime | None) -> JobDates:
    return replace(found, fan_on=fan_on)


@given(st.integers(0, 23), st.integers(0, 59))
def test_no_result_comes_sooner_than_the_hours_of_the_rules(hour: int, minute: int) -> None:
    fan_on = datetime(2026, 6, 1, hour, minute)
    dates = JobDates(480, fan_on=fan_on)
    assert earliest_end(fan_on, dates, MONITOR) >= fan_on + (24 + 46) * HOUR
    assert earliest_end(fan_on, dates, RULES) >= fan_on + (24 + 48) * HOUR


@given(st.dates(date(2026, 1, 1), date(2027, 1, 1)), st.booleans())
def test_each_latest_moment_leaves_the_hours_of_the_rules(closing: date, by_monitor: bool) -> None:
    rules = MONITOR if by_monitor else RULES
    latest = latest_moments(closing, 480, rules)
    assert latest.placed - latest.fan >= 24 * HOUR
    assert latest.picked - latest.placed >= (46 if by_monitor else 48) * HOUR
