"""Which way of correcting a quote has erred least so far, and how much to lean on each.

Every unit (a job, or a line) is forecast in several ways before it is finished. Afterwards their errors are added
up, newer ones weighing more, and a way's weight falls exponentially with what it lost; the forecast is the weighted
mean of the ways. (N. Littlestone and M. Warmuth, "The weighted majority algorithm", Information and Computation,
1994, from memory.) Each type of work has weights of its own, from its own errors and, fading as there is more of it,
from those of other work. Where ways that say "exactly as quoted" hold much of the weight and work is heaped there,
the quote stands as it is and is not moved by the others: the median of a heap is the heap.
"""

from __future__ import annotations

from array import array
from bisect import insort
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

from domain.track_record.levels import SIZE_OF_DOUBT
from domain.track_record.pooling import Wander, median, pull
from domain.track_record.spread import MOST_REMEMBERED, Miss, Misses
from domain.track_record.widths import Widths

AS_QUOTED, ONE_FACTOR, BY_TYPE, TYPE_PULLED, POOLED = range(5)
WAYS = (
    "as quoted",
    "one factor for all work",
    "the middle of the type",
    "the middle of the type, pulled toward all work",
    "the levels",
)

_HANDICAPS = (0.0, 1.0, 1.5, 1.0, 2.0)  # mean errors held behind: a correction must first show itself
_FOR_EXACT = 4.0  # the start that no correction has where the middle of all work is the quote itself
_SETTLED = 0.5  # of the weight for "exactly as quoted", and the quote stands
_HEAP = 0.1  # where at least so much work took exactly the quoted time; the thinner the heap, the more weight it takes
_OTHERS = 120.0  # what other work says of a way counts for so many units of a type at most
_EAGER = 0.5  # how fast weight leaves a way: per mean error lost
_SHORTEST_HALF_LIFE, _LONGEST_HALF_LIFE = 40.0, 1000.0
# An error weighs half as much after half as many newer ones as there are, within these: the levels learn, so what
# they lost when little was known says little of them now.
_FEWEST_OF_TYPE = 3  # before its own median is a rule
_FARTHEST_LOSS = 2.0  # one job gone far astray decides nothing
_FIRST_ERROR, _FIRST_COUNT = 0.3, 3.0  # the mean error taken before any is seen, and what it counts for


@dataclass(slots=True)
class Guess:
    """What was forecast for one job or line before it was finished."""

    ways: tuple[float, ...]
    middle: float
    spread: float
    scatter: float  # the spread before it was widened or narrowed by what was missed before
    inside: bool  # of the 80% band it was forecast with, as it turned out
    look: int  # which look at the past it was forecast from


@dataclass(frozen=True, slots=True)
class Newer:
    """What is known newer than a standing: how much all work scatters lately, and how far it has drifted."""

    restless: float
    drift: float


@dataclass(frozen=True, slots=True)
class Standing:
    """All that a forecast needs from the units finished before one day."""

    overall: float
    by_type: dict[str, float]
    pulled: dict[str, float]
    drift: float
    weights: tuple[float, ...]
    own_weights: dict[str, tuple[float, ...]]  # of the types that were seen
    factors: dict[str, float]
    restless: float
    misses: Misses

    def ways(self, kind: str, pooled: float, newer: Newer | None = None) -> tuple[float, ...]:
        """What each way expects: the log of actual over quoted, in the order of WAYS."""
        drift = self.drift if newer is None else newer.drift
        overall = self.overall
        own, held_back = self.by_type.get(kind, overall), self.pulled.get(kind, overall)
        return 0.0, overall, own, held_back, pooled + drift

    def blend(
        self, kind: str, pooled: float, spread: float, newer: Newer | None = None
    ) -> tuple[float, float]:  # fmt: skip
        """Middle and spread of the ways weighed together; what they disagree about is added to the spread."""
        weighed = list(zip(self.weights_of(kind), self.ways(kind, pooled, newer), strict=True))
        as_quoted = sum([weight for weight, way in weighed if way == 0])
        stands = as_quoted >= max(_SETTLED, 1 - (1 - _SETTLED) * self.misses.as_quoted / _HEAP)
        middle = 0.0 if stands else sum([weight * way for weight, way in weighed])
        apart = sum([weight * (way - middle) ** 2 for weight, way in weighed])
        return middle, sqrt(spread * spread + SIZE_OF_DOUBT * apart) * self.widening(kind, newer)

    def weights_of(self, kind: str) -> tuple[float, ...]:
        """How much to lean on each way for work of a type."""
        return self.own_weights.get(kind, self.weights)

    def widening(self, kind: str, newer: Newer | None = None) -> float:
        """By how much work of this kind, and all work lately, scatters more than its spread says."""
        return self.factors.get(kind, 1.0) * (self.restless if newer is None else newer.restless)

    def guess(self, kind: str, raw: float, pooled: float, spread: float, newer: Newer, look: int) -> Guess:
        """The forecast of a past unit, of which ``raw`` tells only whether it fell inside."""
        middle, wide = self.blend(kind, pooled, spread, newer)
        low, high = self.misses.edges
        inside = raw == 0 or low <= (raw - middle) / wide <= high
        return Guess(self.ways(kind, pooled, newer), middle, wide, wide / self.widening(kind, newer), inside, look)


class Book:
    """Keeps the score, unit by unit in the order finished.

    Args:
        kinds: job type of each unit.
        raw: log of actual over quoted, minus infinity when not done; ``held`` the same within bounds.
        finished: the day of each, rising.
        part: what a unit counts for in how restless all work is.
    """

    def __init__(
        self, kinds: Sequence[str], raw: array[float], held: array[float], finished: Sequence[int], part: float = 1.0
    ) -> None:
        self._kinds, self._raw, self._held, self._finished = kinds, raw, held, finished
        self._guesses: dict[int, Guess] = {}
        self._next = 0
        self._all: list[float] = []
        self._by_type: dict[str, list[float]] = {}
        self._lost = [0.0] * len(WAYS)
        self._own_lost: dict[str, list[float]] = {}  # by type: what each way lost, and how often
        self._error = _FIRST_ERROR * _FIRST_COUNT
        self._scored = _FIRST_COUNT
        self._misses: deque[Miss] = deque(maxlen=MOST_REMEMBERED)
        self._widths = Widths(part)

    @property
    def restless(self) -> float:
        """How much all work scatters lately, by the units taken in up to now."""
        return self._widths.restless

    def guessed(self, unit: int, guess: Guess) -> None:
        """Note what was forecast for a unit; it is scored once the unit is finished."""
        self._guesses[unit] = guess

    def learn_to(self, day: int) -> None:
        """Take in every unit finished before the day."""
        while self._next < len(self._finished) and self._finished[self._next] < day:
            unit = self._next
            self._next += 1
            held, kind = self._held[unit], self._kinds[unit]
            insort(self._all, held)
            insort(self._by_type.setdefault(kind, []), held)
            guess = self._guesses.pop(unit, None)
            if guess:
                self._score(guess, kind, held, self._raw[unit])

    def _score(self, guess: Guess, kind: str, held: float, raw: float) -> None:
        losses = [min(_FARTHEST_LOSS, abs(held - way)) for way in guess.ways]
        fade = 0.5 ** (1 / max(_SHORTEST_HALF_LIFE, min(_LONGEST_HALF_LIFE, self._scored / 2)))
        self._lost = [old * fade + loss for old, loss in zip(self._lost, losses, strict=True)]
        own = self._own_lost.get(kind)
        if own is None:
            own = self._own_lost[kind] = [0.0] * (len(WAYS) + 1)
        for way, loss in enumerate((*losses, 1.0)):
            own[way] = own[way] * fade + loss
        self._error += min(losses)
        self._scored += 1
        self._misses.append(Miss((raw - guess.middle) / guess.spread, raw == 0))
        self._widths.see(kind, abs(raw - guess.middle) / guess.scatter, guess.inside)

    def standing(self, drift: float) -> Standing:
        """What the units taken in so far say, at least one; ``drift`` of all work, as ``drift.Drift`` has it."""
        overall = median(self._all)
        return Standing(
            overall=overall,
            by_type={kind: median(own) for kind, own in self._by_type.items() if len(own) >= _FEWEST_OF_TYPE},
            pulled=self._pulled(overall),
            drift=drift,
            weights=self._weights(self._lost, overall),
            own_weights=self._own_weights(overall),
            factors=self._widths.factors(),
            restless=self._widths.restless,
            misses=Misses(list(self._misses)),
        )

    def _weights(self, all_lost: Sequence[float], overall: float) -> tuple[float, ...]:
        scale = max(self._error / self._scored, 0.02)
        behind = [lost / scale + handicap for lost, handicap in zip(all_lost, _HANDICAPS, strict=True)]
        if overall == 0:
            behind[AS_QUOTED] -= _FOR_EXACT
        least = min(behind)
        raw = [exp(-_EAGER * (lost - least)) for lost in behind]
        total = sum(raw)
        return tuple(weight / total for weight in raw)

    def _own_weights(self, overall: float) -> dict[str, tuple[float, ...]]:
        """By type: what was lost on it counts in full, what was lost on other work the less the more of it there is."""
        found = {}
        count = sum(own[-1] for own in self._own_lost.values())
        for kind, own in self._own_lost.items():
            others = count - own[-1]
            share = _OTHERS / (_OTHERS + others)
            lost = [mine + share * (every - mine) for mine, every in zip(own, self._lost, strict=False)]
            found[kind] = self._weights(lost, overall)
        return found

    def _pulled(self, overall: float) -> dict[str, float]:
        """The middle of each type, pulled toward that of all work by how little of it has been seen."""
        wander = Wander(self._all)
        middles = [median(own) for own in self._by_type.values()]
        found = pull(middles, [wander.variance(len(own)) for own in self._by_type.values()], overall)
        return dict(zip(self._by_type, found.estimates, strict=True))
