"""How far work lands from what was expected: the misses of the past, with a t-like share while they are few.

A miss is (log of actual over quoted - middle) / spread, from a forecast made before the job was finished.
Their distribution is a mixture: the misses seen, and a Student curve that counts as ``IMAGINED`` more, so that
three jobs say little and a thousand say nearly all. The sources, from memory: the predictive of a Dirichlet
process, T. S. Ferguson, "A Bayesian analysis of some nonparametric problems", Annals of Statistics, 1973; bands
from misses made forward in time are conformal, V. Vovk, A. Gammerman and G. Shafer, "Algorithmic Learning in a
Random World", 2005.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import exp, inf, log

from domain.track_record.student import mean_size, student_cdf, widening

MOST_REMEMBERED = 1750
"""Older misses than so many weigh next to nothing: five half-lives."""

IMAGINED = 9.0
"""So many misses does the Student curve count for (ours, chosen on made-up histories; see the tests)."""

LONGEST_HALF_LIFE, SHORTEST_HALF_LIFE = 350.0, 50.0
"""A miss weighs half as much after a third as many newer ones as there are, within these, so that bands follow a
change in the work."""

_DEGREES = 3
_GENEROUS = 1.3  # the curve is so much wider than the misses: few numbers seldom hold the far ones
_IMAGINED_SIZE = 4.0  # so many misses of size one are imagined when the curve's width is set
_CALM = 4.0
_WIDEST = 80.0
_HALVINGS = 48
_HAIR = 1e-9
_THIN = 1e-3  # a tail thinner by less is as asked for
_POINTS = 100


@dataclass(frozen=True, slots=True)
class Miss:
    """One past forecast against what happened; ``miss`` is minus infinity for work that was not done."""

    miss: float
    as_quoted: bool  # it took exactly the quoted time


class Misses:
    """The distribution of misses, oldest first.

    Work that took exactly the quoted time is counted apart (``as_quoted`` is its share): for the next quote, too,
    it lies at the quote and not at some miss. Everything below is about the rest.
    """

    def __init__(self, misses: Sequence[Miss] = ()) -> None:
        half_life = max(SHORTEST_HALF_LIFE, min(LONGEST_HALF_LIFE, len(misses) / 3))
        recent = misses[-int(5 * half_life) :]
        fade = 0.5 ** (1 / half_life)
        weights = [fade**age for age in range(len(recent) - 1, -1, -1)]
        rest = sorted((one.miss, weight) for one, weight in zip(recent, weights, strict=True) if not one.as_quoted)
        self._misses = array("d", [miss for miss, _ in rest])
        self._below = array("d", [0.0, *accumulate(weight for _, weight in rest)])
        self._quantiles: dict[float, float] = {}
        self.as_quoted: float = 1 - (self._below[-1] + IMAGINED) / (sum(weights) + IMAGINED)
        size = (sum(min(_CALM, abs(miss)) for miss in self._misses) + _IMAGINED_SIZE) / (len(rest) + _IMAGINED_SIZE)
        self._scale = _GENEROUS * size / mean_size(_DEGREES) * widening(len(rest) + _DEGREES)

    @property
    def edges(self) -> tuple[float, float]:
        """The misses that bound four jobs in five, when the quote itself lies between them."""
        tail = min(0.5, 0.1 / max(1e-6, 1 - self.as_quoted))
        return self.quantile(tail), self.quantile(1 - tail)

    def share_below(self, miss: float, *, counting: bool = True) -> float:
        """The share of misses below ``miss``, with those exactly there counting or not."""
        place = (bisect_right if counting else bisect_left)(self._misses, miss)
        curve = student_cdf(miss / self._scale, _DEGREES)
        share: float = (self._below[place] + IMAGINED * curve) / (self._below[-1] + IMAGINED)
        return share

    def quantile(self, p: float) -> float:
        """The smallest miss with a share of at least ``p`` at or below it; minus infinity for work not done."""
        found = self._quantiles.get(p)
        if found is None:
            found = self._quantiles[p] = self._find(p)
        return found

    def _find(self, p: float) -> float:
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
        miss = self._miss(p)
        return self.at(min(0.0, miss) if p < 0.5 else max(0.0, miss))

    def band(self, p: float) -> tuple[int, int]:
        """Two amounts that hold what happens between them with chance ``p``, ends included, 0 < p < 1.

        The tails are equal, unless so much lies exactly on one end that the tail beyond it is thinner: then the
        other end moves in, and the chance stays as asked for. The middle is always inside.
        """
        if not 0 < p < 1:
            raise ValueError("a band is asked for a chance between 0 and 1")
        tail = (1 - p) / 2
        low, high = self._miss(tail), self._miss(1 - tail)
        under = self._below(low - _HAIR) if low > -inf else 0.0
        over = 1 - self._below(high + _HAIR)
        if under < tail - _THIN:
            high = max(low, self._miss(_short(p + under)))
        elif over < tail - _THIN:
            low = self._miss(_short(tail + tail - over))
        return self.at(min(low, 0.0)), self.at(max(high, 0.0))

    def probability_over(self, amount: int) -> float:
        """The chance that more than ``amount`` is needed."""
        if amount < 0:
            return 1.0
        if not self.quoted:
            return 0.0
        miss = (log(amount / self.quoted) - self.middle) / self.spread if amount else -inf
        over = 1 - self._below(miss + _HAIR)
        return max(over, 0.5) if miss < -_HAIR else min(over, 0.5)

    def points(self) -> tuple[int, ...]:
        """A hundred amounts, each standing for one part in a hundred."""
        return tuple(self.at(self._miss(_short((part + 0.5) / _POINTS))) for part in range(_POINTS))

    @property
    def _quote(self) -> float:
        """The miss at which work takes exactly the quoted time."""
        return -self.middle / self.spread

    def _below(self, miss: float) -> float:
        """The share at or below a miss."""
        as_quoted = self.misses.as_quoted
        return (1 - as_quoted) * self.misses.share_below(miss) + (as_quoted if miss >= self._quote else 0.0)

    def _miss(self, p: float) -> float:
        """The smallest miss with a share of at least ``p`` at or below it."""
        as_quoted, quote = self.misses.as_quoted, self._quote
        if as_quoted == 0:
            return self.misses.quantile(p)
        under = (1 - as_quoted) * self.misses.share_below(quote, counting=False)
        if p <= under:
            return self.misses.quantile(min(1 - _HAIR, p / (1 - as_quoted)))
        if p <= under + as_quoted:
            return quote
        return self.misses.quantile(min(1 - _HAIR, (p - as_quoted) / (1 - as_quoted)))


def _short(p: float) -> float:
    """A share to four places, inside 0 and 1, so that what was found once is found again."""
    return max(1e-4, min(1 - 1e-4, round(p, 4)))
