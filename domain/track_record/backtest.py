"""How well the record would have done: past jobs against what was forecast of them beforehand."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import log

from domain.track_record.forward import Walk
from domain.track_record.leaning import AS_QUOTED, BY_TYPE, ONE_FACTOR
from domain.track_record.spread import Curve

BANDS = (50, 80, 95)
PLAIN_RULES = {"no correction": AS_QUOTED, "one overall factor": ONE_FACTOR, "median of the type": BY_TYPE}
"""What anyone could do without this record; the factors are medians of the jobs finished by then."""


@dataclass(frozen=True, slots=True)
class JobTest:
    """One past job: what was forecast of it beforehand, and what it took. ``bands`` by percent."""

    job: Hashable
    job_type: str
    finished_on: date
    quoted_minutes: int
    median_minutes: int
    bands: Mapping[int, tuple[int, int]]
    actual_minutes: int
    log_error: float | None  # log of actual over the middle; None when nothing was done
    plain_errors: Mapping[str, float]  # the same for the plain rules; empty when nothing was done

    def inside(self, band: int) -> bool:
        """Whether it came out within that band, ends included."""
        low, high = self.bands[band]
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
        """The share of jobs inside the 50, 80 and 95 % band, by percent; empty when none was tested."""
        return {band: self.inside(band) / self.jobs for band in BANDS} if self.tests else {}

    @property
    def bias(self) -> float | None:
        """Mean log of actual over the middle forecast: above 0 the work takes longer than forecast."""
        errors = [test.log_error for test in self.tests if test.log_error is not None]
        return sum(errors) / len(errors) if errors else None

    @property
    def mean_absolute_log_error(self) -> float | None:
        """Mean size of that log: 0.10 is about 10 % off, one way or the other."""
        errors = [abs(test.log_error) for test in self.tests if test.log_error is not None]
        return sum(errors) / len(errors) if errors else None

    @property
    def plain_rules(self) -> dict[str, float]:
        """The same of the three plain rules; empty when none was tested."""
        done = [test.plain_errors for test in self.tests if test.plain_errors]
        return {name: sum(abs(errors[name]) for errors in done) / len(done) for name in PLAIN_RULES} if done else {}

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
        return f"Of your last {jobs}, {self.inside(band)} fell inside the {band} % band."


def backtest_of(walk: Walk) -> Backtest:
    """Read the tests off a walk through the past."""
    tests = []
    for job, unit in zip(walk.history.jobs, walk.jobs, strict=True):
        if not unit.ways:
            continue
        curve = Curve(job.quoted_minutes, unit.middle, unit.spread, walk.past[unit.look].by_job.misses)
        done = job.actual_minutes > 0
        tests.append(
            JobTest(
                job=job.key,
                job_type=job.job_type,
                finished_on=job.day,
                quoted_minutes=job.quoted_minutes,
                median_minutes=curve.at(0.0),
                bands={band: curve.band(band / 100) for band in BANDS},
                actual_minutes=job.actual_minutes,
                log_error=log(job.actual_minutes / curve.at(0.0)) if done else None,
                plain_errors=_plain(unit.raw, unit.ways) if done else {},
            )
        )
    return Backtest(tuple(tests))


def _plain(log_ratio: float, ways: Sequence[float]) -> dict[str, float]:
    return {name: log_ratio - ways[way] for name, way in PLAIN_RULES.items()}
