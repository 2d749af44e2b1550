"""The range of the next value from a few: a course note's example, and a factor of ISO 16269-8.

Course notes with 10 values of mean 1312 and standard deviation 25: the next single value lies within 1312 -+ 2.262 x
25 x sqrt(1 + 1/10), about -+ 59, with 95% (secondary copy, gradebuddy.com/doc/43292/8, read).
ISO 16269-8 prints for 30 values and the next 10,000 together at 99% the factor 6.059, and from mean 5.140 and
standard deviation 0.241 the range 3.68 to 6.60 (secondary copy, docs.cntd.ru/document/1200040895, read). Our formula
is for one next value; by Bonferroni's bound, 10,000 next values at 99% are covered by the range of one at
1 - 0.01/10,000, which may only be wider. The quantiles themselves are held against scipy.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as scipy_t

from domain.track_record.student import mean_size, next_value, student_cdf, student_quantile


def test_the_next_value_from_ten() -> None:
    low, high = next_value(1312, 25, 10, 0.95)
    assert student_quantile(0.975, 9) == pytest.approx(2.262, abs=0.0005)
    assert (low, high) == (pytest.approx(1312 - 59, abs=0.4), pytest.approx(1312 + 59, abs=0.4))


def test_the_next_ten_thousand_from_thirty() -> None:
    printed_low = 5.140 - 6.059 * 0.241
    assert printed_low == pytest.approx(3.68, abs=0.005)  # the print agrees with itself
    low, high = next_value(0, 1, 30, 1 - 0.01 / 10_000)
    assert -low == pytest.approx(high)
    assert 6.059 <= high <= 6.059 * 1.05


@given(st.floats(-30, 30), st.integers(1, 60))
def test_shares_are_those_of_scipy(value: float, df: int) -> None:
    assert student_cdf(value, df) == pytest.approx(scipy_t.cdf(value, df), abs=1e-12)


@given(st.floats(0.0005, 0.9995), st.integers(1, 60))
def test_quantiles_are_those_of_scipy(p: float, df: int) -> None:
    assert student_quantile(p, df) == pytest.approx(scipy_t.ppf(p, df), rel=1e-8, abs=1e-9)


@pytest.mark.parametrize("df", [2, 3, 4, 9, 30])
def test_the_mean_size_is_that_of_scipy(df: int) -> None:
    assert mean_size(df) == pytest.approx(scipy_t.expect(abs, args=(df,)), rel=1e-6)
