"""Where a fan and a route come to rest, what an elbow costs there, and what is over a limit."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import (
    METHODS,
    FanCurve,
    SiteReading,
    UnderSlab,
    air_limits,
    asked_for,
    elbow_costs,
    measured_point,
    operating_point,
    route_loss,
)
from domain.errors import NotUnderstood
from domain.routes.reading import parse_route
from domain.routes.route import Route
from tests.domain.test_airflow_losses import FOUND, NESTED, TWO_POINTS

FAN = FanCurve([(0, 2.0), (40, 1.7), (80, 1.1), (120, 0.3), (140, 0)])
LIMITS = air_limits(date(2026, 3, 2))
routes = st.sampled_from([FOUND, TWO_POINTS, NESTED])


@given(routes, st.floats(0, 450), st.sampled_from(sorted(METHODS)))
def test_there_the_fan_gives_what_is_asked_for(route: Route, wanted: float, method: str) -> None:
    point = operating_point(FAN, route, wanted, method)
    assert point.fan_pa == pytest.approx(route_loss(route, point.flow_cfm, method) + wanted, rel=1e-6)
    assert point.below_pa == wanted
    assert point.low_cfm < point.flow_cfm < point.high_cfm
    assert not point.too_weak
    assert not point.past_sheet


@given(routes, st.floats(0, 400), st.floats(1, 80))
def test_more_suction_wanted_leaves_less_air(route: Route, wanted: float, more: float) -> None:
    assert operating_point(FAN, route, wanted + more).flow_cfm < operating_point(FAN, route, wanted).flow_cfm


def test_shares_given_by_the_owner_hold_at_the_operating_point() -> None:
    split = {"A": 3.0, "B": 1.0}
    point = operating_point(FAN, TWO_POINTS, 100, split=split)
    assert dict(point.losses.flows)["A"] == pytest.approx(point.flow_cfm * 0.75)
    assert point.fan_pa == pytest.approx(route_loss(TWO_POINTS, point.flow_cfm, split=split) + 100, rel=1e-6)


def test_a_fan_too_weak_moves_nothing_and_says_so() -> None:
    point = operating_point(FAN, FOUND, 600)
    assert point.too_weak
    assert point.flow_cfm == point.low_cfm == point.high_cfm == 0
    assert point.notes(LIMITS) == ("This fan gives 2.00 inWC (498 Pa) at most, and 2.41 inWC (600 Pa) is wanted.",)


def test_past_the_end_of_the_sheet_the_last_point_is_shown() -> None:
    short = FanCurve([(0, 4.0), (30, 3.5)])
    for route in (FOUND, TWO_POINTS):
        point = operating_point(short, route, 50)
        assert point.past_sheet
        assert point.flow_cfm == pytest.approx(30)
        assert "30 cfm or more, past the end of its sheet" in point.notes(LIMITS)[0]


def test_limits_of_speed_and_size_are_noted() -> None:
    strong = FanCurve([(0, 5.0), (200, 4.0), (400, 0)])
    point = operating_point(strong, FOUND, 100)
    assert point.is_too_fast(LIMITS)
    assert point.is_noisy(LIMITS)
    notes = " ".join(point.notes(LIMITS))
    assert "more than the 2,000 to stay under" in notes
    assert "3 in pipe would carry" in notes
    calm = operating_point(FAN, FOUND, 300)
    assert not calm.is_noisy(LIMITS)
    assert calm.notes(LIMITS) == ()


def test_noise_comes_before_too_fast() -> None:
    thin = parse_route("found: N\nA: pit, basement 2in up 8', outside up 12', out")
    point = operating_point(FanCurve([(0, 2.0), (60, 1.0), (80, 0)]), thin, 130)
    assert 1600 < point.speed_fpm < 2000
    assert "it can be heard" in point.notes(LIMITS)[0]


def test_what_an_elbow_costs_is_what_its_absence_buys() -> None:
    costs = elbow_costs(FAN, FOUND, 125)
    assert len(costs) == 4
    with_all = operating_point(FAN, FOUND, 125)
    fewer = parse_route("""found: Fewer
A: pit at -7', basement 3in up 6'6", 90, along 12', along 8', 90, up 2', 90, along 3', outside flex to 4in, fan,
   flex to 3in, up 16', out""")
    without = operating_point(FAN, fewer, 125)
    assert costs[0].cfm == pytest.approx(without.flow_cfm - with_all.flow_cfm, rel=1e-4)
    assert [cost.pa for cost in costs] == [elbow.pa for elbow in with_all.losses.elbows]


def test_the_dearest_elbow_stands_first_and_those_on_a_branch_count_too() -> None:
    route = parse_route("""proposed: P
A: pit, basement 3in up 6', 45, along 9', wye B, 90, along 9', outside up 10', out
B: pit, basement 3in up 6', 90, along 4'""")
    costs = elbow_costs(FAN, route, 100)
    assert costs[0].item.flow_cfm == pytest.approx(operating_point(FAN, route, 100).flow_cfm)
    assert len(costs) == 3
    assert all(cost.cfm > 0 for cost in costs)


def test_the_line_to_draw_starts_at_the_suction_wanted_and_meets_the_fan() -> None:
    point = operating_point(FAN, FOUND, 125)
    line = asked_for(FOUND, point.flow_cfm, 125)
    assert line[0] == (0, 125)
    assert line[-1] == (pytest.approx(point.flow_cfm), pytest.approx(point.fan_pa, rel=1e-6))
    assert [pa for _, pa in line] == sorted(pa for _, pa in line)


def test_measured_ground_takes_the_place_of_the_suction_wanted() -> None:
    ground = UnderSlab(2.0, 1.0)
    point = operating_point(FAN, FOUND, 125, site=ground)
    assert point.below_pa == pytest.approx(2.0 * point.flow_cfm)
    assert point.fan_pa == pytest.approx(route_loss(FOUND, point.flow_cfm) + point.below_pa, rel=1e-6)
    weak = operating_point(FAN, FOUND, 300, site=ground)
    assert weak.flow_cfm == pytest.approx(point.flow_cfm)
    assert "less than the 1.20 inWC (300 Pa) wanted" in weak.notes(LIMITS)[0]


def test_a_measured_point_is_taken_as_it_was_read() -> None:
    point = measured_point(FAN, FOUND, SiteReading(47, 130))
    assert (point.flow_cfm, point.low_cfm, point.high_cfm) == (47, 47, 47)
    assert point.measured
    assert point.below_pa == 130
    assert point.losses.pa == pytest.approx(route_loss(FOUND, 47))


def test_a_suction_below_nothing_is_refused() -> None:
    with pytest.raises(NotUnderstood, match="suction wanted has to be nothing or more"):
        operating_point(FAN, FOUND, -5)
