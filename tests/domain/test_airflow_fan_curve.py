"""A fan's curve: what may be typed, and how it is read between its points."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from domain.airflow import FanCurve, pa_from_inwc
from domain.errors import NotUnderstood

POINTS = [(0, 2.0), (40, 1.7), (80, 1.1), (120, 0.3), (140, 0)]


@st.composite
def curves(draw: st.DrawFn) -> FanCurve:
    flows = draw(st.lists(st.integers(0, 400), min_size=2, max_size=12, unique=True))
    pressures = draw(st.lists(st.integers(0, 1000), min_size=len(flows), max_size=len(flows)))
    assume(max(pressures) > 0)
    return FanCurve(list(zip(sorted(flows), sorted(pressures, reverse=True), strict=True)), "Pa")


@given(curves(), st.floats(0, 1))
def test_between_points_it_reads_as_the_monotone_cubic_of_another_library(curve: FanCurve, place: float) -> None:
    assume(len(curve.flows) > 2)
    flow = curve.flows[0] + place * (curve.last_cfm - curve.flows[0])
    expected = float(PchipInterpolator(curve.flows, curve.pressures)(flow))
    assert curve.pressure_pa(flow) == pytest.approx(expected, rel=1e-9, abs=1e-9)


@given(curves(), st.floats(0, 500), st.floats(0, 500))
def test_it_never_rises(curve: FanCurve, first: float, second: float) -> None:
    less, more = sorted((first, second))
    assert curve.pressure_pa(less) >= curve.pressure_pa(more) - 1e-9


@given(curves())
def test_it_goes_through_its_points_and_stays_between_them(curve: FanCurve) -> None:
    for flow, pressure in zip(curve.flows, curve.pressures, strict=True):
        assert curve.pressure_pa(flow) == pytest.approx(pressure, abs=1e-9)
    assert all(curve.pressures[-1] - 1e-9 <= pressure <= curve.highest_pa + 1e-9 for _, pressure in curve.line())


def test_two_points_are_a_straight_line_kept_level_beyond_its_ends() -> None:
    curve = FanCurve([(20, 200), (100, 100)], "Pa")
    assert curve.pressure_pa(60) == pytest.approx(150)
    assert curve.pressure_pa(40) == pytest.approx(175)
    assert curve.pressure_pa(0) == 200
    assert curve.pressure_pa(500) == 100


def test_units_and_order_do_not_matter() -> None:
    inches = FanCurve(POINTS)
    pascals = FanCurve([(flow, pa_from_inwc(pressure)) for flow, pressure in reversed(POINTS)], "Pa")
    metric = FanCurve([(flow * 1.69901, pa_from_inwc(pressure)) for flow, pressure in POINTS], "Pa", flow_unit="m3/h")
    exact = FanCurve([(Decimal(flow), Decimal(str(pressure))) for flow, pressure in POINTS])
    for flow in (0, 13, 77, 139):
        assert pascals.pressure_pa(flow) == pytest.approx(inches.pressure_pa(flow))
        assert metric.pressure_pa(flow) == pytest.approx(inches.pressure_pa(flow), rel=1e-4)
        assert exact.pressure_pa(flow) == inches.pressure_pa(flow)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([], "two points or more"),
        ([(0, 2)], "two points or more"),
        ([(0, 2), (40, 1), (80, 1.2)], r"rises from 1 to 1\.2 inWC between 40 and 80 cfm"),
        ([(0, 2), (40, 1), (40, 0.9)], "40 cfm stands there twice"),
        ([(0, 2), (-40, 1)], "flow of point 2 has to be nothing or more, not -40 cfm"),
        ([(0, 2), (40, -1)], "pressure of point 2 has to be nothing or more, not -1 inWC"),
        ([(0, 0), (40, 0)], "has to have some pressure"),
        ([(0, float("nan")), (40, 0)], "has to be a number, not nan"),
        ([(0, 2), (60_000, 0)], "more than 5000 cfm"),
        ([(0, 500), (60, 0)], r"more than 100\.\d+ inWC"),
        ([(each, 1) for each in range(201)], "more than a sheet has"),
        ([(0, "two"), (40, 1)], "has to be a number"),
    ],
)
def test_what_is_no_curve_is_refused_at_its_point(points: list[tuple[float, float]], said: str) -> None:
    with pytest.raises(NotUnderstood, match=said):
        FanCurve(points)


def test_other_units_are_refused() -> None:
    with pytest.raises(NotUnderstood, match="inWC or in Pa"):
        FanCurve(POINTS, "psi")
    with pytest.raises(NotUnderstood, match="cfm or in m3/h"):
        FanCurve(POINTS, flow_unit="l/s")
