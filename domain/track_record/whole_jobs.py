"""From lines to a whole job: how the errors of its lines add up, and what the quote as a whole tends to forget."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from math import exp, inf, log, sqrt
from typing import Any, TypeVar

from domain.track_record.history import History, held
from domain.track_record.levels import SIZE_OF_DOUBT, Levels, Part
from domain.track_record.pooling import Wander, median, pull

K = TypeVar("K")

USUAL_LIKENESS = 0.3
"""How alike the errors within a job are taken to be until jobs of several lines have shown it (ours, no source)."""

_FARTHEST_PULLED = 1.0
# No part of a job is pulled farther than by so many of its own standard errors: limited translation, B. Efron and
# C. Morris, "Limiting the risk of Bayes and empirical Bayes estimators", JASA, 1971 and 1972, from memory.
_FACTOR_PULL = 10.0  # so many jobs does the level above count for in a spread
_LIKENESSES = tuple(step / 8 for step in range(9))
_CROWD = 3  # so many conditions at once, and more, are taken alike
_PAIR_PULL = 4.0  # so many jobs of the type's own scatter does a type under a condition start from
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
    conditions: Part[str]
    pairs: Part[tuple[str, str]]
    crowds: Part[int]  # by how many conditions there are at once
    likeness: float
    factor: float
    type_factors: Mapping[str, float]
    pair_factors: Mapping[tuple[str, str], float]  # over the type's
    rests: Sequence[float]  # what stays unexplained of each job learned from, oldest first

    def of(self, kind: str, conditions: Collection[str], lines: Sequence[Line]) -> tuple[float, float]:
        """Middle and spread of the log of actual over quoted for a whole job."""
        added = add_up(lines)
        spread = added.spread(self.likeness) * self.type_factors.get(kind, self.factor)
        spread *= _widest(self.pair_factors, kind, conditions)
        doubt = self.doubt + self.types.doubt(kind)
        crowd = crowd_of(conditions)
        doubt += self.crowds.doubt(crowd)
        middle = added.middle + self.offset + self.types.effect(kind) + self.crowds.effect(crowd)
        for condition in sorted(conditions):
            middle += self.conditions.effect(condition) + self.pairs.effect((kind, condition))
            doubt += self.conditions.doubt(condition) + self.pairs.doubt((kind, condition))
        return middle, sqrt(spread * spread + SIZE_OF_DOUBT * doubt)


def crowd_of(conditions: Collection[str]) -> int:
    """How many conditions there are at once, three and more alike."""
    return min(len(conditions), _CROWD)


def _widest(factors: Mapping[tuple[str, str], float], kind: str, conditions: Collection[str]) -> float:
    """The factor of the condition under which such work scatters most; 1 without any."""
    return max([factors.get((kind, condition), 1.0) for condition in conditions], default=1.0)


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
    conditions: Collection[str]
    rest: float
    added: Sum


def fit_jobs(history: History, jobs: int, levels: Levels) -> WholeJobs:
    """Learn from the first ``jobs`` jobs how whole jobs differ from the sum of their lines; at least one."""
    seen = []
    for j in range(jobs):
        own = history.jobs[j]
        added = add_up(lines_of(history, levels, j))
        rest = held(own.actual_minutes, own.quoted_minutes) - added.middle
        seen.append(_Seen(own.job_type, own.conditions, rest, added))
    rests = [job.rest for job in seen]
    wander = Wander(sorted(rests))
    everything, kinds, conditions, pairs, crowds = _groups(history, jobs)
    whole: Part[str] = Part({}, {}, 0.0)
    parts: tuple[Part[Any], ...] = (Part({}, {}, 0.0),) * 4
    for _ in range(2):
        whole = _refit(rests, everything, whole, wander)
        types, under, both, crowd = parts
        types = _refit(rests, kinds, types, wander)
        wander = Wander(sorted(rests))
        crowd = _refit(rests, crowds, crowd, wander)
        both = _refit(rests, pairs, both, wander)
        parts = types, _refit(rests, conditions, under, wander), both, crowd
    types, under, both, crowd = parts
    seen = [_Seen(job.kind, job.conditions, abs(rest), job.added) for job, rest in zip(seen, rests, strict=True)]
    likeness = _likeness(seen[-_LATEST:])
    spreads = [job.added.spread(likeness) for job in seen]
    pair_factors: dict[tuple[str, str], float] = {}
    for _ in range(3):  # a type is not to look restless for the sake of one condition
        widest = [_widest(pair_factors, job.kind, job.conditions) for job in seen] if pair_factors else repeat(1.0)
        factor, type_factors = _factors(seen, [one * wide for one, wide in zip(spreads, widest, strict=False)])
        pair_factors = _pair_factors(seen, spreads, type_factors)
    return WholeJobs(
        whole.effect(""), whole.doubt(""), types, under, both, crowd, likeness, factor, type_factors, pair_factors,
        rests,
    )  # fmt: skip


def _groups(
    history: History, jobs: int
) -> tuple[
    dict[str, list[int]], dict[str, list[int]], dict[str, list[int]], dict[tuple[str, str], list[int]],
    dict[int, list[int]],
]:  # fmt: skip
    """All jobs; then by type, by condition, by both, and by how many conditions there are at once."""
    kinds: dict[str, list[int]] = {}
    conditions: dict[str, list[int]] = {}
    pairs: dict[tuple[str, str], list[int]] = {}
    crowds: dict[int, list[int]] = {}
    for j, own in enumerate(history.jobs[:jobs]):
        kinds.setdefault(own.job_type, []).append(j)
        crowds.setdefault(crowd_of(own.conditions), []).append(j)
        for condition in sorted(own.conditions):
            conditions.setdefault(condition, []).append(j)
            pairs.setdefault((own.job_type, condition), []).append(j)
    return {"": list(range(jobs))}, kinds, conditions, pairs, crowds


def _refit(rests: list[float], groups: Mapping[K, list[int]], part: Part[K], wander: Wander) -> Part[K]:
    """Find one part anew and take it out of what is left; none is pulled farther than by its own doubt."""
    before = [part.effect(key) for key in groups]
    raw = [median(sorted(rests[j] for j in own)) + old for own, old in zip(groups.values(), before, strict=True)]
    chances = [wander.variance(len(own)) for own in groups.values()]
    pulled = pull(raw, chances, 0.0)
    effects = {}
    for (key, own), old, new, seen, chance in zip(groups.items(), before, pulled.estimates, raw, chances, strict=True):
        if pulled.between > 0:
            farthest = _FARTHEST_PULLED * sqrt(chance)
            new = max(seen - farthest, min(seen + farthest, new))
        effects[key] = new
        for j in own:
            rests[j] -= new - old
    return Part(effects, dict(zip(groups, pulled.doubts, strict=True)), pulled.between)


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


def _factors(errors: Sequence[_Seen], spreads: Sequence[float]) -> tuple[float, dict[str, float]]:
    """By how much jobs scatter more than their lines say: all jobs, then each type pulled toward that."""
    rows: dict[str, list[tuple[float, float]]] = {}
    for job, spread in zip(errors, spreads, strict=True):
        rows.setdefault(job.kind, []).append((min(job.rest, 4 * spread), spread))
    everything = [row for own in rows.values() for row in own]
    usual = sum(spread for _, spread in everything) / len(everything)

    def pooled(own: Sequence[tuple[float, float]], above: float, weight: float) -> float:
        pulls = weight * usual
        return (sum(error for error, _ in own) + pulls * above) / (sum(spread for _, spread in own) + pulls)

    factor = pooled(everything, 1.0, _FACTOR_PULL / 2)
    return factor, {kind: pooled(own, factor, _FACTOR_PULL) for kind, own in rows.items()}


def _pair_factors(
    errors: Sequence[_Seen], spreads: Sequence[float], type_factors: Mapping[str, float]
) -> dict[tuple[str, str], float]:
    """By how much a type under a condition scatters more than the type does, pulled toward no more and never less.

    A quarter of a standard error is taken off, so that where all scatter alike next to nothing is wider. (A mean of n
    two-sided exponential errors has a standard error of about 1 / sqrt(n) of itself.)
    """
    rows: dict[tuple[str, str], list[float]] = {}
    for job, spread in zip(errors, spreads, strict=True):
        size = min(job.rest / (spread * type_factors[job.kind]), 4.0)
        for condition in job.conditions:
            rows.setdefault((job.kind, condition), []).append(size)
    found = {}
    for pair, own in rows.items():
        counted = len(own) + _PAIR_PULL
        found[pair] = max(1.0, (sum(own) + _PAIR_PULL) / counted - 0.25 / sqrt(counted))
    return found
