"""From lines to a whole job: how the errors of its lines add up, and what the quote as a whole tends to forget."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, inf, log, sqrt

from domain.track_record.history import History, held
from domain.track_record.levels import SIZE_OF_DOUBT, Levels, Part
from domain.track_record.pooling import Wander, median, pull

USUAL_LIKENESS = 0.3
"""How alike the errors within a job are taken to be until jobs of several lines have shown it (ours, no source)."""

_FACTOR_PULL = 10.0  # so many jobs does the level above count for in a spread
_LIKENESSES = tuple(step / 8 for step in range(9))
_LATEST = 800  # likeness is read off so many jobs


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a quote: its minutes, and the middle and spread of its log of actual over quoted."""

    minutes: int
    middle: float
    spread: float


@dataclass(frozen=True, slots=True)
class Sum:
    """Lines added up: middle of log of actual over quoted, and its variance when errors are alike or strangers."""

    middle: float
    together: float
    apart: float

    def spread(self, likeness: float) -> float:
        """likeness (sum w s)^2 + (1 - likeness) sum w^2 s^2, w each line's share of the minutes expected."""
        return sqrt(likeness * self.together + (1 - likeness) * self.apart)


def add_up(lines: Sequence[Line]) -> Sum:
    """The lines of one job added up; at least one."""
    if len(lines) == 1:
        square = lines[0].spread ** 2
        return Sum(lines[0].middle, square, square)
    expected = [line.minutes * exp(line.middle) for line in lines]
    total = sum(expected)
    shares = [minutes / total * line.spread for minutes, line in zip(expected, lines, strict=True)]
    quoted = sum(line.minutes for line in lines)
    return Sum(log(total / quoted), sum(shares) ** 2, sum(share * share for share in shares))


@dataclass(frozen=True, slots=True)
class WholeJobs:
    """What jobs show beyond their lines: an offset (unquoted work above all), and how errors add up."""

    offset: float
    doubt: float
    types: Part[str]
    likeness: float
    factor: float
    type_factors: Mapping[str, float]

    def of(self, kind: str, lines: Sequence[Line]) -> tuple[float, float]:
        """Middle and spread of the log of actual over quoted for a whole job."""
        added = add_up(lines)
        spread = added.spread(self.likeness) * self.type_factors.get(kind, self.factor)
        doubt = self.doubt + self.types.doubt(kind)
        middle = added.middle + self.offset + self.types.effect(kind)
        return middle, sqrt(spread * spread + SIZE_OF_DOUBT * doubt)


def lines_of(history: History, levels: Levels, job: int) -> list[Line]:
    """The lines of a finished job as the levels see them."""
    own = history.jobs[job]
    numbers = history.pattern_of[own.first : own.last]
    return [
        Line(minutes, *levels.of(history.patterns[number]))
        for minutes, number in zip(history.quoted[own.first : own.last], numbers, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Seen:
    """A finished job: what its lines leave unexplained."""

    kind: str
    rest: float
    added: Sum


def fit_jobs(history: History, jobs: int, levels: Levels) -> WholeJobs:
    """Learn from the first ``jobs`` jobs how whole jobs differ from the sum of their lines; at least one."""
    seen = []
    for j in range(jobs):
        own = history.jobs[j]
        added = add_up(lines_of(history, levels, j))
        seen.append(_Seen(own.job_type, held(own.actual_minutes, own.quoted_minutes) - added.middle, added))
    ordered = sorted(job.rest for job in seen)
    wander = Wander(ordered)
    whole = pull([median(ordered)], [wander.variance(jobs)], 0.0)
    offset = whole.estimates[0]
    rests: dict[str, list[float]] = {}
    for job in seen:
        rests.setdefault(job.kind, []).append(job.rest - offset)
    pulled = pull(
        [median(sorted(own)) for own in rests.values()], [wander.variance(len(own)) for own in rests.values()], 0.0
    )
    types = Part(
        dict(zip(rests, pulled.estimates, strict=True)), dict(zip(rests, pulled.doubts, strict=True)), pulled.between
    )
    seen = [_Seen(job.kind, abs(job.rest - offset - types.effect(job.kind)), job.added) for job in seen]
    likeness = _likeness(seen[-_LATEST:])
    factor, type_factors = _factors(seen, likeness)
    return WholeJobs(offset, whole.doubts[0], types, likeness, factor, type_factors)


def _likeness(errors: Sequence[_Seen]) -> float:
    """The likeness under which the errors of jobs with several lines are most probable.

    Errors are taken as two-sided exponential; a few imagined jobs hold the likeness near the usual.
    """
    several = [job for job in errors if job.added.apart < 0.98 * job.added.together]
    best, least = USUAL_LIKENESS, inf
    for likeness in _LIKENESSES:
        cost = 20 * (likeness - USUAL_LIKENESS) ** 2
        for job in several:
            spread = job.added.spread(likeness)
            cost += log(spread) + min(job.rest / spread, 6.0)
        if cost < least:
            best, least = likeness, cost
    return best


def _factors(errors: Sequence[_Seen], likeness: float) -> tuple[float, dict[str, float]]:
    """By how much jobs scatter more than their lines say: all jobs, then each type pulled toward that."""
    rows: dict[str, list[tuple[float, float]]] = {}
    for job in errors:
        spread = job.added.spread(likeness)
        rows.setdefault(job.kind, []).append((min(job.rest, 4 * spread), spread))
    everything = [row for own in rows.values() for row in own]
    usual = sum(spread for _, spread in everything) / len(everything)

    def pooled(own: Sequence[tuple[float, float]], above: float, weight: float) -> float:
        pulls = weight * usual
        return (sum(error for error, _ in own) + pulls * above) / (sum(spread for _, spread in own) + pulls)

    factor = pooled(everything, 1.0, _FACTOR_PULL / 2)
    return factor, {kind: pooled(own, factor, _FACTOR_PULL) for kind, own in rows.items()}
