"""Finished work in the order it was finished, laid out so that any past day can be looked at from that day."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Collection, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import inf, log
from typing import TypeVar

from domain.track_record.outcomes import Outcome, check_minutes, tidy_conditions

FARTHEST = log(20)
"""A line beyond twenty times its quote, either way, counts as twenty times when middles and spreads are learned."""

K = TypeVar("K")

Pattern = tuple[str, str, int, tuple[str, ...]]
"""Job type, task, size class and conditions: lines alike in these are forecast alike."""


@dataclass(frozen=True, slots=True)
class FinishedJob:
    """One finished job with quoted minutes; ``first`` to ``last`` are its lines in the history."""

    key: Hashable
    job_type: str
    finished: int  # ordinal of the day
    known: int  # ordinal of the day it was quoted: only jobs finished before it may speak for it
    first: int
    last: int
    quoted_minutes: int
    actual_minutes: int  # unquoted work included
    unquoted: tuple[tuple[str, int], ...]  # task, minutes
    conditions: frozenset[str]
    day: date  # it was finished

    @property
    def unquoted_minutes(self) -> int:
        return sum(minutes for _, minutes in self.unquoted)

    @property
    def log_ratio(self) -> float:
        """Log of actual over quoted; minus infinity when nothing was done."""
        return log(self.actual_minutes / self.quoted_minutes) if self.actual_minutes else -inf


@dataclass(slots=True)
class Group:
    """The lines of one group, oldest first, and how many different jobs the first k of them come from."""

    members: array[int] = field(default_factory=lambda: array("i"))
    jobs: array[int] = field(default_factory=lambda: array("i"))
    _last_job: int = -1

    def add(self, line: int, job: int) -> None:
        self.members.append(line)
        if job != self._last_job:
            self.jobs.append(self.jobs[-1] + 1 if self.jobs else 1)
            self._last_job = job
        else:
            self.jobs.append(self.jobs[-1])

    def seen(self, lines: int) -> int:
        """How many members are among the first ``lines`` lines of the history."""
        return bisect_left(self.members, lines)


class History:
    """Jobs and their quoted lines, oldest first. Lines are parallel arrays, since there may be very many.

    With ``by_order`` a job's place among the others stands for its day, for logs whose days tell nothing.
    """

    def __init__(self, outcomes: Iterable[Outcome], as_of: date, *, by_order: bool = False) -> None:
        self.jobs: list[FinishedJob] = []
        self.nothing_quoted: list[Hashable] = []  # jobs left out, since there is no quote to compare with
        self.patterns: list[Pattern] = []
        self.pattern_of = array("i")
        self.quoted = array("q")
        self.actual = array("q")
        self.ratio = array("d")  # log of actual over quoted, held within FARTHEST
        self.job_of = array("i")
        self.types: dict[str, Group] = {}
        self.tasks: dict[tuple[str, str], Group] = {}
        self.sizes: dict[int, Group] = {}
        self.conditions: dict[str, Group] = {}
        self.pairs: dict[tuple[str, str], Group] = {}  # job type and condition
        self._number: dict[Pattern, int] = {}
        self._together: dict[frozenset[str], frozenset[str]] = {}  # one object for all jobs alike
        today = as_of.toordinal()
        for key, finished, lines in _jobs_in_order(outcomes):
            if finished <= today:
                self._add_job(key, len(self.jobs) if by_order else finished, lines)
        self.today = len(self.jobs) if by_order else today
        self._finished = [job.finished for job in self.jobs]

    def jobs_before(self, day: int) -> int:
        """How many jobs were finished before that day."""
        return bisect_left(self._finished, day)

    def lines_before(self, jobs: int) -> int:
        """How many lines the first ``jobs`` jobs have."""
        return self.jobs[jobs - 1].last if jobs else 0

    def outcomes(self) -> Iterator[Outcome]:
        """All that was learned from, read back line by line: jobs as finished, work that was not quoted last."""
        for job in self.jobs:
            days = job.day, date.fromordinal(job.known) if job.known > 0 else None
            for line in range(job.first, job.last):
                kind, task, _, conditions = self.patterns[self.pattern_of[line]]
                yield Outcome(job.key, kind, task, conditions, self.quoted[line], self.actual[line], *days)
            for task, minutes in job.unquoted:
                yield Outcome(job.key, job.job_type, task, tuple(sorted(job.conditions)), 0, minutes, *days)

    def _add_job(self, key: Hashable, finished: int, lines: Sequence[Outcome]) -> None:
        quoted = sum(line.quoted_minutes for line in lines)
        if not quoted:
            self.nothing_quoted.append(key)
            return
        first = len(self.ratio)
        by_type: dict[str, int] = {}
        conditions: set[str] = set()
        for line in lines:
            by_type[line.job_type] = by_type.get(line.job_type, 0) + line.quoted_minutes
            if line.quoted_minutes:
                conditions.update(self._add_line(line))
        under = frozenset(conditions)
        known = min((line.quoted_on.toordinal() for line in lines if line.quoted_on), default=finished)
        self.jobs.append(
            FinishedJob(
                key=key,
                job_type=max(by_type, key=by_type.__getitem__),
                finished=finished,
                known=min(known, finished),
                first=first,
                last=len(self.ratio),
                quoted_minutes=quoted,
                actual_minutes=sum(line.actual_minutes for line in lines),
                unquoted=tuple(
                    (line.task, line.actual_minutes)
                    for line in lines
                    if not line.quoted_minutes and line.actual_minutes
                ),
                conditions=self._together.setdefault(under, under),
                day=max(line.finished_on for line in lines),
            )
        )

    def _add_line(self, line: Outcome) -> tuple[str, ...]:
        place, job = len(self.ratio), len(self.jobs)
        pattern = pattern_for(line.job_type, line.task, line.quoted_minutes, line.conditions)
        number = self._number.get(pattern)
        if number is None:
            number = self._number[pattern] = len(self.patterns)
            self.patterns.append(pattern)
        kind, task, size, conditions = pattern
        self.pattern_of.append(number)
        self.quoted.append(line.quoted_minutes)
        self.actual.append(line.actual_minutes)
        self.job_of.append(job)
        self.ratio.append(held(line.actual_minutes, line.quoted_minutes))
        _group(self.types, kind).add(place, job)
        _group(self.tasks, (kind, task)).add(place, job)
        _group(self.sizes, size).add(place, job)
        for condition in conditions:
            _group(self.conditions, condition).add(place, job)
            _group(self.pairs, (kind, condition)).add(place, job)
        return conditions


def pattern_for(job_type: str, task: str, minutes: int, conditions: Collection[str]) -> Pattern:
    """What a line is learned from and forecast by."""
    return job_type, task, size_of(minutes), tidy_conditions(conditions)


def held(actual: int, quoted: int) -> float:
    """log(actual / quoted), held within FARTHEST; ``quoted`` above 0."""
    return max(-FARTHEST, min(FARTHEST, log(actual / quoted))) if actual else -FARTHEST


def size_of(minutes: int) -> int:
    """The size class of a quoted line: 0 below half an hour, then one more with every doubling, 7 from 32 hours."""
    return min(7, (minutes // 30).bit_length())


def _group(groups: dict[K, Group], key: K) -> Group:
    group = groups.get(key)
    if group is None:
        group = groups[key] = Group()
    return group


def _jobs_in_order(outcomes: Iterable[Outcome]) -> list[tuple[Hashable, int, list[Outcome]]]:
    """Every job with its last day and its lines, by that day; on the same day in the order given."""
    lines: dict[Hashable, list[Outcome]] = {}
    for outcome in outcomes:
        check_minutes(outcome.quoted_minutes, outcome.actual_minutes)
        lines.setdefault(outcome.job, []).append(outcome)
    jobs = [(key, max(line.finished_on for line in own).toordinal(), own) for key, own in lines.items()]
    jobs.sort(key=lambda job: job[1])
    return jobs
