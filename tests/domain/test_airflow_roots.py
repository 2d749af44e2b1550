"""The search for a crossing: against another library, over steps, and where there is none."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from domain.airflow.roots import crossing, crossing_near


@given(st.floats(0.01, 1e4), st.floats(0.5, 3), st.floats(0, 100))
def test_it_agrees_with_another_library(target: float, power: float, slope: float) -> None:
    def rising(x: float) -> float:
        return x**power + slope * x - target

    high = max(1.0, target) ** (1 / min(power, 1)) + 1
    expected = brentq(rising, 0, high, xtol=1e-13, rtol=1e-13)
    assert crossing(rising, 0, high) == pytest.approx(expected, rel=1e-7)
    assert crossing_near(rising, 1.0, 0.5, high * 10) == pytest.approx(expected, rel=1e-7)


@given(st.floats(0.1, 9.9))
def test_a_step_is_found_where_it_is(at: float) -> None:
    assert crossing(lambda x: -1.0 if x < at else 2.0, 0, 10) == pytest.approx(at, rel=1e-8)


def test_no_crossing() -> None:
    with pytest.raises(ValueError, match="does not change its sign"):
        crossing(lambda x: x + 1, 0, 10)
    assert crossing_near(lambda x: x - 100, 1.0, 0.5, 50) is None
    assert crossing_near(lambda x: x + 1, 1.0, 0.5, 50) == 0
