"""How far jobs are: one question that the log, Tonight and the outcome all ask, so that they cannot differ."""

from __future__ import annotations

from collections.abc import Collection

from sqlalchemy import Connection, Select, and_, func, or_, select

from db.queries.job_totals import job_totals
from db.queries.sold import lines_sold, sold_quotes
from db.tables import hours_entry, job, labour_line, quote
from domain.so_far import SoFar


def jobs_so_far(conn: Connection, job_ids: Collection[int]) -> dict[int, SoFar]:
    """How far each of these jobs is, by id, in three statements; none without a job."""
    if not job_ids:
        return {}
    jobs = select(job.c.id).where(job.c.id.in_(set(job_ids)))
    beside = _unquoted_minutes(conn, jobs)
    found = {}
    for row in conn.execute(job_totals((), jobs).where(job.c.id.in_(jobs))):
        found[row.id] = SoFar(
            quoted_minutes=row.quoted_minutes,
            minutes=row.actual_minutes,
            unquoted_minutes=beside.get(row.id, 0),
            quoted_cents=row.cost + row.order_cost,
            cents=row.actual_cost,
        )
    return found


def job_so_far(conn: Connection, job_id: int) -> SoFar:
    """How far one job is."""
    return jobs_so_far(conn, [job_id]).get(job_id, SoFar())


def _unquoted_minutes(conn: Connection, jobs: Select[tuple[int]]) -> dict[int, int]:
    """Minutes marked as not quoted, or on a task for which no time was sold."""
    line = labour_line.c
    sold = list(sold_quotes(conn, jobs))
    quoted = (
        lines_sold(labour_line, (quote.c.job_id, line.task_id))
        .join(quote, quote.c.id == line.quote_id)
        .where(line.quote_id.in_(sold))
        .group_by(quote.c.job_id, line.task_id)
        .having(func.sum(line.minutes) > 0)
        .subquery("quoted")
    )
    entry = hours_entry.c
    on_a_line = and_(quoted.c.job_id == entry.job_id, quoted.c.task_id == entry.task_id)
    rows = conn.execute(
        select(entry.job_id, func.sum(entry.minutes))
        .select_from(hours_entry.outerjoin(quoted, on_a_line))
        .where(entry.job_id.in_(jobs), or_(entry.unquoted, quoted.c.task_id.is_(None)))
        .group_by(entry.job_id)
    )
    return {job_id: int(minutes) for job_id, minutes in rows}
