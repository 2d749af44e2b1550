"""The finished jobs that stand beside a quote as cases: their numbers, and what was quoted of each task then."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, select

from db.queries.sold import lines_sold, sold_quotes
from db.tables import job, labour_line, labour_task
from domain.job_price import JobCase, LineCase
from domain.track_record import TrackRecord


@dataclass(frozen=True, slots=True)
class Cases:
    """The last finished jobs of a type, newest first, and what each task took the last time, by its name."""

    jobs: tuple[JobCase, ...] = ()
    tasks: Mapping[str, LineCase] | None = None

    def of(self, task: str) -> LineCase | None:
        """The last time of a task."""
        return (self.tasks or {}).get(task)


def cases_of(conn: Connection, record: TrackRecord, job_type: str) -> Cases:
    """What the record has seen last of a job type; five statements at most."""
    whole, last = record.last_jobs(job_type), record.last_times(job_type)
    ids = {_id(one.job) for one in whole} | {_id(one.job) for one in last.values()}
    if not ids:
        return Cases()
    rows = conn.execute(select(job.c.id, job.c.number).where(job.c.id.in_(ids)))
    numbers: dict[int, str] = {row.id: row.number for row in rows}
    amounts = _quantities(conn, ids)
    tasks = {}
    for task, one in last.items():
        job_id = _id(one.job)
        quantity, unit = amounts.get((job_id, task), (Decimal(0), ""))
        if job_id in numbers:
            tasks[task] = LineCase(job_id, numbers[job_id], task, one.quoted, one.actual, quantity, unit)
    jobs = [
        JobCase(_id(one.job), numbers[_id(one.job)], one.quoted, one.actual) for one in whole if _id(one.job) in numbers
    ]
    return Cases(tuple(jobs), tasks)


def _id(key: Hashable) -> int:
    """The record takes anything for a job; ours are known by their id."""
    return int(str(key))


def _quantities(conn: Connection, job_ids: Collection[int]) -> dict[tuple[int, str], tuple[Decimal, str]]:
    """How much of each task was sold, and its unit, by job and name of the task."""
    wanted = select(job.c.id).where(job.c.id.in_(job_ids))
    sold = {quote_id: one.job_id for quote_id, one in sold_quotes(conn, wanted).items()}
    line = labour_line.c
    summed = (
        lines_sold(labour_line, (line.quote_id, line.task_id, func.sum(line.quantity).label("quantity")), wanted)
        .group_by(line.quote_id, line.task_id)
        .subquery()
    )
    names = select(summed.c.quote_id, labour_task.c.name, labour_task.c.unit, summed.c.quantity).join(
        labour_task, labour_task.c.id == summed.c.task_id
    )
    found: dict[tuple[int, str], tuple[Decimal, str]] = {}
    for quote_id, name, unit, quantity in conn.execute(names):
        if quote_id in sold:
            key = (sold[quote_id], name)
            found[key] = (found.get(key, (Decimal(0), unit))[0] + Decimal(quantity), unit)
    return found
