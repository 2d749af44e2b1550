"""Whether all work takes longer (or shorter) than it used to, and where that stands when the next job is done.

What the levels leave unexplained of each job, oldest first, is followed in several ways at once: not at all, by a
mean of the newest jobs, and by a straight line through them, each over shorter or longer stretches. Every way says
beforehand what the next job will leave; how probable each found what then came, newer jobs counting more, decides
how much it is believed. So newer jobs weigh more where the jobs themselves ask for it, and only there: at the start
most is given to no drift, and below ``FEWEST`` jobs there is none.

Sources, all from memory: fading means and lines, R. G. Brown, "Smoothing, Forecasting and Prediction", 1963; weights
by fading odds of what each way foretold, A. E. Raftery, M. Karny and P. Ettler, "Online prediction under model
uncertainty via dynamic model averaging", Technometrics, 2010.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

FEWEST = 15
"""Below so many finished jobs no drift is seen (ours, no source)."""

_MEANS, _LINES = (8.0, 20.0, 50.0), (15.0, 35.0, 80.0)
"""Half-lives in jobs."""

_NONE, _A_MEAN, _A_LINE = 0.35, 0.05, 0.60
"""How much no drift, all means together and all lines together are believed before anything is seen (ours)."""

_LEAST_BELIEF = 0.002  # so that a way that was wrong for long can come back
_FADE = 0.5 ** (1 / 50)  # of what was foretold before
_LEVEL_PULL = 0.5  # so many jobs without drift does a mean start from
_SLOPE_PULL = 100.0  # a line starts level: jobs times squared distance
_CALM = 2.5  # a job farther off than so many mean misses counts as so far
_DEGREES, _WIDTH = 4.0, 1.1  # of the curve that says how probable a miss was
_JUDGED_FROM = 10  # jobs
_FIRST_MISS, _FIRST_COUNT = 0.25, 5.0


@dataclass(slots=True)
class _Way:
    """A fading line through the newest jobs, or, with ``slope`` off, their fading mean. Sums over age, newest at 0."""

    fade: float
    slope: bool
    weight: float = 0.0
    aged: float = 0.0
    squared: float = 0.0
    total: float = 0.0
    leaning: float = 0.0

    def ahead(self, jobs: float) -> float:
        """What it expects of the job so many after the newest."""
        weight = self.weight + _LEVEL_PULL
        if not self.slope:
            return self.total / weight
        squared = self.squared + _SLOPE_PULL
        determinant = weight * squared - self.aged * self.aged
        level = (self.total * squared - self.aged * self.leaning) / determinant
        falls = (weight * self.leaning - self.aged * self.total) / determinant  # with every job of age
        return level - falls * jobs

    def see(self, rest: float) -> None:
        fade = self.fade
        self.squared = fade * (self.squared + 2 * self.aged + self.weight)
        self.aged = fade * (self.aged + self.weight)
        self.leaning = fade * (self.leaning + self.total)
        self.total = fade * self.total + rest
        self.weight = fade * self.weight + 1


class Drift:
    """Follows what jobs leave unexplained, one after the other."""

    def __init__(self, rests: Sequence[float] = ()) -> None:
        self._ways = [_Way(0.5 ** (1 / half_life), slope=False) for half_life in _MEANS]
        self._ways += [_Way(0.5 ** (1 / half_life), slope=True) for half_life in _LINES]
        mean, line = log(_A_MEAN / len(_MEANS)), log(_A_LINE / len(_LINES))
        self._prior = [log(_NONE), *[mean] * len(_MEANS), *[line] * len(_LINES)]
        self._odds = [0.0] * len(self._prior)
        self._misses, self._seen = _FIRST_MISS * _FIRST_COUNT, _FIRST_COUNT
        self._beliefs: list[float] | None = None
        self.jobs = 0
        for rest in rests:
            self.see(rest)

    def see(self, rest: float) -> None:
        """Take in what the next job left: log of actual over what the levels expected."""
        size = self._misses / self._seen
        told = [way.ahead(1.0) for way in self._ways]
        middle = self._weighed(told)
        off = max(-_CALM * size, min(_CALM * size, rest - middle))
        if self.jobs >= _JUDGED_FROM:
            self._odds = [
                _FADE * odds + _log_chance(rest - one, size) for odds, one in zip(self._odds, [0.0, *told], strict=True)
            ]
            self._beliefs = None
        self._misses += abs(off)
        self._seen += 1
        self.jobs += 1
        for way in self._ways:
            way.see(middle + off)

    @property
    def beliefs(self) -> list[float]:
        """How much each way is believed, no drift first; together 1."""
        if self._beliefs is None:
            behind = [odds + prior for odds, prior in zip(self._odds, self._prior, strict=True)]
            most = max(behind)
            raw = [max(exp(one - most), _LEAST_BELIEF) for one in behind]
            total = sum(raw)
            self._beliefs = [one / total for one in raw]
        return self._beliefs

    def ahead(self, jobs: float) -> float:
        """How far all work will be from what the levels say, so many jobs after the newest; 0 while jobs are few."""
        return self._weighed([way.ahead(jobs) for way in self._ways])

    def _weighed(self, told: Sequence[float]) -> float:
        if self.jobs < FEWEST:
            return 0.0
        return sum([belief * one for belief, one in zip(self.beliefs[1:], told, strict=True)])


def _log_chance(off: float, size: float) -> float:
    """Of a miss, by a Student curve about as wide as such misses are; up to a constant."""
    reach = _WIDTH * size
    return -(_DEGREES + 1) / 2 * log(1 + off * off / (_DEGREES * reach * reach))
