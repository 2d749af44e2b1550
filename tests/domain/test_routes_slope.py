"""Slope: fall needed and had, play between obstacles, low spots where water would stand, cut lengths by the pitch."""

from __future__ import annotations

from decimal import Decimal
from math import hypot

from hypothesis import given
from hypothesis import strategies as st

from domain.routes import Leg, Route, Run, parse_route, study_route
from domain.routes.slope import LegSlope, LowSpot, Slopes
from tests.domain.route_examples import FEW, RULES, feet, routes


def fall(typed: str) -> Slopes:
    return study_route(parse_route(typed), RULES).slopes


def test_a_leg_laid_at_the_minimum_has_what_it_needs() -> None:
    # 31 ft at 1/8 in per ft: 3.875 in
    assert fall("basement 3in up 6' 90 along 31'").legs == (LegSlope(0, 2, Decimal("3.875"), Decimal("3.875"), None),)


def test_a_level_leg_has_no_fall_and_says_how_much_is_short() -> None:
    (leg,) = fall("up 6' 90 along 12' level").legs
    assert not leg.falls_enough
    assert leg.words == 'needs 1 1/2" of fall, has 0": 1 1/2" short'


def test_play_between_obstacles_counts_the_outside_of_the_pipe() -> None:
    # 3 in pipe is 3.5 in outside. From 6 ft up, 12 ft at 1/8: the high end is 6 ft 1.5 in, its top 1.75 in higher.
    (leg,) = fall("3in up 6' 90 along 12' under 6'4\"").legs
    assert leg.room_in == Decimal("0.746")  # 6'4" is kept as 6.333 ft = 75.996 in; 75.996 - 75.25
    (tight,) = fall("3in up 6' 90 along 12' under 6'2\" over 5'").legs
    assert not tight.fits
    assert 'misses its obstacle by 1 1/4"' in tight.words
    (over,) = fall("3in up 6' 90 along 12' over 5'10\"").legs
    assert over.room_in == Decimal("0.254")  # bottom 72 - 1.75 = 70.25 in, 5'10" is kept as 5.833 ft = 69.996 in


def test_a_sag_holds_water_up_to_its_lower_edge() -> None:
    # down 4 in then up again: from 6 ft, drop 2 in, then 4 in rise; water stands 2 in deep before it runs back
    found = fall("up 6' 90 along 8' drop 1/4 along 16' rise 1/4").low_spots
    assert found == (LowSpot(0, 2, Decimal("2.000")),)


def test_a_trap_is_as_deep_as_its_lower_side() -> None:
    # down 3 ft, up 5 ft: it runs back over the near edge, 3 ft = 36 in above the bottom
    assert fall("up 6' 90 along 2' level 90 down 3' 90 up 5' out").low_spots == (LowSpot(0, 4, Decimal("36.000")),)
    # down 3 ft, up 1 ft to an open end: it runs out there
    assert fall("up 6' 90 along 2' level 90 down 3' 90 up 1' out").low_spots == (LowSpot(0, 4, Decimal("12.000")),)


def test_a_drain_at_the_low_spot_empties_it() -> None:
    assert fall("up 6' 90 along 8' drop 1/4 drain along 16' rise 1/4").low_spots == ()


def test_water_runs_back_through_the_run_it_joins() -> None:
    joined = "A: up 6' wye B up 3' out\nB: up 2' 90 along 4' drop 1/4"  # B falls toward the riser of A
    assert fall(joined).low_spots == ()
    sagging = "A: up 6' 90 along 4' rise 1/4 wye B along 4' out\nB: up 3' 90 along 4' drop 1/4 along 8' rise 1/4"
    assert [(spot.run, spot.depth_in) for spot in fall(sagging).low_spots] == [(1, Decimal("1.000"))]


@given(st.lists(st.tuples(st.sampled_from(("up", "along", "pitched")), feet(20_000, 1)), max_size=12))
def test_a_route_that_never_goes_down_holds_no_water(parts: list[tuple[str, Decimal]]) -> None:
    legs = tuple(Leg(way, length, Decimal(3), "basement", Decimal("0.125")) for way, length in parts)
    route = Route("", "proposed", (Run("A", "pit", legs),))
    found = study_route(route, RULES).slopes
    assert found.low_spots == ()
    assert all(leg.falls_enough for leg in found.legs)


@FEW
@given(routes())
def test_a_low_spot_lies_below_what_is_on_both_sides(route: Route) -> None:
    study = study_route(route, RULES)
    for spot in study.slopes.low_spots:
        placed = study.walk.runs[spot.run][spot.part]
        assert spot.depth_in > 0
        before = placed.start.z if placed.start != placed.end else placed.end.z
        assert placed.end.z <= before


@given(feet(60_000, 1), st.integers(-120_000, 120_000))
def test_cut_lengths_follow_the_pitch(length: Decimal, slope: int) -> None:
    leg = Leg("pitched", length, Decimal(3), "attic", Decimal(slope).scaleb(-4))
    expected = hypot(float(length), float(length) * slope / 120_000)
    assert abs(float(leg.pipe_ft(Decimal("0.125"))) - expected) < 1e-9 * max(1.0, expected)


def test_a_pitch_of_twelve_in_a_foot_is_the_diagonal_of_a_square() -> None:
    (leg,) = parse_route("pitched 5' rise 12").legs
    assert round(leg.pipe_ft(Decimal("0.125")), 6) == Decimal("7.071068")
