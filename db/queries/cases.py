"""The finished jobs that stand beside a quote as cases: their numbers, and what was quoted of each task then."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, func, select

from db.queries.sold import lines_sold, sold_quotes
from db.tables import closing_answer, job, labour_line, labour_task, quote
from domain.closing import LEFT_OUT, TASK
from domain.job_price import JobCase, LineCase
from domain.job_price.cases import NO_CONDITION
from domain.track_record import TrackRecord
from domain.units.numbers import to_places


@dataclass(frozen=True, slots=True)
class Cases:
    """The last finished jobs of a type, newest first, and what each task took the last time, by its name."""

    jobs: tuple[JobCase, ...] = ()
    tasks: Mapping[str, LineCase] | None = None

    def of(self, task: str) -> LineCase | None:
        """The last time of a task."""
        return (self.tasks or {}).get(task)


def cases_of(conn: Connection, record: TrackRecord, job_type: str) -> Cases:
    """What the record has seen last of a job type; seven statements at most."""
    whole, last = record.last_jobs(job_type), record.last_times(job_type)
    ids = {_id(one.job) for one in whole} | {_id(one.job) for one in last.values()}
    if not ids:
        return Cases()
    rows = conn.execute(select(job.c.id, job.c.number).where(job.c.id.in_(ids)))
    numbers: dict[int, str] = {row.id: row.number for row in rows}
    amounts = _quantities(conn, ids)
    not_done = _not_done(conn, [_id(one.job) for one in whole])
    tasks = {}
    for task, one in last.items():
        job_id = _id(one.job)
        quantity, unit, factor = amounts.get((job_id, task), (Decimal(0), "", NO_CONDITION))
        if job_id in numbers:
            tasks[task] = LineCase(job_id, numbers[job_id], task, one.quoted, one.actual, quantity, unit, factor)
    jobs = [
        JobCase(_id(one.job), numbers[_id(one.job)], one.quoted, one.actual, not_done.get(_id(one.job), 0))
        for one in whole
        if _id(one.job) in numbers
    ]
    return Cases(tuple(jobs), tasks)


def _id(key: Hashable) -> int:
    """The record takes anything for a job; ours are known by their id."""
    return int(str(key))


def _quantities(conn: Connection, job_ids: Collection[int]) -> dict[tuple[int, str], tuple[Decimal, str, Decimal]]:
    """How much of each task was sold, its unit and the mean factor of it, by job and name of the task."""
    wanted = select(job.c.id).where(job.c.id.in_(job_ids))
    sold = {quote_id: one.job_id for quote_id, one in sold_quotes(conn, wanted).items()}
    line = labour_line.c
    columns = (line.quote_id, line.task_id, line.factor_percent, func.sum(line.quantity).label("quantity"))
    summed = (
        lines_sold(labour_line, columns, wanted)
        .group_by(line.quote_id, line.task_id, line.factor_percent)
        .subquery()
    )  # fmt: skip
    names = select(
        summed.c.quote_id, labour_task.c.name, labour_task.c.unit, summed.c.factor_percent, summed.c.quantity
    ).join(labour_task, labour_task.c.id == summed.c.task_id)
    parts: dict[tuple[int, str], list[tuple[Decimal, Decimal]]] = {}
    units: dict[str, str] = {}
    for quote_id, name, unit, factor, quantity in conn.execute(names):
        if quote_id in sold:
            parts.setdefault((sold[quote_id], name), []).append((Decimal(quantity), factor))
            units[name] = unit
    found = {}
    for key, some in parts.items():
        total = sum((quantity for quantity, _ in some), Decimal(0))
        weighed = sum((quantity * factor for quantity, factor in some), Decimal(0))
        mean = to_places(weighed / total, 3) if total > 0 and weighed > 0 else NO_CONDITION
        found[key] = (total, units[key[1]], mean)
    return found


def _not_done(conn: Connection, job_ids: Collection[int]) -> dict[int, int]:
    """Minutes the owner quoted for tasks that were answered as not done, by job; the record leaves them out."""
    wanted, line, said = select(job.c.id).where(job.c.id.in_(job_ids)), labour_line.c, closing_answer.c
    planned = (
        lines_sold(labour_line, (quote.c.job_id, func.sum(func.coalesce(line.own_minutes, line.minutes))), wanted)
        .join(quote, quote.c.id == line.quote_id)
        .join(closing_answer, (said.job_id == quote.c.job_id) & (said.task_id == line.task_id))
        .where(said.kind == TASK, said.answer == LEFT_OUT, line.quote_id.in_(sold_quotes(conn, wanted)))
    )
    return {job_id: int(minutes) for job_id, minutes in conn.execute(planned.group_by(quote.c.job_id))}
