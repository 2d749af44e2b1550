"""How far work lands from what was expected: the misses of the past, with a t-like share while they are few.

A miss is (log of actual over quoted - middle) / spread, from a forecast made before the job was finished.
Their distribution is a mixture: the misses seen, and a Student curve that counts as ``IMAGINED`` more, so that
three jobs say little and a thousand say nearly all. The sources, from memory: the predictive of a Dirichlet
process, T. S. Ferguson, "A Bayesian analysis of some nonparametric problems", Annals of Statistics, 1973; bands
from misses made forward in time are conformal, V. Vovk, A. Gammerman and G. Shafer, "Algorithmic Learning in a
Random World", 2005.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from math import exp, inf, log

from domain.track_record.student import mean_size, student_cdf, widening

IMAGINED = 8.0
"""So many misses does the Student curve count for (ours, chosen on made-up histories; see the tests)."""

HALF_LIFE = 750.0
"""A miss weighs half as much after so many newer ones, so that bands follow a change in the work."""

_DEGREES = 3
_GENEROUS = 1.2  # the curve is so much wider than the misses: few numbers seldom hold the far ones
_IMAGINED_SIZE = 4.0  # so many misses of size one are imagined when the curve's width is set
_CALM = 4.0
_WIDEST = 80.0
_HALVINGS = 48
_HAIR = 1e-9
_POINTS = 100


class Misses:
    """The distribution of misses; ``misses`` oldest first, minus infinity for work that was not done."""

    def __init__(self, misses: Sequence[float] = ()) -> None:
        recent = misses[-int(5 * HALF_LIFE) :]
        fade = 0.5 ** (1 / HALF_LIFE)
        pairs = sorted(zip(recent, (fade**age for age in range(len(recent) - 1, -1, -1)), strict=True))
        self.count = len(misses)
        self._misses = [miss for miss, _ in pairs]
        self._below: list[float] = [0.0, *accumulate(weight for _, weight in pairs)]
        size = (sum(min(_CALM, abs(miss)) for miss in recent) + _IMAGINED_SIZE) / (len(recent) + _IMAGINED_SIZE)
        self._scale = _GENEROUS * size / mean_size(_DEGREES) * widening(len(recent) + _DEGREES)

    def share_below(self, miss: float, *, counting: bool = True) -> float:
        """The share of misses below ``miss``, with those exactly there counting or not."""
        place = (bisect_right if counting else bisect_left)(self._misses, miss)
        curve = student_cdf(miss / self._scale, _DEGREES)
        return (self._below[place] + IMAGINED * curve) / (self._below[-1] + IMAGINED)

    def quantile(self, p: float) -> float:
        """The smallest miss with a share of at least ``p`` at or below it; minus infinity for work not done."""
        low, high = -_WIDEST, _WIDEST
        if self.share_below(low) >= p:
            return -inf
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if self.share_below(middle) >= p:
                high = middle
            else:
                low = middle
        return high

    def band(self, p: float) -> tuple[float, float]:
        """Two misses with a share ``p`` between them, ends included; the middle is always inside.

        The tails are equal, unless so many misses lie exactly on one end that the tail beyond it is thinner:
        then the other end moves in, and the share stays as asked for.
        """
        tail = (1 - p) / 2
        low, high = self.quantile(tail), self.quantile(1 - tail)
        under = self.share_below(low - _HAIR, counting=False) if low > -inf else 0.0
        over = 1 - self.share_below(high + _HAIR)
        if under < tail - 1e-3:
            high = max(low, self.quantile(min(1 - _HAIR, p + under)))
        elif over < tail - 1e-3:
            low = self.quantile(max(_HAIR, 1 - p - over))
        return min(low, 0.0), max(high, 0.0)

    @cached_property
    def points(self) -> tuple[float, ...]:
        """A hundred misses, each standing for one part in a hundred."""
        return tuple(self.quantile((part + 0.5) / _POINTS) for part in range(_POINTS))


@dataclass(frozen=True, slots=True)
class Curve:
    """The distribution of an amount (minutes, or cents): quoted x exp(middle + spread x miss), in whole units.

    Half of it lies on either side of quoted x exp(middle).
    """

    quoted: int
    middle: float
    spread: float
    misses: Misses

    def at(self, miss: float) -> int:
        """The amount at a miss, half up; at least one unit of what is quoted and done."""
        if miss == -inf or not self.quoted:
            return 0
        # No more than e^50 times the quote, so that no number overflows.
        return max(1, int(self.quoted * exp(min(50.0, self.middle + self.spread * miss)) + 0.5))

    def quantile(self, p: float) -> int:
        """The amount that is not gone beyond with chance ``p``, 0 < p < 1."""
        if not 0 < p < 1:
            raise ValueError("a quantile is asked for a chance between 0 and 1")
        if p == 0.5:
            return self.at(0.0)
        miss = self.misses.quantile(p)
        return self.at(min(0.0, miss) if p < 0.5 else max(0.0, miss))

    def band(self, p: float) -> tuple[int, int]:
        """Two amounts that hold what happens between them with chance ``p``, ends included, 0 < p < 1."""
        if not 0 < p < 1:
            raise ValueError("a band is asked for a chance between 0 and 1")
        low, high = self.misses.band(p)
        return self.at(low), self.at(high)

    def probability_over(self, amount: int) -> float:
        """The chance that more than ``amount`` is needed."""
        if amount < 0:
            return 1.0
        if not self.quoted:
            return 0.0
        miss = (log(amount / self.quoted) - self.middle) / self.spread if amount else -inf
        over = 1 - self.misses.share_below(miss + _HAIR)
        return max(over, 0.5) if miss < -_HAIR else min(over, 0.5)

    def points(self) -> tuple[int, ...]:
        """A hundred amounts, each standing for one part in a hundred."""
        return tuple(self.at(miss) for miss in self.misses.points)
