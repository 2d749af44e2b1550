"""Student's t for the widths that few numbers deserve: its cdf, its quantile, and the range of a next value."""

from __future__ import annotations

from math import atan2, cos, gamma, isinf, pi, sin, sqrt


def student_cdf(t: float, df: int) -> float:
    """P(T <= t) for whole degrees of freedom, by the finite trigonometric series.

    Formula: Abramowitz and Stegun, "Handbook of Mathematical Functions", 26.7.3 and 26.7.4 (from memory; held
    against scipy in the tests).
    """
    if df < 1:
        raise ValueError("degrees of freedom start at 1")
    if isinf(t):
        return 1.0 if t > 0 else 0.0
    angle = atan2(t, sqrt(df))
    cosine, sine = cos(angle), sin(angle)
    if df % 2:
        term = total = cosine if df > 1 else 0.0
        for k in range(3, df - 1, 2):
            term *= cosine * cosine * (k - 1) / k
            total += term
        central = 2 / pi * (angle + sine * total)
    else:
        term = total = 1.0
        for k in range(2, df - 1, 2):
            term *= cosine * cosine * (k - 1) / k
            total += term
        central = sine * total
    return min(1.0, max(0.0, (1 + central) / 2))


def student_quantile(p: float, df: int) -> float:
    """The t below which a share ``p`` lies, 0 < p < 1, by halving."""
    if not 0 < p < 1:
        raise ValueError("a quantile is asked for a share between 0 and 1")
    if p < 0.5:
        return -student_quantile(1 - p, df)
    low, high = 0.0, 1.0
    while student_cdf(high, df) < p:
        low, high = high, high * 2
    for _ in range(80):
        middle = (low + high) / 2
        if student_cdf(middle, df) < p:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def mean_size(df: int) -> float:
    """Mean of |T|, df >= 2: 2 sqrt(df) G((df+1)/2) / (sqrt(pi) (df-1) G(df/2))."""
    return 2 * sqrt(df) * gamma((df + 1) / 2) / (sqrt(pi) * (df - 1) * gamma(df / 2))


def widening(n: int) -> float:
    """How much wider than the spread seen a next value scatters when its centre came from ``n`` values."""
    return sqrt(1 + 1 / n)


def next_value(mean: float, sd: float, n: int, p: float) -> tuple[float, float]:
    """The range that holds the next single value with chance ``p``, from ``n`` >= 2 values of a normal kind.

    Formula: mean -+ t(n - 1) x sd x sqrt(1 + 1/n).
    """
    half = student_quantile((1 + p) / 2, n - 1) * sd * widening(n)
    return mean - half, mean + half
