"""Open jobs that will end beyond their quoted hours, by what the owner says is done so far."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, select

from db.queries.sold import lines_sold, sold_quotes
from db.tables import customer, hours_entry, job, labour_line, task_progress
from domain.earned_value import job_progress

_ByTask = defaultdict[int, defaultdict[int, int]]


@dataclass(frozen=True, slots=True)
class HeadingJob:
    """An open job whose work so far says that it will end beyond its quoted hours."""

    job_id: int
    number: str
    customer: str
    title: str
    quoted_minutes: int
    expected_minutes: int
    words: str


def heading_over(conn: Connection) -> list[HeadingJob]:
    """Open jobs, not installed and still within their hours, that will go beyond by what is done; the furthest first.

    One statement when nothing was said of any job, four when something was.
    """
    noted: dict[int, dict[int, Decimal]] = defaultdict(dict)
    heads: dict[int, tuple[str, str, str]] = {}
    rows = conn.execute(
        select(
            task_progress.c.job_id, task_progress.c.task_id, task_progress.c.done_percent, job.c.number,
            customer.c.name, job.c.title,
        )
        .join(job, job.c.id == task_progress.c.job_id)
        .join(customer, customer.c.id == job.c.customer_id)
        .where(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None), job.c.installed_on.is_(None))
    )  # fmt: skip
    for job_id, task_id, done, *head in rows:
        noted[job_id][task_id] = done
        heads[job_id] = (head[0], head[1], head[2])
    if not noted:
        return []
    jobs = select(job.c.id).where(job.c.id.in_(list(noted)))
    sold = {quote_id: one.job_id for quote_id, one in sold_quotes(conn, jobs).items()}
    quoted, logged = _so_far(conn, sold, list(noted))
    found = []
    for job_id, said in noted.items():
        value = job_progress(quoted[job_id], logged[job_id], said)
        whole = value.whole
        if value.warning and whole is not None and value.spent <= value.budget:
            found.append(HeadingJob(job_id, *heads[job_id], value.budget, whole, value.warning))
    return sorted(found, key=lambda one: one.quoted_minutes - one.expected_minutes)


def _so_far(conn: Connection, sold: Mapping[int, int], job_ids: list[int]) -> tuple[_ByTask, _ByTask]:
    """Quoted and logged minutes of some jobs, by task."""
    quoted: _ByTask = defaultdict(lambda: defaultdict(int))
    logged: _ByTask = defaultdict(lambda: defaultdict(int))
    line, entry = labour_line.c, hours_entry.c
    planned = lines_sold(labour_line, (line.quote_id, line.task_id, func.sum(line.minutes)))
    for quote_id, task_id, minutes in conn.execute(
        planned.where(line.quote_id.in_(list(sold))).group_by(line.quote_id, line.task_id)
    ):
        quoted[sold[quote_id]][task_id] += minutes
    spent = select(entry.job_id, entry.task_id, func.sum(entry.minutes)).where(entry.job_id.in_(job_ids))
    for job_id, task_id, minutes in conn.execute(spent.group_by(entry.job_id, entry.task_id)):
        logged[job_id][task_id] += minutes
    return quoted, logged
