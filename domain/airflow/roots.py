"""Where a rising or falling function crosses nothing: Chandrupatla's bracketed search.

T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
using derivatives", Advances in Engineering Software 28 (1997); from memory. It never leaves the bracket, so a steep
climb (laminar to turbulent) does no harm.
"""

from __future__ import annotations

from collections.abc import Callable

TOLERANCE = 1e-9
"""Of the answer's own size; far finer than anything here is known."""


def crossing(
    function: Callable[[float], float],
    low: float,
    high: float,
    at_low: float | None = None,
    at_high: float | None = None,
) -> float:
    """The point between low and high where the function changes sign; its ends must have opposite signs.

    Raises ValueError when they have not.
    """
    a, b = high, low
    fa = function(high) if at_high is None else at_high
    fb = function(low) if at_low is None else at_low
    if not fa or not fb:
        return a if not fa else b
    if (fa > 0) == (fb > 0):
        raise ValueError("the function does not change its sign between the two ends")
    t = fa / (fa - fb)
    for _ in range(200):
        x = a + t * (b - a)
        fx = function(x)
        if (fx > 0) == (fa > 0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best, at_best = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        limit = TOLERANCE * abs(best) / abs(b - a) if b != a else 1.0
        if not at_best or limit > 0.5:
            return best
        t = _inverse_quadratic(a, b, c, fa, fb, fc)
        if t < limit / 2:  # the next step would be too small to matter
            return a
        t = min(1 - limit, max(limit, t))
    return best


def crossing_near(function: Callable[[float], float], guess: float, width: float, most: float) -> float | None:
    """As `crossing` for a function that rises, looked for about a guess above nothing and never beyond ``most``.

    ``width``: how far off the guess may be, as a share of it; the search widens as it must. None when the function
    is still below nothing at ``most``; 0 when it is above nothing however small its argument.
    """
    low, high = guess / (1 + width), min(guess * (1 + width), most)
    at_low, at_high = function(low), function(high)
    while at_high < 0:
        if high >= most:
            return None
        width *= 4
        low, at_low, high = high, at_high, min(guess * (1 + width), most)
        at_high = function(high)
    while at_low > 0:
        width *= 4
        high, at_high, low = low, at_low, guess / (1 + width)
        if width > 1e9:
            return 0.0
        at_low = function(low)
    return crossing(function, low, high, at_low, at_high)


def _inverse_quadratic(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """The next step as a share of the bracket: inverse quadratic where that is safe, else half."""
    along = (a - b) / (c - b)
    height = (fa - fb) / (fc - fb)
    if height * height < along and (1 - height) * (1 - height) < 1 - along:
        straight = fa / (fb - fa) * fc / (fb - fc)
        return straight + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5
