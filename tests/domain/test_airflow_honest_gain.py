"""A gain is the pipe's only where the pipe brings it: the fan as it was read, the same ground, on both sides.

The truth is made up: a fan of our own at a part of its sheet, a ground of our own, both known. Nothing here was
measured at a house.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.airflow import FanCurve, SiteReading, UnderSlab, compare, measured_point, operating_point
from domain.airflow.calibrated import by_pressure, by_speed, calibrated, sheet_factor, speed_factor
from domain.job_takeoff.air import job_air
from domain.job_takeoff.air_rows import air_figures
from domain.job_takeoff.records import FLOW, PRESENT_FAN
from tests.domain.test_airflow_compare import FAN, FOUND, STRONGER, TWO_45S, WIDE
from tests.domain.test_readings_by_fan import DAY, air_limits, blank_plan, row

GROUNDS = st.builds(
    lambda suction, flow, power: UnderSlab(suction / flow**power, power),
    st.floats(30, 300), st.floats(12, 70), st.sampled_from([1.0, 1.5, 2.0]),
)  # fmt: skip


def read(fan: FanCurve, ground: UnderSlab) -> SiteReading:
    """What a person reads at the route as found."""
    point = operating_point(fan, FOUND, 0, site=ground)
    return SiteReading(point.flow_cfm, point.below_pa)


@settings(max_examples=60, deadline=None)
@given(GROUNDS, st.floats(0.6, 1.15), st.booleans(), st.sampled_from([FOUND, TWO_45S, WIDE]))
def test_a_route_against_itself_is_exactly_no_change(ground: UnderSlab, part: float, slow: bool, route) -> None:  # type: ignore[no-untyped-def]
    """Whatever the fan gives of its sheet, and with a reading or without."""
    fan = by_speed(FAN, part) if slow else by_pressure(FAN, part)
    point = operating_point(fan, route, 0, site=ground)
    reading = SiteReading(point.flow_cfm, point.below_pa)
    for compared in (
        compare(route, route, FAN, 125, found_reading=reading),
        compare(route, route, FAN, 125, site=ground),
        compare(route, route, FAN, 125),
    ):
        assert (compared.gain_cfm, compared.low_gain_cfm, compared.high_gain_cfm) == (0, 0, 0)
        if compared.by_pipe is not None:
            assert "no difference you could measure" in compared.sentence
        assert compared.by_fan is None


@settings(max_examples=40, deadline=None)
@given(GROUNDS, st.sampled_from([TWO_45S, WIDE]))
def test_the_true_gain_is_found_with_a_fan_below_its_sheet(ground: UnderSlab, proposed) -> None:  # type: ignore[no-untyped-def]
    """The sheet is off by a tenth in pressure; with the steepness of the ground known the gain is the true one."""
    fan = by_pressure(FAN, 0.9)
    truth = operating_point(fan, proposed, 0, site=ground).flow_cfm - read(fan, ground).flow_cfm
    told = compare(FOUND, proposed, FAN, 125, site=ground, found_reading=read(fan, ground))
    assert told.gain_cfm == pytest.approx(truth, abs=0.02)
    guessed = compare(FOUND, proposed, FAN, 125, found_reading=read(fan, ground))
    assert guessed.low_gain_cfm - 0.02 <= truth <= guessed.high_gain_cfm + 0.02, "steepness not known: in the band"


@settings(max_examples=40, deadline=None)
@given(GROUNDS, st.floats(0.8, 1.1))
def test_a_fan_that_turns_slower_is_in_the_band(ground: UnderSlab, speed: float) -> None:
    fan = by_speed(FAN, speed)
    truth = operating_point(fan, WIDE, 0, site=ground).flow_cfm - operating_point(fan, FOUND, 0, site=ground).flow_cfm
    told = compare(FOUND, WIDE, FAN, 125, found_reading=read(fan, ground))
    assert told.low_gain_cfm - 0.02 <= truth <= told.high_gain_cfm + 0.02


def test_the_sheet_is_not_credited_to_the_pipe() -> None:
    """Read against the bare sheet the same route would seem to gain ten; it was said so once."""
    ground = UnderSlab(100 / 50**1.5, 1.5)
    reading = read(by_pressure(FAN, 0.7), ground)
    by_sheet = operating_point(FAN, FOUND, 0, site=ground).flow_cfm
    assert by_sheet - reading.flow_cfm > 7
    told = compare(FOUND, FOUND, FAN, 125, found_reading=reading)
    assert told.gain_cfm == 0
    assert f"the {reading.flow_cfm:.0f} measured as it is" in told.sentence


@pytest.mark.parametrize("flow", [15, 20, 25])
def test_on_tight_ground_nothing_is_claimed_that_nobody_could_measure(flow: int) -> None:
    ground = UnderSlab(250 / flow**1.5, 1.5)
    told = compare(FOUND, TWO_45S, FAN, 125, found_reading=read(by_pressure(FAN, 0.9), ground))
    assert 0 < told.gain_cfm < 1
    assert "should make no difference you could measure" in told.sentence
    assert f"{told.proposed.flow_cfm:.1f}" not in told.sentence
    assert "instead of" not in told.sentence


def test_a_new_fan_is_not_credited_to_the_elbows() -> None:
    """First the new fan on the old pipe, then the pipe with the new fan: each its own, and together the whole."""
    ground = UnderSlab(310 / 42**1.5, 1.5)
    fan = by_pressure(FAN, 0.9)
    reading = read(fan, ground)
    told = compare(FOUND, TWO_45S, FAN, 125, proposed_curve=STRONGER, site=ground, found_reading=reading)
    alone = operating_point(STRONGER, FOUND, 0, site=ground).flow_cfm
    both = operating_point(STRONGER, TWO_45S, 0, site=ground).flow_cfm
    assert told.by_fan is not None
    assert told.by_pipe is not None
    assert told.by_fan.cfm == pytest.approx(alone - reading.flow_cfm, abs=0.01)
    assert told.by_pipe.cfm == pytest.approx(both - alone, abs=0.01)
    assert told.by_fan.cfm > 5 * told.by_pipe.cfm
    for part in (told.by_fan, told.by_pipe):
        assert part.low_cfm < part.cfm < part.high_cfm
    assert f"about {alone:.0f} cfm of air instead of the {reading.flow_cfm:.0f} measured" in told.sentence
    before, _, after = told.sentence.partition(";")
    assert "elbow" not in before
    assert f"{told.by_pipe.cfm:.1f} cfm" in after or "no difference you could measure" in after


def test_a_suction_typed_is_no_ground() -> None:
    """It does not push back: what it says is the most there can be, and any ground that gives it keeps less."""
    told = compare(FOUND, WIDE, FAN, 125)
    assert "could let up to about" in told.sentence
    assert "nobody has measured" in told.sentence
    at = told.found.flow_cfm
    for power in (1.0, 1.5, 2.0):
        ground = UnderSlab(125 / at**power, power)
        truth = operating_point(FAN, WIDE, 0, site=ground).flow_cfm - at
        assert told.low_gain_cfm - 0.02 <= truth < told.gain_cfm


@settings(max_examples=60, deadline=None)
@given(st.floats(5, 200), st.floats(20, 450))
def test_a_calibrated_fan_gives_what_was_read(flow: float, pressure: float) -> None:
    """Past the end of its sheet, too, where only another speed explains the reading."""
    fan = calibrated(FAN, flow, pressure)
    assert fan.pressure_pa(flow) == pytest.approx(pressure, rel=1e-6)
    assert (sheet_factor(FAN, flow, pressure) is None) == (flow > FAN.last_cfm or not FAN.pressure_pa(flow))
    assert by_speed(FAN, speed_factor(FAN, flow, pressure)).pressure_pa(flow) == pytest.approx(pressure, rel=1e-6)


def test_screen_and_paper_say_the_same_and_the_fan_drawn_goes_through_the_reading() -> None:
    rows = (row(FLOW, PRESENT_FAN, 40, 240),)
    air = job_air(FOUND, TWO_45S, FAN, blank_plan(1), rows, air_limits(DAY), None)
    assert air.comparison is not None
    assert air.found is not None
    assert air.proposed is not None
    assert air.found.fan == air.proposed.fan == air.curve
    assert air.fans == (air.curve,), "one fan, drawn once, as it was read"
    point = measured_point(air.found.fan, FOUND, SiteReading(40, air.found.point.below_pa))
    assert air.found.fan.pressure_pa(40) == pytest.approx(point.below_pa + point.losses.pa)
    figures = {one.label: one for one in air_figures(air, air_limits(DAY))}
    flow = air.proposed.point
    assert figures["Air moved"].proposed == f"{flow.flow_cfm:.0f} cfm ({flow.low_cfm:.0f} to {flow.high_cfm:.0f})"
    assert flow.flow_cfm - 40 == pytest.approx(air.comparison.gain_cfm, abs=1e-3)
    assert flow.low_cfm - 40 == pytest.approx(air.comparison.low_gain_cfm)
    assert ("no difference" in figures["Brought by the pipe"].proposed) == (abs(air.comparison.gain_cfm) < 1)


def test_a_fan_far_from_its_sheet_is_worth_a_look() -> None:
    far = job_air(FOUND, TWO_45S, FAN, blank_plan(1), (row(FLOW, PRESENT_FAN, 40, 120),), air_limits(DAY), None)
    assert any("of what its sheet says at 40 cfm" in note for note in far.notes)
    near = job_air(FOUND, TWO_45S, FAN, blank_plan(1), (row(FLOW, PRESENT_FAN, 40, 400),), air_limits(DAY), None)
    assert not near.notes
