"""No air is claimed for a route without a fan or one that water closes; what helps is told apart from what costs."""

from __future__ import annotations

from datetime import date

import pytest

from domain.airflow import FanCurve, air_limits, compare
from domain.airflow.compare_words import changes
from domain.job_takeoff.air import JobAir, job_air
from domain.job_takeoff.records import FanCurveRow, blank_plan
from domain.job_takeoff.sketch import fan_is_sold
from domain.routes import read_route, route_rules

DAY = date(2026, 3, 2)
RULES = route_rules(DAY)
FAN = FanCurve([(0, 1.9), (60, 1.6), (120, 1.0), (170, 0)], name="own fan")
FOUND = "A: pit, crawl 3in up 2', 90, along 12', 90, up 3', fan, up 12', out"
TRAP = "A: pit, crawl 3in up 2', 90, along 4', 90, down {}\", 90, along 4', 90, up 8', fan, up 12', out"


def air(proposed: str, found: str = FOUND) -> JobAir:
    routes = (read_route(found).route, read_route(proposed).route)
    return job_air(*routes, FAN, blank_plan(1), (), air_limits(DAY), rules=RULES)


def test_a_route_without_a_fan_gets_no_air_and_is_told_so() -> None:
    told = air("A: pit, crawl 3in up 2', 45, along 12', 45, up 15', out")
    assert told.comparison is None
    assert told.proposed is None
    assert told.found is not None
    assert any(note.startswith("Proposed: no fan is in this route yet") for note in told.notes)
    neither = air("A: pit, crawl 3in up 2', out", "A: pit, crawl 3in up 3', out")
    assert not neither.cases
    assert "no fan" in neither.problem


@pytest.mark.parametrize(("inches", "closed"), [(1, False), (2, False), (3, True), (9, True)])
def test_a_pipe_that_water_closes_carries_no_air(inches: int, closed: bool) -> None:
    told = air(TRAP.format(inches))
    assert (told.proposed is None) is closed
    assert (told.comparison is None) is closed
    assert any("water" in note for note in told.notes)
    if closed:
        assert any("close it" in note for note in told.notes)


def test_a_pipe_that_falls_says_nothing_of_water() -> None:
    assert not any("water" in note for note in air("A: pit, crawl 3in up 2', 90, along 9', 90, up 4', fan, out").notes)


def test_what_helps_is_told_apart_from_what_costs() -> None:
    before = read_route("A: pit, crawl 3in up 2', 90, along 12', 90, up 3', fan, up 12', out").route
    after = read_route("A: pit, crawl 4in up 2', 90, along 33', 90, up 3', 45, fan, up 12', out").route
    said = changes(before, after)
    assert said == "4 in instead of 3 in pipe, less what one 45° elbow more and 21 ft more pipe cost,"
    assert f"{said} could let up to" in compare(before, after, FAN, 60).sentence
    back = "one 45° elbow taken out and 21 ft less pipe, less what 3 in instead of 4 in pipe costs,"
    assert changes(after, before) == back


def test_a_sentence_is_about_the_fan_that_is_sold() -> None:
    weak = FanCurveRow(1, "Old weak", None, "", None, "", False)
    strong = FanCurveRow(2, "Radial fan", 7, "", None, "", False)
    assert not fan_is_sold(weak, None, frozenset({7}))
    assert fan_is_sold(strong, weak, frozenset({7, 9}))
    assert fan_is_sold(weak, None, frozenset())  # none is sold: the fan that is there stays
    assert not fan_is_sold(strong, weak, frozenset())
