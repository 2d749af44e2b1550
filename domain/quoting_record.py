"""How well quotes have held: by job type, what underbids cost, and how far to believe the record."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, sqrt

from domain.costing import JobResult, OwnHour, own_hour
from domain.money import divide_cents, format_money
from domain.track_record import Backtest, JobTest

SHOWN_TESTS = 60


@dataclass(frozen=True, slots=True)
class TypeRecord:
    """One job type. The three times are of the same jobs: those that could be forecast beforehand; where none could,
    quoted and actual are of all with time on both sides, and there is nothing corrected.

    Attributes:
        under_cents: cost beyond the quote of the jobs closed in the last twelve months that went beyond it.
        hour: what was left for an own hour, over all closed jobs of the type.
    """

    job_type: str
    jobs: int
    tested: int
    quoted_minutes: int
    corrected_minutes: int
    actual_minutes: int
    under_cents: int
    hour: OwnHour | None


@dataclass(frozen=True, slots=True)
class Underbids:
    """Jobs closed in the twelve months up to a day that cost more than quoted."""

    jobs: int
    of: int
    cents: int
    left_out: int = 0  # closed in that time and not fully logged: nobody knows what they cost

    @property
    def words(self) -> str:
        """In one sentence, and what is left out."""
        return f"{self._told}{left_out_words(self.left_out)}"

    @property
    def _one(self) -> str:
        return f"it cost {format_money(self.cents)} more than quoted" if self.jobs else "it cost no more than quoted"

    @property
    def _told(self) -> str:
        if not self.of:
            return "No fully logged job was closed in the last 12 months."
        if self.of == 1:
            return f"In the last 12 months 1 job was closed: {self._one}."
        if not self.jobs:
            return f"None of the {self.of} jobs closed in the last 12 months cost more than quoted."
        each = f", {format_money(divide_cents(self.cents, self.jobs))} each" if self.jobs > 1 else ""
        return (
            f"In the last 12 months {self.jobs} of {self.of} jobs cost more than quoted: {format_money(self.cents)}"
            f"{' together' if self.jobs > 1 else ''}{each}."
        )


def closed_with_quote(results: Iterable[JobResult]) -> list[JobResult]:
    """The jobs that can be held against their quote: closed, not cancelled, with an accepted one, fully logged."""
    return [job for job in results if job.fully_logged and job.accepted]


def not_fully_logged(results: Iterable[JobResult]) -> list[JobResult]:
    """Closed jobs with a quote of which nobody knows what they took: nothing here counts them."""
    return [job for job in results if job.fully_logged is False and job.accepted]


def left_out_words(count: int) -> str:
    """A sentence to stand behind others; "" for none."""
    return f" {count} job{'' if count == 1 else 's'} not fully logged left out." if count else ""


def beyond_quote_cents(job: JobResult) -> int:
    """What a job cost beyond its quote and change orders; 0 when it stayed within."""
    return max(0, job.actual_cost_cents - job.budget_cost_cents)


def sold_and_closed(results: Iterable[JobResult]) -> list[JobResult]:
    """Those of them whose hours can be judged: with time on both sides."""
    return [job for job in closed_with_quote(results) if job.quoted_minutes and job.actual_minutes]


def by_type(results: Iterable[JobResult], tests: Sequence[JobTest], today: date) -> list[TypeRecord]:
    """Each job type, the one with most jobs first."""
    jobs: dict[str, list[JobResult]] = defaultdict(list)
    for job in closed_with_quote(results):
        jobs[job.job_type].append(job)
    tested: dict[str, list[JobTest]] = defaultdict(list)
    for test in tests:
        tested[test.job_type].append(test)
    found = [_type(kind, own, tested[kind], today) for kind, own in jobs.items()]
    return sorted(found, key=lambda one: (-one.jobs, one.job_type))


def _type(kind: str, jobs: Sequence[JobResult], tests: Sequence[JobTest], today: date) -> TypeRecord:
    timed: Sequence[JobTest | JobResult] = tests or sold_and_closed(jobs)
    return TypeRecord(
        job_type=kind,
        jobs=len(jobs),
        tested=len(tests),
        quoted_minutes=sum(one.quoted_minutes for one in timed),
        corrected_minutes=sum(test.median_minutes for test in tests),
        actual_minutes=sum(one.actual_minutes for one in timed),
        under_cents=underbids(jobs, today).cents,
        hour=own_hour(
            sum(job.margin_cents for job in jobs),
            sum(job.own_labour_cents for job in jobs),
            sum(job.own_minutes for job in jobs),
        ),
    )


def underbids(results: Iterable[JobResult], today: date) -> Underbids:
    """What jobs closed in the last twelve months cost beyond their quotes."""
    results = list(results)
    begin = _year_before(today)
    lately = [job for job in closed_with_quote(results) if job.closed_on and begin < job.closed_on <= today]
    beyond = [cents for cents in map(beyond_quote_cents, lately) if cents]
    unknown = [job for job in not_fully_logged(results) if job.closed_on and begin < job.closed_on <= today]
    return Underbids(len(beyond), len(lately), sum(beyond), len(unknown))


def believe_words(backtest: Backtest) -> str:
    """How far to believe the record: the count for people, and what to make of it."""
    lately = backtest.last(SHOWN_TESTS)
    if not lately.jobs:
        return lately.in_words()
    wanted, inside = 0.8 * lately.jobs, lately.inside(80)
    give = 1.64 * sqrt(lately.jobs * 0.8 * 0.2)  # a right band is called wrong one time in twenty, on either side
    if inside < wanted - give:
        verdict = "That is fewer than there should be: the bands were too narrow, so allow for more than they say."
    elif inside > wanted + give:
        verdict = "That is more than there should be: the bands were wider than they had to be."
    else:
        verdict = f"It should be about {round(wanted)}: the bands can be believed."
    return f"{lately.in_words()} {verdict}"


def rules(backtest: Backtest) -> list[tuple[str, int]]:
    """How far off, in percent, the record and the plain rules were on the average; the nearest first."""
    record = backtest.mean_absolute_log_error
    if record is None:
        return []
    named = {"no correction": "The quote as it was", "one overall factor": "One factor for all work",
             "median of the type": "The middle of the job type"}  # fmt: skip
    rows = [("The record", record), *((named.get(name, name), miss) for name, miss in backtest.plain_rules.items())]
    return [(name, round(100 * (exp(miss) - 1))) for name, miss in sorted(rows, key=lambda row: row[1])]


def _year_before(day: date) -> date:
    try:
        return day.replace(year=day.year - 1)
    except ValueError:  # February 29
        return day.replace(year=day.year - 1, day=28)
