"""How quotes held over time: year by year or quarter by quarter, all work or one job type, and whether it improves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp
from statistics import median

from domain.costing import JobResult, OwnHour, own_hour
from domain.quoting_record import beyond_quote_cents, closed_with_quote, sold_and_closed
from domain.track_record import JobTest
from domain.units import format_whole_percent

ENOUGH_JOBS = 5
"""So many jobs a year, to say anything of it (ours, no source)."""


@dataclass(frozen=True, slots=True)
class PeriodRecord:
    """The jobs closed in one year or quarter. The three times are of those that could be forecast beforehand.

    Attributes:
        jobs: closed with an accepted quote; the next two count the same ones.
        under_cents: cost beyond the quote of those that went beyond it.
        hour: what was left for an own hour.
        over: how many took longer than quoted, of the ``timed`` ones with time on both sides.
        quote_miss, record_miss: how far a job typically ended from the quote and from the record, in percent; None
            when there was no such job.
    """

    name: str
    jobs: int
    under_cents: int
    hour: OwnHour | None
    timed: int
    over: int
    quoted_minutes: int
    corrected_minutes: int
    actual_minutes: int
    quote_miss: int | None
    record_miss: int | None


def by_period(
    results: Iterable[JobResult], tests: Iterable[JobTest], *, quarters: bool = False, job_type: str | None = None
) -> list[PeriodRecord]:
    """Each year, or quarter, in which a job was closed, oldest first.

    Args:
        job_type: only jobs of this type; None: all.
    """
    jobs: dict[tuple[int, int], list[JobResult]] = defaultdict(list)
    for job in closed_with_quote(results):
        if job_type in (None, job.job_type) and job.closed_on:
            jobs[_period(job.closed_on, quarters)].append(job)
    tested: dict[tuple[int, int], list[JobTest]] = defaultdict(list)
    for test in tests:
        if job_type in (None, test.job_type):
            tested[_period(test.finished_on, quarters)].append(test)
    return [_record(_name(period), own, tested[period]) for period, own in sorted(jobs.items())]


def improving_words(years: Sequence[PeriodRecord]) -> str:
    """Whether quotes come nearer to the work, in one sentence."""
    enough = [(year.name, year.quote_miss) for year in years if year.timed >= ENOUGH_JOBS]
    found = [(name, miss) for name, miss in enough if miss is not None]
    if len(found) < 2:
        return "It takes two years with five finished jobs each to say whether quoting improves."
    (first, before), (last, now) = found[0], found[-1]
    step = before - now
    if step >= 3:
        verdict = "quoting improves"
    else:
        verdict = "quoting gets worse" if step <= -3 else "quoting has not improved yet"
    return (
        f"In {first} a job typically ended {format_whole_percent(before)} away from its quoted hours, in {last} "
        f"{format_whole_percent(now)}: {verdict}."
    )


def _period(day: date, quarters: bool) -> tuple[int, int]:
    return day.year, (day.month + 2) // 3 if quarters else 0


def _name(period: tuple[int, int]) -> str:
    year, quarter = period
    return f"{year}, quarter {quarter}" if quarter else str(year)


def _record(name: str, jobs: Sequence[JobResult], tests: Sequence[JobTest]) -> PeriodRecord:
    timed = sold_and_closed(jobs)
    off = [max(job.actual_minutes / job.quoted_minutes, job.quoted_minutes / job.actual_minutes) - 1 for job in timed]
    seen = [abs(test.log_error) for test in tests if test.log_error is not None]
    return PeriodRecord(
        name=name,
        jobs=len(jobs),
        under_cents=sum(beyond_quote_cents(job) for job in jobs),
        hour=own_hour(
            sum(job.margin_cents for job in jobs),
            sum(job.own_labour_cents for job in jobs),
            sum(job.own_minutes for job in jobs),
        ),
        timed=len(timed),
        over=sum(1 for job in timed if job.actual_minutes > job.quoted_minutes),
        quoted_minutes=sum(test.quoted_minutes for test in tests),
        corrected_minutes=sum(test.median_minutes for test in tests),
        actual_minutes=sum(test.actual_minutes for test in tests),
        quote_miss=round(100 * median(off)) if off else None,
        record_miss=round(100 * (exp(median(seen)) - 1)) if seen else None,
    )
