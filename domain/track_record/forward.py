"""Walks through the past forward in time: every job is forecast only from jobs finished before it was quoted."""

from __future__ import annotations

from array import array
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import inf, log

from domain.track_record.drift import Drift
from domain.track_record.fitting import fit_levels
from domain.track_record.history import History, held
from domain.track_record.leaning import Book, Guess, Newer, Standing
from domain.track_record.levels import Levels
from domain.track_record.pooling import median
from domain.track_record.spread import Misses
from domain.track_record.whole_jobs import USUAL_LIKENESS, Line, WholeJobs, fit_jobs, lines_of

FEW_JOBS = 5
"""Below so many finished jobs nothing is learned: the default band stands."""

_PART_OF_LINE = 1 / 3  # of a job, in how restless the work is
_FEWEST_LOOKS, _MOST_LOOKS = 8, 30
_FOLLOWED, _FOLLOWED_NOW = 160, 400  # the drift is read off so many jobs, the newest; the second for a quote of today
_LATEST = 60
_LINES_LOOKED_AT = 120_000  # about twice the lines gone through in all looks together


@dataclass(frozen=True, slots=True)
class Knowledge:
    """What was known on one day. ``whole`` is None where every job is a single line, nothing forgotten."""

    jobs: int
    levels: Levels
    whole: WholeJobs | None
    by_job: Standing
    by_line: Standing
    drift: Drift
    lead: float  # so many jobs are finished, usually, from one's quote to its own last day

    def job(self, kind: str, conditions: Collection[str], lines: list[Line]) -> tuple[float, float]:
        """Middle and spread for a whole job, by the levels alone."""
        return (lines[0].middle, lines[0].spread) if self.whole is None else self.whole.of(kind, conditions, lines)


def look_days(history: History) -> list[int]:
    """The days on which the past is looked at anew: with every job at first, later after a part of the whole."""
    looks = max(_FEWEST_LOOKS, min(_MOST_LOOKS, _LINES_LOOKED_AT // max(1, len(history.ratio))))
    total, place, days = len(history.jobs), FEW_JOBS, []
    while place < total:
        days.append(history.jobs[place].finished)
        place += max(1, min(4 * place // looks, total // looks))
    return sorted(set(days))


class Walk:
    """One pass over the past.

    ``past`` holds the misses known at each look; ``now`` is None while there are too few jobs.
    """

    def __init__(self, history: History, half_life_days: int | None = None) -> None:
        self.history = history
        self.single = all(job.last - job.first == 1 and not job.unquoted for job in history.jobs)
        self.raw = array("d", [job.log_ratio for job in history.jobs])
        self.jobs: list[Guess | None] = [None] * len(history.jobs)
        self.past: list[Misses] = []
        self._half_life = half_life_days
        self._likeness = USUAL_LIKENESS
        self._newer = 0  # jobs the drift has seen since the last look
        held_jobs = array("d", [held(job.actual_minutes, job.quoted_minutes) for job in history.jobs])
        kinds = [job.job_type for job in history.jobs]
        self._job_book = Book(kinds, self.raw, held_jobs, array("i", [job.finished for job in history.jobs]))
        self._line_raw = array("d") if self.single else _line_ratios(history)
        self._line_book = self._job_book if self.single else _line_book(history, self._line_raw)
        self._go(history.today + 1)
        self.now = self._look(history.today + 1) if len(history.jobs) >= FEW_JOBS else None

    def _go(self, end_of_time: int) -> None:
        days = look_days(self.history)
        waiting = sorted(range(len(self.jobs)), key=lambda j: self.history.jobs[j].known)
        place = 0
        for day, end in zip(days, [*days[1:], end_of_time], strict=False):
            if self.history.jobs_before(day) < FEW_JOBS:
                continue
            known = self._look(day, final=False)
            self._newer = 0
            self.past.append(known.by_job.misses)
            while place < len(waiting) and self.history.jobs[waiting[place]].known < end:
                if self.history.jobs[waiting[place]].known >= day:
                    self._forecast(waiting[place], known)
                place += 1

    @property
    def forecast(self) -> int:
        """How many jobs were forecast before they were finished."""
        return sum(1 for guess in self.jobs if guess)

    def _look(self, day: int, *, final: bool = True) -> Knowledge:
        """What the jobs finished before the day say."""
        jobs = self.history.jobs_before(day)
        few = self.history.lines_before(jobs) <= _LINES_LOOKED_AT // _MOST_LOOKS
        levels = fit_levels(
            self.history, jobs, self._weights(day, jobs), self._likeness, sweeps=2 if final or few else 1
        )
        whole = None if self.single else fit_jobs(self.history, jobs, levels)
        if whole:
            self._likeness = whole.likeness
        self._job_book.learn_to(day)
        self._line_book.learn_to(day)
        drift, lead = Drift(self._rests(_FOLLOWED_NOW if final else _FOLLOWED, jobs, levels, whole)), self._lead(jobs)
        ahead = drift.ahead(lead)
        by_job = self._job_book.standing(ahead)
        by_line = by_job if self.single else self._line_book.standing(ahead)
        return Knowledge(jobs, levels, whole, by_job, by_line, drift, lead)

    def _rests(self, newest: int, jobs: int, levels: Levels, whole: WholeJobs | None) -> Sequence[float]:
        """What levels and whole jobs leave unexplained of the newest jobs, oldest first."""
        first = max(0, jobs - newest)
        if whole:
            return whole.rests[first:]
        history = self.history  # a job is a line
        return [
            history.ratio[job] - levels.of(history.patterns[history.pattern_of[job]])[0] for job in range(first, jobs)
        ]

    def _lead(self, jobs: int) -> float:
        """From the newest jobs: how many others were finished, usually, from a job's quote to its own end, and one."""
        history = self.history
        newest = range(max(0, jobs - _LATEST), jobs)
        return 1 + median(sorted(job - history.jobs_before(history.jobs[job].known) for job in newest))

    def _weights(self, day: int, jobs: int) -> list[float] | None:
        if not self._half_life:
            return None
        return [
            0.5 ** ((day - job.finished) / self._half_life)
            for job in self.history.jobs[:jobs]
            for _ in range(job.first, job.last)
        ]

    def _forecast(self, job: int, known: Knowledge) -> None:
        own, look = self.history.jobs[job], len(self.past) - 1
        lines = lines_of(self.history, known.levels, job)
        book = self._job_book
        book.learn_to(own.known)
        levels = known.job(own.job_type, own.conditions, lines)
        drift = self._drift_before(own.known, known)
        guess = known.by_job.guess(own.job_type, self.raw[job], *levels, Newer(book.restless, drift), look)
        self.jobs[job] = guess
        book.guessed(job, guess)
        if self.single:
            return
        book, history = self._line_book, self.history
        book.learn_to(own.known)
        for place, line in enumerate(lines, own.first):
            kind = history.patterns[history.pattern_of[place]][0]
            raw = self._line_raw[place]
            newer = Newer(book.restless, drift)
            book.guessed(place, known.by_line.guess(kind, raw, line.middle, line.spread, newer, look))

    def _drift_before(self, day: int, known: Knowledge) -> float:
        """How far all work has drifted, by all jobs finished before the day: those newer than the look, too."""
        history = self.history
        for job in range(known.jobs + self._newer, history.jobs_before(day)):
            own, lines = history.jobs[job], lines_of(history, known.levels, job)
            known.drift.see(
                held(own.actual_minutes, own.quoted_minutes) - known.job(own.job_type, own.conditions, lines)[0]
            )
            self._newer += 1
        return known.drift.ahead(known.lead)


def _line_ratios(history: History) -> array[float]:
    pairs = zip(history.actual, history.quoted, strict=True)
    return array("d", [log(actual / quoted) if actual else -inf for actual, quoted in pairs])


def _line_book(history: History, raw: array[float]) -> Book:
    kinds = [history.patterns[number][0] for number in history.pattern_of]
    finished = array("i", [history.jobs[job].finished for job in history.job_of])
    return Book(kinds, raw, history.ratio, finished, _PART_OF_LINE)
