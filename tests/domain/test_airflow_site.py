"""Readings taken on site: the ground's curve, test holes, and what cannot be a reading."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import SiteReading, TestHole, UnderSlab, hole_suctions, suction_needed_pa, under_slab
from domain.errors import NotUnderstood

HOLES = (TestHole("north wall", 10, 22), TestHole("stair", 2.5, 31))
READING = SiteReading(40, 200, HOLES)


@given(st.floats(0.01, 50), st.floats(1, 2), st.lists(st.integers(1, 200), min_size=2, max_size=6, unique=True))
def test_readings_on_one_curve_give_that_curve_back(at_one: float, power: float, flows: list[int]) -> None:
    ground = UnderSlab(at_one, power)
    fitted = under_slab([SiteReading(flow, ground.suction_pa(flow)) for flow in flows])
    assert fitted.power == pytest.approx(power, abs=1e-6)
    assert fitted.suction_pa(50) == pytest.approx(ground.suction_pa(50), rel=1e-6)


@pytest.mark.parametrize(("bed", "power"), [("soil", 1), ("gravel", 2), ("", 1.5)])
def test_one_reading_goes_by_what_lies_below_the_slab(bed: str, power: float) -> None:
    ground = under_slab([READING], bed)
    assert ground.suction_pa(40) == pytest.approx(200)
    assert ground.suction_pa(80) == pytest.approx(200 * 2**power)
    assert ground.suction_pa(0) == 0


@pytest.mark.parametrize(("pairs", "power"), [([(20, 100), (40, 100)], 1), ([(20, 10), (40, 400)], 2)])
def test_the_power_stays_between_creeping_and_tumbling(pairs: list[tuple[float, float]], power: float) -> None:
    assert under_slab([SiteReading(*pair) for pair in pairs]).power == power


def test_twice_the_suction_points_draw_twice_the_air_at_the_same_suction() -> None:
    ground = under_slab([READING], "gravel")
    assert ground.with_points(2).suction_pa(80) == pytest.approx(ground.suction_pa(40))
    assert ground.with_points(1) == ground


def test_test_holes_follow_in_proportion() -> None:
    assert hole_suctions(READING, 100) == (TestHole("north wall", 5, 22), TestHole("stair", 1.25, 31))
    assert READING.weakest == HOLES[1]
    needed = suction_needed_pa(READING, 5)
    assert needed == pytest.approx(400)
    assert min(hole.suction_pa for hole in hole_suctions(READING, needed)) == pytest.approx(5)


def test_what_cannot_be_reckoned_says_what_to_do() -> None:
    with pytest.raises(NotUnderstood, match="No test hole is noted"):
        suction_needed_pa(SiteReading(40, 200), 5)
    with pytest.raises(NotUnderstood, match="No suction reached stair"):
        suction_needed_pa(SiteReading(40, 200, (TestHole("stair", 0),)), 5)
    with pytest.raises(NotUnderstood, match="no reading yet"):
        under_slab([])
    with pytest.raises(NotUnderstood, match="soil or gravel"):
        under_slab([READING], "clay")


@pytest.mark.parametrize(
    ("flow", "suction", "holes", "said"),
    [
        (0, 200, (), "flow measured has to be more than nothing"),
        (40, 0, (), "suction measured has to be more than nothing"),
        (40, -200, (), "suction measured has to be more than nothing, not -200 Pa"),
        (40, 200, (TestHole("stair", -1),), "suction at stair has to be nothing or more"),
        (40, 200, (TestHole("stair", 300),), "stair shows 300 Pa, more than the 200 Pa"),
    ],
)
def test_what_cannot_be_a_reading(flow: float, suction: float, holes: tuple[TestHole, ...], said: str) -> None:
    with pytest.raises(NotUnderstood, match=said):
        SiteReading(flow, suction, holes)
