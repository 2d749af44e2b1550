"""The air on odd input: no reading, none to speak of, a zero, one beyond the sheet; nothing breaks or grows."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from domain.airflow import SiteReading, compare
from domain.errors import NotUnderstood
from domain.job_takeoff.air import job_air
from domain.job_takeoff.records import FLOW, PRESENT_FAN
from tests.domain.test_airflow_compare import FAN, FOUND, TWO_45S, WIDE
from tests.domain.test_readings_by_fan import DAY, air_limits, blank_plan, row

ODD = st.one_of(st.just(0.0), st.floats(0.001, 1), st.floats(1, 140), st.floats(140, 5000))


@settings(max_examples=80, deadline=None)
@given(ODD, ODD, st.sampled_from([FOUND, TWO_45S, WIDE]))
def test_a_route_against_itself_is_no_change_whatever_was_read(flow: float, pressure: float, route) -> None:  # type: ignore[no-untyped-def]
    try:
        told = compare(route, route, FAN, 125, found_reading=SiteReading(flow, pressure))
    except NotUnderstood:  # a reading that cannot be is refused in words
        return
    assert (told.gain_cfm, told.low_gain_cfm, told.high_gain_cfm) == (0, 0, 0)
    assert math.isfinite(told.found.flow_cfm)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 5000), st.none() | st.integers(0, 5000))
def test_a_job_tells_its_air_or_why_it_cannot(flow: int, pressure: int | None) -> None:
    made = job_air(FOUND, TWO_45S, FAN, blank_plan(1), (row(FLOW, PRESENT_FAN, flow, pressure),), air_limits(DAY), None)
    same = job_air(FOUND, FOUND, FAN, blank_plan(1), (row(FLOW, PRESENT_FAN, flow, pressure),), air_limits(DAY), None)
    for air in (made, same):
        assert air.comparison is not None or air.notes or air.proposed is not None or air.problem
    if made.comparison is not None:
        assert math.isfinite(made.comparison.gain_cfm)
        assert made.comparison.low_gain_cfm <= made.comparison.gain_cfm <= made.comparison.high_gain_cfm
    if same.comparison is not None:
        assert same.comparison.gain_cfm == 0


def test_without_a_reading_it_is_said_that_nobody_measured() -> None:
    air = job_air(FOUND, TWO_45S, FAN, blank_plan(1), (), air_limits(DAY), None)
    assert air.comparison is not None
    assert "up to" in air.comparison.sentence
    assert air.comparison.low_gain_cfm <= air.comparison.gain_cfm <= air.comparison.high_gain_cfm
