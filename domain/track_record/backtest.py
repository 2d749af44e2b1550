"""How well the record would have done: past jobs against what was forecast of them beforehand."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date
from math import log

from domain.track_record.forward import Walk
from domain.track_record.leaning import AS_QUOTED, BY_TYPE, ONE_FACTOR
from domain.track_record.spread import Curve
from domain.units import format_whole_percent

BANDS = (50, 80, 95)
PLAIN_RULES = {"no correction": AS_QUOTED, "one overall factor": ONE_FACTOR, "median of the type": BY_TYPE}
"""What anyone could do without this record; the factors are medians of the jobs finished by then."""


@dataclass(frozen=True, slots=True)
class JobTest:
    """One past job: what was forecast of it beforehand, and what it took. Kept small, since there may be very many."""

    job: Hashable
    job_type: str
    finished_on: date
    quoted_minutes: int
    median_minutes: int
    limits: tuple[int, ...]  # low and high of each of BANDS
    actual_minutes: int
    log_error: float | None  # log of actual over the middle; None when nothing was done
    plain: tuple[float, ...]  # the same for each of PLAIN_RULES; empty when nothing was done

    @property
    def bands(self) -> dict[int, tuple[int, int]]:
        """The limits by percent."""
        return {band: (self.limits[2 * i], self.limits[2 * i + 1]) for i, band in enumerate(BANDS)}

    @property
    def plain_errors(self) -> dict[str, float]:
        """The errors of the plain rules by name; empty when nothing was done."""
        return dict(zip(PLAIN_RULES, self.plain, strict=True)) if self.plain else {}

    def inside(self, band: int) -> bool:
        """Whether it came out within that band, ends included."""
        place = 2 * BANDS.index(band)
        low, high = self.limits[place : place + 2]
        return low <= self.actual_minutes <= high


@dataclass(frozen=True, slots=True)
class Backtest:
    """Jobs forecast beforehand, oldest first. The first five jobs of a record are never among them.

    Jobs quoted and then not done count for the bands (nothing is below most of them), not for the errors, since
    there is no log of nothing: ``not_done`` says how many.
    """

    tests: tuple[JobTest, ...]

    @property
    def jobs(self) -> int:
        return len(self.tests)

    @property
    def not_done(self) -> int:
        return sum(1 for test in self.tests if test.log_error is None)

    @property
    def coverage(self) -> dict[int, float]:
        """The share of jobs inside the 50, 80 and 95% band, by percent; empty when none was tested."""
        return {band: self.inside(band) / self.jobs for band in BANDS} if self.tests else {}

    @property
    def bias(self) -> float | None:
        """Mean log of actual over the middle forecast: above 0 the work takes longer than forecast."""
        errors = [test.log_error for test in self.tests if test.log_error is not None]
        return sum(errors) / len(errors) if errors else None

    @property
    def mean_absolute_log_error(self) -> float | None:
        """Mean size of that log: 0.10 is about 10% off, one way or the other."""
        errors = [abs(test.log_error) for test in self.tests if test.log_error is not None]
        return sum(errors) / len(errors) if errors else None

    @property
    def plain_rules(self) -> dict[str, float]:
        """The same of the three plain rules; empty when none was tested."""
        done = [test.plain for test in self.tests if test.plain]
        return {name: sum(abs(errors[i]) for errors in done) / len(done) for i, name in enumerate(PLAIN_RULES) if done}

    def inside(self, band: int) -> int:
        """How many jobs came out within that band."""
        return sum(1 for test in self.tests if test.inside(band))

    def last(self, jobs: int) -> Backtest:
        """The newest so many alone."""
        return Backtest(self.tests[-jobs:] if jobs > 0 else ())

    def where(self, keep: Callable[[JobTest], bool]) -> Backtest:
        """Some of them alone, of one job type say."""
        return Backtest(tuple(test for test in self.tests if keep(test)))

    def in_words(self, band: int = 80) -> str:
        """One sentence for people."""
        if not self.tests:
            return "No job could be tested yet: it takes five finished jobs before one was quoted."
        jobs = "job" if self.jobs == 1 else f"{self.jobs} jobs"
        return f"Of your last {jobs}, {self.inside(band)} fell inside the {format_whole_percent(band)} band."


def backtest_of(walk: Walk) -> Backtest:
    """Read the tests off a walk through the past."""
    tests = []
    for job, guess, raw in zip(walk.history.jobs, walk.jobs, walk.raw, strict=True):
        if guess is None:
            continue
        curve = Curve(job.quoted_minutes, guess.middle, guess.spread, walk.past[guess.look])
        done = job.actual_minutes > 0
        tests.append(
            JobTest(
                job=job.key,
                job_type=job.job_type,
                finished_on=job.day,
                quoted_minutes=job.quoted_minutes,
                median_minutes=curve.at(0.0),
                limits=tuple(limit for band in BANDS for limit in curve.band(band / 100)),
                actual_minutes=job.actual_minutes,
                log_error=log(job.actual_minutes / curve.at(0.0)) if done else None,
                plain=tuple(raw - guess.ways[way] for way in PLAIN_RULES.values()) if done else (),
            )
        )
    return Backtest(tuple(tests))
