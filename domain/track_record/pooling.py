"""Partial pooling: a middle for each group, pulled toward what it belongs to by how little of it has been seen.

Source of the rule: B. Efron and C. Morris, "Stein's Paradox in Statistics", Scientific American, 1977; for groups
of unequal size the spread between groups is found by the equation of R. C. Paule and J. Mandel with Stein's count
of degrees of freedom (from memory; the published batting example is a test).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import sqrt

_FARTHEST = 1.5  # a value beyond it counts as it when the least variance is set
_HALVINGS = 12  # after a doubling or two: to one part in four thousand


@dataclass(frozen=True, slots=True)
class Pulled:
    """Group estimates after pulling.

    ``between`` is the variance between groups, ``doubts`` what remains unknown about each (variances).
    """

    estimates: tuple[float, ...]
    doubts: tuple[float, ...]
    target: float
    between: float


def pull(estimates: Sequence[float], variances: Sequence[float], target: float | None = None) -> Pulled:
    """Pull each estimate toward ``target`` (their weighted mean when None) by v / (v + between).

    With k groups, ``between`` solves sum((y - target)^2 / (v + between)) = k - 3 (k - 2 for a given target), which
    for equal variances is the positive-part rule of James and Stein; it is 0, and every group takes the target,
    when the groups differ no more than chance makes them. Below five groups, where Stein's count says little,
    half of the groups is asked for instead. Variances must be above 0.
    """
    k = len(estimates)
    if not k:
        return Pulled((), (), target or 0.0, 0.0)
    free = k if target is not None else k - 1
    wanted = max(k - (2 if target is not None else 3), free / 2)
    between = _between(estimates, variances, target, wanted)
    centre = _mean(estimates, variances, between) if target is None else target
    shares = [v / (v + between) for v in variances]
    pulled = tuple(y + share * (centre - y) for y, share in zip(estimates, shares, strict=True))
    return Pulled(pulled, tuple(share * between for share in shares), centre, between)


def _mean(estimates: Sequence[float], variances: Sequence[float], between: float) -> float:
    weights = [1 / (v + between) for v in variances]
    return sum(w * y for w, y in zip(weights, estimates, strict=True)) / sum(weights)


def _misfit(estimates: Sequence[float], variances: Sequence[float], target: float | None, between: float) -> float:
    if target is None:
        centre = _mean(estimates, variances, between)
        return sum([(y - centre) ** 2 / (v + between) for y, v in zip(estimates, variances, strict=True)])
    return sum([(y - target) ** 2 / (v + between) for y, v in zip(estimates, variances, strict=True)])


def _between(estimates: Sequence[float], variances: Sequence[float], target: float | None, wanted: float) -> float:
    """The variance between groups at which the misfit is as wanted; the misfit falls as that variance grows."""
    if wanted <= 0 or _misfit(estimates, variances, target, 0.0) <= wanted:
        return 0.0
    low, high = 0.0, min(variances)
    while _misfit(estimates, variances, target, high) > wanted:
        low, high = high, high * 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _misfit(estimates, variances, target, middle) > wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def median(ordered: Sequence[float]) -> float:
    """Median of values already in order; at least one."""
    n = len(ordered)
    return ordered[n // 2] if n % 2 else (ordered[n // 2 - 1] + ordered[n // 2]) / 2


class Ordered:
    """Values in order, to be read at any share of them; each stands at the middle of its own share."""

    def __init__(self, values: Sequence[float]) -> None:
        self._values = sorted(values)

    def at(self, share: float) -> float:
        """The value at a share, on a straight line between neighbours."""
        values = self._values
        place = share * len(values) - 0.5
        if place <= 0:
            return values[0]
        low = int(place)
        if low + 1 >= len(values):
            return values[-1]
        return values[low] + (place - low) * (values[low + 1] - values[low])


class Weighed(Ordered):
    """The same where some values weigh more than others."""

    def __init__(self, values: Sequence[float], weights: Sequence[float]) -> None:
        pairs = sorted(zip(values, weights, strict=True))
        self._values = [value for value, _ in pairs]
        total = sum(weights)
        below = accumulate((weight for _, weight in pairs), initial=0.0)
        self._shares = [(under + weight / 2) / total for under, (_, weight) in zip(below, pairs, strict=False)]

    def at(self, share: float) -> float:
        values, shares = self._values, self._shares
        high = bisect_left(shares, share)
        if high == 0 or high == len(values):
            return values[min(high, len(values) - 1)]
        part = (share - shares[high - 1]) / (shares[high] - shares[high - 1])
        return values[high - 1] + part * (values[high] - values[high - 1])


class Wander:
    """How far the median of a few values wanders from the median of the many they are like.

    The median of n values lies, two times in three, between the shares 1/2 -+ 1/(2 sqrt(n)) of the whole (the
    binomial law of the number below it); half the width between those two is taken for its standard deviation.
    This holds for any shape, a heap of values at one point included.
    """

    def __init__(self, ordered: Sequence[float]) -> None:
        self._ordered = ordered
        n = len(ordered)
        self.size = sum(min(_FARTHEST, abs(value)) for value in ordered) / n if n else 1.0

    def variance(self, n: float) -> float:
        """Variance of the median of ``n`` values, n > 0."""
        reach = min(0.45, 0.5 / sqrt(n))
        last = len(self._ordered) - 1
        width = self._ordered[round((0.5 + reach) * last)] - self._ordered[round((0.5 - reach) * last)]
        return float(max(width / 2, (0.1 * self.size + 0.005) / sqrt(n)) ** 2)
