"""Margins by job type, month, foundation, lead source or access condition, closed jobs apart from open ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from heapq import nsmallest

from domain.costing.groups import GroupMargin, JobResult, Measured, group_of_measured, measured
from domain.dates import format_month

NOT_RECORDED = "not recorded"
NO_CONDITION = "none recorded"

GROUPINGS = {
    "job-type": "Job type",
    "month": "Month closed",
    "foundation": "Foundation",
    "lead-source": "Lead source",
    "access-condition": "Access condition",
}
"""What jobs can be grouped by, with the word on screen."""


@dataclass(frozen=True, slots=True)
class Margins:
    """Everything the Margins page shows, for one grouping.

    Attributes:
        groups: by name, months by date. A job with several access conditions stands in several groups.
        total: every closed job once, whatever the groups.
        closed: jobs closed within the dates asked for; they alone count in groups and total.
        running: accepted, neither closed nor cancelled; whatever the dates.
        left_out: cancelled within the dates asked for, or logged on without an accepted quote and not closed.
    """

    by: str
    groups: tuple[tuple[GroupMargin, tuple[JobResult, ...]], ...]
    total: GroupMargin
    closed: tuple[JobResult, ...]
    running: tuple[JobResult, ...]
    left_out: tuple[JobResult, ...]

    @property
    def overlapping(self) -> bool:
        """True when a job may stand in more than one group, so that the groups add up to more than the total."""
        return self.by == "access-condition"

    @property
    def not_fully_logged(self) -> int:
        """How many of the closed jobs count in money only, see `domain.closing`."""
        return sum(job.fully_logged is False for job in self.closed)


def margins_of(
    results: Iterable[JobResult], by: str, from_: date | None = None, to: date | None = None
) -> Margins:
    """Group the closed jobs by one of GROUPINGS; from_ and to are days of closing, both included, None for no end.

    Raises ValueError for another grouping.
    """
    keys = _keys_of(by)
    closed: list[JobResult] = []
    running: list[JobResult] = []
    left_out: list[JobResult] = []
    counted: list[Measured] = []
    groups: dict[tuple[str, str], list[Measured]] = defaultdict(list)
    for job in results:
        if job.cancelled_on:
            if _within(job.cancelled_on, from_, to) and job.actual_cost_cents:
                left_out.append(job)
        elif job.closed_on:
            if _within(job.closed_on, from_, to):
                closed.append(job)
                one = measured(job)
                counted.append(one)
                for key in keys(job):
                    groups[key].append(one)
        elif job.accepted:
            running.append(job)
        elif job.actual_cost_cents:
            left_out.append(job)
    return Margins(
        by=by,
        groups=tuple(
            (group_of_measured(name, jobs, key), tuple(one.job for one in jobs))
            for (key, name), jobs in sorted(groups.items())
        ),
        total=group_of_measured("All closed jobs", counted),
        closed=tuple(closed),
        running=tuple(running),
        left_out=tuple(left_out),
    )


def furthest_under(jobs: Iterable[JobResult], most: int = 5) -> tuple[JobResult, ...]:
    """The jobs whose actual margin fell furthest short of the quoted one, worst first; none that did not."""
    short = ((job.against_quote_cents, job.number, job) for job in jobs if job.accepted)
    worst = nsmallest(most, (one for one in short if one[0] < 0))
    return tuple(job for _, _, job in worst)


def _within(day: date, from_: date | None, to: date | None) -> bool:
    return (from_ is None or day >= from_) and (to is None or day <= to)


def _keys_of(by: str) -> Callable[[JobResult], list[tuple[str, str]]]:
    """(sorting key, name) of the groups a job belongs to."""
    if by == "job-type":
        return lambda job: [(job.job_type, job.job_type)]
    if by == "foundation":
        return lambda job: [(job.foundation, job.foundation)]
    if by == "lead-source":
        return lambda job: [(job.lead_source, job.lead_source)]
    if by == "access-condition":
        return lambda job: [(name, name) for name in job.conditions or (NO_CONDITION,)]
    if by == "month":
        return lambda job: [_month(job.closed_on)] if job.closed_on else []
    raise ValueError(f"jobs cannot be grouped by {by!r}")


def _month(day: date) -> tuple[str, str]:
    return day.isoformat()[:7], format_month(day)
