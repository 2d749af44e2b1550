"""Readings of a test fan and of the present fan: told apart, and each used for what it can tell."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import FanCurve, UnderSlab, air_limits, operating_point, route_losses
from domain.errors import NotUnderstood
from domain.job_takeoff.air import job_air
from domain.job_takeoff.air_rows import air_figures
from domain.job_takeoff.measured import checked_readings, measured
from domain.job_takeoff.readings import new_reading, reading_values
from domain.job_takeoff.records import FLOW, PRESENT_FAN, SUCTION, TEST_FAN, ReadingRow, blank_plan
from domain.routes import read_route

DAY = date(2026, 3, 2)
FOUND = read_route("A: pit at -6', crawl 3in up 2', 90, along 12', 90, up 3', fan, up 12', out").route
BETTER = read_route("A: pit at -6', crawl 3in up 2', 45, along 12', 45, up 3', fan, up 12', out").route
PRESENT = FanCurve([(0, 1.6), (60, 1.2), (150, 0)], name="old fan")
PLANNED = FanCurve([(0, 3.6), (60, 2.7), (150, 0.2)], name="new fan")


def row(kind: str, fan: str, value: float, at: float | None = None, place: str = "") -> ReadingRow:
    suction = None if at is None else Decimal(str(round(at, 3)))
    return ReadingRow(1, 1, DAY, kind, place, Decimal(str(value)), suction, "", fan)


def test_a_test_fan_was_read_at_the_suction_point() -> None:
    told = measured([row(FLOW, TEST_FAN, 40, 200)], FOUND, None)
    assert [one.suction_pa for one in told.test] == [200]
    assert not told.present
    assert told.ground is not None
    assert told.ground.suction_pa(40) == pytest.approx(200)


def test_what_the_pipe_loses_before_the_fan_is_taken_off_the_present_fans_suction() -> None:
    losses = route_losses(FOUND, 40)
    before = sum(item.pa for item in losses.items if item.index < 6)  # legs and elbows up to the fan
    (one,) = measured([row(FLOW, PRESENT_FAN, 40, 250)], FOUND, None).present
    assert one.suction_pa == pytest.approx(250 - before)
    assert 0 < before < losses.pa


def test_without_a_suction_the_present_fans_curve_tells_it() -> None:
    (one,) = measured([row(FLOW, PRESENT_FAN, 40)], FOUND, PRESENT).present
    assert one.suction_pa == pytest.approx(PRESENT.pressure_pa(40) - route_losses(FOUND, 40).pa)
    assert "tell nothing" in measured([row(FLOW, PRESENT_FAN, 40)], FOUND, None).notes[0]


@given(st.floats(0.3, 4), st.floats(1, 2))
def test_reading_the_present_fan_where_it_rests_gives_the_ground_back(at_one: float, power: float) -> None:
    ground = UnderSlab(at_one, power)
    point = operating_point(PRESENT, FOUND, 0, site=ground)
    if point.past_sheet or point.flow_cfm < 5:
        return
    told = measured([row(FLOW, PRESENT_FAN, round(point.flow_cfm, 3))], FOUND, PRESENT)
    assert told.ground is not None
    assert told.ground.suction_pa(point.flow_cfm) == pytest.approx(point.below_pa, rel=0.01)


def test_the_present_fan_draws_on_all_its_suction_points_and_the_test_fan_on_one() -> None:
    two = read_route("""A: pit, crawl 3in up 2', wye B, along 10', 90, up 3', fan, up 12', out
        B: pit, crawl 3in up 2', 90, along 6'""").route
    assert len(two.runs) == 2
    told = measured([row(FLOW, PRESENT_FAN, 60, 200)], two, None)
    assert told.ground is not None
    (one,) = told.present
    assert told.ground.suction_pa(30) == pytest.approx(one.suction_pa)
    assert told.ground.with_points(2).suction_pa(60) == pytest.approx(one.suction_pa)


def test_a_reading_that_does_not_go_with_the_route_is_said_and_left_out() -> None:
    told = measured([row(FLOW, PRESENT_FAN, 140, 20), row(FLOW, TEST_FAN, 40, 200)], FOUND, PRESENT)
    assert not told.present
    assert "the reading is not used" in told.notes[0]
    assert told.ground is not None
    assert "no route as found" in measured([row(FLOW, PRESENT_FAN, 40, 200)], None, PRESENT).notes[0]


def test_the_route_as_found_is_shown_as_it_was_measured_and_the_planned_fan_on_the_proposed_one() -> None:
    rows = (row(FLOW, PRESENT_FAN, 40, 240), row(SUCTION, PRESENT_FAN, 8, place="pantry"))
    air = job_air(FOUND, BETTER, PLANNED, blank_plan(1), rows, air_limits(DAY), PRESENT)
    assert air.found is not None
    assert air.found.point.measured
    assert air.found.point.flow_cfm == 40
    assert air.found.fan.pressure_pa(40) == pytest.approx(air.found.point.below_pa + air.found.point.losses.pa)
    assert air.found.fan.name == PRESENT.name
    assert air.proposed is not None
    assert air.proposed.fan == PLANNED
    assert air.fans == (PLANNED, air.found.fan)
    assert air.comparison is not None
    assert air.comparison.sentence.startswith("The new fan alone")
    assert "instead of the 40 measured" in air.comparison.sentence
    figures = {figure.label: figure for figure in air_figures(air, air_limits(DAY))}
    assert figures["Air moved"].found == "40 cfm, measured"
    hole = figures["Suction at the weakest test hole (pantry)"]
    assert hole.found == "8.0 Pa"
    assert float(hole.proposed.split()[0]) > 8


def test_holes_are_held_against_the_fan_that_ran() -> None:
    hole = row(SUCTION, PRESENT_FAN, 100, place="pantry")
    checked_readings([row(FLOW, TEST_FAN, 40, 60), hole])
    with pytest.raises(NotUnderstood, match="pantry shows 100 Pa"):
        checked_readings([row(FLOW, TEST_FAN, 40, 60), replace(hole, fan=TEST_FAN)])


@pytest.mark.parametrize(
    ("typed", "fan", "value"),
    [("flow 38", TEST_FAN, 38), ("flow present 42", PRESENT_FAN, 42), ("fl present fan 42 cfm", PRESENT_FAN, 42),
     ("suction test 7", TEST_FAN, 7), ("suction", TEST_FAN, 1)],
)  # fmt: skip
def test_the_fan_is_typed_between(typed: str, fan: str, value: int) -> None:
    values = reading_values(new_reading(1, DAY), "kind", typed, DAY)
    assert (values["fan"], values["value"]) == (fan, value)


def test_a_fan_that_is_none_is_said_kindly() -> None:
    with pytest.raises(NotUnderstood, match="test or present"):
        reading_values(row(FLOW, TEST_FAN, 1), "fan", "window fan", DAY)
