"""Which way of correcting a quote has erred least so far, and how much to lean on each.

Every unit (a job, or a line) is forecast in several ways before it is finished. Afterwards their errors are added
up, newer ones weighing more, and a way's weight falls exponentially with what it lost; the forecast is the weighted
mean of the ways. (N. Littlestone and M. Warmuth, "The weighted majority algorithm", Information and Computation,
1994, from memory.) When no correction does best, the weight goes there and the quote stands as it is.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

from domain.track_record.levels import SIZE_OF_DOUBT
from domain.track_record.pooling import median
from domain.track_record.spread import Miss, Misses

AS_QUOTED, ONE_FACTOR, BY_TYPE, POOLED, LATELY = range(5)
WAYS = ("as quoted", "one factor for all work", "the middle of the type", "the levels", "the levels and lately")

_HANDICAPS = (0.0, 1.0, 2.0, 3.0, 6.0)  # mean errors each way is held behind: a correction must first show itself
_EAGER = 0.5  # how fast weight leaves a way: per mean error lost
_FADE = 0.5 ** (1 / 1000)
_LATELY_UNITS, _LATELY_PART, _LATELY_PULL = 60, 12, 20.0  # the newest 60, or a twelfth of all when that is more
_FEWEST_OF_TYPE = 3  # before its own median is a rule
_FARTHEST_LOSS = 2.0  # one job gone far astray decides nothing
_FIRST_ERROR, _FIRST_COUNT = 0.3, 3.0  # the mean error taken before any is seen, and what it counts for


@dataclass(slots=True)
class Unit:
    """One job or line in the order finished, and what was forecast for it."""

    kind: str
    raw: float  # log of actual over quoted, minus infinity when not done
    held: float  # the same within bounds
    finished: int
    ways: tuple[float, ...] = ()  # empty when it was not forecast
    middle: float = 0.0
    spread: float = 0.0
    look: int = -1  # which look at the past it was forecast from


@dataclass(frozen=True, slots=True)
class Standing:
    """All that a forecast needs from the units finished before one day."""

    overall: float
    by_type: dict[str, float]
    lately: float
    weights: tuple[float, ...]
    misses: Misses

    def ways(self, kind: str, pooled: float) -> tuple[float, ...]:
        """What each way expects: the log of actual over quoted, in the order of WAYS."""
        return 0.0, self.overall, self.by_type.get(kind, self.overall), pooled, pooled + self.lately

    def blend(self, kind: str, pooled: float, spread: float) -> tuple[float, float]:
        """Middle and spread of the ways weighed together; what they disagree about is added to the spread."""
        ways = self.ways(kind, pooled)
        middle = sum([weight * way for weight, way in zip(self.weights, ways, strict=True)])
        apart = sum([weight * (way - middle) ** 2 for weight, way in zip(self.weights, ways, strict=True)])
        return middle, sqrt(spread * spread + SIZE_OF_DOUBT * apart)


class Book:
    """Keeps the score, unit by unit in the order finished."""

    def __init__(self, units: Sequence[Unit]) -> None:
        self._units = units
        self._next = 0
        self._all: list[float] = []
        self._by_type: dict[str, list[float]] = {}
        self._lost = [0.0] * len(WAYS)
        self._error = _FIRST_ERROR * _FIRST_COUNT
        self._scored = _FIRST_COUNT
        self._misses: list[Miss] = []
        self._rests: list[float] = []

    def learn_to(self, day: int) -> None:
        """Take in every unit finished before the day."""
        while self._next < len(self._units) and self._units[self._next].finished < day:
            unit = self._units[self._next]
            self._next += 1
            insort(self._all, unit.held)
            insort(self._by_type.setdefault(unit.kind, []), unit.held)
            if unit.ways:
                self._score(unit)

    def _score(self, unit: Unit) -> None:
        losses = [min(_FARTHEST_LOSS, abs(unit.held - way)) for way in unit.ways]
        self._lost = [old * _FADE + loss for old, loss in zip(self._lost, losses, strict=True)]
        self._error += min(losses)
        self._scored += 1
        self._misses.append(Miss((unit.raw - unit.middle) / unit.spread, unit.raw == 0))
        self._rests.append(unit.held - unit.ways[POOLED])

    def standing(self) -> Standing:
        """What the units taken in so far say; at least one."""
        scale = max(self._error / self._scored, 0.02)
        behind = [lost / scale + handicap for lost, handicap in zip(self._lost, _HANDICAPS, strict=True)]
        least = min(behind)
        raw = [exp(-_EAGER * (lost - least)) for lost in behind]
        total = sum(raw)
        late = sorted(self._rests[-max(_LATELY_UNITS, len(self._rests) // _LATELY_PART) :])
        return Standing(
            overall=median(self._all),
            by_type={kind: median(own) for kind, own in self._by_type.items() if len(own) >= _FEWEST_OF_TYPE},
            lately=median(late) * len(late) / (len(late) + _LATELY_PULL) if late else 0.0,
            weights=tuple(weight / total for weight in raw),
            misses=Misses(self._misses),
        )
