"""What the air is asked for with values no house has: a kind refusal or a finite answer, never a breakdown."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from math import isfinite
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import (
    friction_factor,
    inside_diameter_in,
    inwc_from_pa,
    pa_from_inwc,
    pipe_loss,
    reynolds,
    route_loss,
    size_change_coefficient,
    velocity_fpm,
    velocity_pressure,
)
from domain.errors import NotUnderstood
from domain.routes import parse_route

NO_NUMBERS = [
    None, "", "fast", [], {}, 1j, object(), float("nan"), float("inf"), 10**400,
    Decimal("NaN"), Decimal("sNaN"), Decimal("-Infinity"),
]  # fmt: skip
ASKED: list[tuple[Callable[..., float], tuple[float, ...]]] = [
    (friction_factor, (40_000.0, 0.001)),
    (pipe_loss, (60.0, 3.04, 20.0)),
    (velocity_fpm, (60.0, 3.04)),
    (velocity_pressure, (1200.0,)),
    (reynolds, (60.0, 3.04)),
    (size_change_coefficient, (3.0, 4.0, 60.0)),
    (inside_diameter_in, (3,)),
    (pa_from_inwc, (1.0,)),
    (inwc_from_pa, (250.0,)),
]
PLACES = [(function, good, place) for function, good in ASKED for place in range(len(good))]


@pytest.mark.parametrize(("function", "good", "place"), PLACES, ids=lambda value: getattr(value, "__name__", None))
@pytest.mark.parametrize("bad", NO_NUMBERS, ids=range(len(NO_NUMBERS)))
def test_what_is_no_number_is_refused(function: Callable[..., float], good: Any, place: int, bad: Any) -> None:
    given_: list[Any] = list(good)
    given_[place] = bad
    with pytest.raises(NotUnderstood, match=r"\.$"):
        function(*given_)


@given(st.data())
def test_any_number_at_all_is_answered_or_refused(data: st.DataObject) -> None:
    function, good = data.draw(st.sampled_from(ASKED))
    values = [data.draw(st.floats(allow_nan=True)) for _ in good]
    try:
        found = function(*values)
    except NotUnderstood:
        return
    assert isfinite(found)


@given(st.floats(0, 1e12))
def test_a_route_has_a_loss_at_any_flow(flow: float) -> None:
    route = parse_route("A: pit basement 3in up 6' 90 along 20' wye B fan up 12' out\nB: pit up 6' 90 along 9'")
    found = route_loss(route, flow)
    assert found >= 0
    assert isfinite(found)


def test_no_air_loses_nothing() -> None:
    assert pipe_loss(0, 3.04, 20) == pipe_loss(60, 3.04, 0) == pipe_loss(5e-324, 3.04, 20) == 0


@pytest.mark.parametrize("size", [0, -3, 3.5, 5, Decimal("3.001"), "three"])
def test_a_size_that_is_not_made_is_named_with_those_that_are(size: Any) -> None:
    with pytest.raises(NotUnderstood, match=r"Choose 1\.5, 2, 3, 4, 6 in"):
        inside_diameter_in(size)
