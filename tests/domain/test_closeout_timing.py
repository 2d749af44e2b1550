"""Timing of radon tests: what holds whatever the times were is said, what depends on them is asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.closeout.timing import (
    CHARCOAL,
    CONTINUOUS,
    DAY,
    FanOn,
    earliest_start,
    latest_start,
    timing_of,
    timing_rules,
)
from domain.jobs import RadonTest
from domain.standards import OWN, Standard

RULES = timing_rules(date(2026, 6, 1))
FAN = FanOn(date(2026, 6, 1), 600)
TEST = RadonTest(
    1, 1, "after", CHARCOAL, "basement", date(2026, 6, 2), date(2026, 6, 4), Decimal("1.4"), "", 600, 600, "yes"
)


def met(test: RadonTest, fan: FanOn | None = FAN) -> bool | None:
    return timing_of(test, fan, RULES).met


def test_a_test_that_keeps_every_rule_meets_them_and_nothing_is_said_about_the_house() -> None:
    timing = timing_of(TEST, FAN, RULES)
    assert timing.verdict == "The timing meets the rules."
    said = " ".join([timing.verdict, *(check.words for check in timing.checks)]).lower()
    assert "safe" not in said
    assert all(check.source for check in timing.checks)


@pytest.mark.parametrize(
    ("change", "result", "words"),
    [
        ({"started_minute": 599, "ended_minute": 610}, False, "less than 24 hours after the fan was started"),
        ({"ended_minute": 599}, False, "48 hours are asked"),
        ({"closed_house": "no"}, False, "was not closed"),
        ({"closed_house": ""}, None, "not noted"),
        ({"started_on": None, "started_minute": None}, None, "first day is not noted"),
        ({"started_on": date(2026, 7, 2), "ended_on": date(2026, 7, 5)}, False, "30 days after the work"),
        ({"started_on": date(2026, 7, 1), "ended_on": date(2026, 7, 4)}, True, "meets the rules"),
        ({"started_minute": None, "ended_minute": None}, None, "depends on the times"),
        ({"ended_on": date(2026, 9, 1), "closed_house": ""}, True, "meets the rules"),  # long-term: 91 days
        ({"ended_on": date(2026, 8, 31), "ended_minute": 1000}, False, "too long for a short-term"),
    ],
)
def test_each_rule_is_held_against_the_test(change: dict[str, object], result: bool | None, words: str) -> None:
    timing = timing_of(replace(TEST, **change), FAN, RULES)  # type: ignore[arg-type]
    assert timing.met is result, timing.verdict
    assert words in timing.verdict


def test_a_continuous_monitor_has_its_own_length_after_the_work_only() -> None:
    monitor = replace(TEST, device=CONTINUOUS, ended_minute=480)  # 46 hours
    assert met(monitor) is True
    assert met(replace(monitor, ended_minute=479)) is False
    assert met(replace(monitor, purpose="before")) is False


def test_before_the_work_no_fan_is_asked_for() -> None:
    assert timing_of(replace(TEST, purpose="before"), None, RULES).met is True
    assert met(TEST, None) is None


def test_the_owners_own_figure_counts() -> None:
    own = Standard("after_fan_hours", Decimal(48), "hours", "county", "", "", date(2020, 1, 1), OWN, "wait")
    timing = timing_of(TEST, FAN, timing_rules(date(2026, 6, 1), [own]))
    assert timing.met is False
    assert "48 hours" in timing.verdict
    assert any("county" in check.source for check in timing.checks)


minutes = st.integers(0, DAY - 1)


@given(minutes, minutes, minutes, st.integers(0, 3), st.integers(0, 4))
def test_what_is_said_without_the_times_holds_for_every_time(
    fan: int, began: int, ended: int, wait: int, lasts: int
) -> None:
    start = date(2026, 6, 1) + timedelta(days=wait)
    known = replace(
        TEST, started_on=start, ended_on=start + timedelta(days=lasts), started_minute=began, ended_minute=ended
    )
    without = replace(known, started_minute=None, ended_minute=None)
    exact = timing_of(known, FanOn(date(2026, 6, 1), fan), RULES)
    for blurred in (timing_of(without, FanOn(date(2026, 6, 1)), RULES), timing_of(known, FanOn(FAN.day), RULES)):
        for sure, true in zip(blurred.checks, exact.checks, strict=True):
            assert sure.met in (None, true.met) or (lasts == 0 and ended <= began)


@given(st.one_of(st.none(), minutes), minutes)
def test_the_first_moment_is_never_too_early_and_with_the_time_never_late(fan: int | None, real: int) -> None:
    day, minute = earliest_start(FanOn(date(2026, 6, 1), fan), RULES)
    first = datetime(day.year, day.month, day.day) + timedelta(minutes=minute or 0)
    began = datetime(2026, 6, 1) + timedelta(minutes=real if fan is None else fan)
    assert first - began >= timedelta(hours=24)
    if fan is not None:
        assert first - began == timedelta(hours=24)
    assert latest_start(FanOn(date(2026, 6, 1), fan), RULES) == date(2026, 7, 1)
