"""The result of every job and the margins of any grouping, in four statements whatever their number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import product
from typing import Any

from sqlalchemy import Connection, Select, and_, func, or_, select

from db.queries.costing import figures_of_jobs
from db.queries.job_totals import job_totals
from db.queries.sold import Jobs, of_jobs, sold_quotes
from db.tables import access_condition, job, job_condition, person
from domain.costing import GroupWhy, JobFigures, JobResult, group_why, variance_tree
from domain.costing.margins import NOT_RECORDED, Margins, margins_of
from domain.people import foundation_label


def margins(conn: Connection, by: str, from_: date | None = None, to: date | None = None) -> Margins:
    """Margins of the jobs closed from one day to another, both included, by one of `GROUPINGS`."""
    return margins_of(all_job_results(conn, from_=from_, to=to), by, from_, to)


def all_job_results(
    conn: Connection, *, closed_only: bool = False, from_: date | None = None, to: date | None = None
) -> list[JobResult]:
    """The result of every job, by number; with dates, of those closed or cancelled within them and those still open.

    Args:
        closed_only: only jobs that are closed and not cancelled.
        from_, to: days of closing, both included; None for no end.
    """
    where = _scope(closed_only, from_, to)
    jobs = select(job.c.id).where(*where) if where else None
    conditions = _conditions(conn, jobs)
    owners = conn.execute(select(person.c.id).where(person.c.role == "owner")).scalars().all()
    nothing: tuple[str, ...] = ()
    make = JobResult._make
    return [
        make(
            (
                *row[:5],
                _FOUNDATIONS[row[9:12]],
                row[5] or NOT_RECORDED,
                conditions.get(row[0], nothing),
                *row[6:9],
                *row[12:],
            )
        )
        for row in conn.execute(job_totals(owners, jobs).where(*where)).all()
    ]


def jobs_within(from_: date | None, to: date | None) -> Select[tuple[int]] | None:
    """The ids `all_job_results` tells with these dates: closed or cancelled within them, or open; None for all."""
    where = _scope(False, from_, to)
    return select(job.c.id).where(*where) if where else None


def purchase_tax_percents(conn: Connection, jobs: Select[tuple[int]] | None = None) -> dict[int, Decimal]:
    """The sales tax paid on purchases by job id, in percent: of the accepted proposals with a lump-sum treatment."""
    sold = sold_quotes(conn, jobs).values()
    return {one.job_id: one.lump_sum_percent for one in sold if not one.is_order and one.lump_sum_percent}


def still_to_come(conn: Connection, job_ids: Sequence[int]) -> dict[int, int]:
    """The quoted cents for what is not logged yet, by id of these jobs, as their outcome tells it."""
    return {
        job_id: variance_tree(figures).still_to_come_cents
        for job_id, figures in _figures_of(conn, job_ids)
    }


def _figures_of(conn: Connection, job_ids: Sequence[int]) -> Iterator[tuple[int, JobFigures]]:
    for start in range(0, len(job_ids), _MOST_IDS):
        part = job_ids[start : start + _MOST_IDS]
        yield from figures_of_jobs(conn, select(job.c.id).where(job.c.id.in_(part))).items()


def why_of_jobs(conn: Connection, job_ids: Sequence[int]) -> GroupWhy:
    """The way from quoted to actual margin of some jobs taken together, with their tasks and causes."""
    return group_why(figures for _, figures in _figures_of(conn, job_ids))


def count_closed(conn: Connection) -> int:
    """How many jobs are closed; it decides whether adding them up is worth a moment's notice."""
    return int(conn.execute(select(func.count()).where(*_scope(True, None, None))).scalar_one())


def _scope(closed_only: bool, from_: date | None, to: date | None) -> list[Any]:
    if closed_only:
        return [job.c.cancelled_on.is_(None), job.c.closed_on.is_not(None), *_within(job.c.closed_on, from_, to)]
    if from_ is None and to is None:
        return []
    open_ones = and_(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None))
    closed, cancelled = (and_(*_within(day, from_, to)) for day in (job.c.closed_on, job.c.cancelled_on))
    return [or_(open_ones, closed, cancelled)]


def _within(day: Any, from_: date | None, to: date | None) -> list[Any]:
    return [*([day >= from_] if from_ else []), *([day <= to] if to else [])]


_FOUNDATIONS = {parts: foundation_label(*parts) for parts in product((False, True), repeat=3)}
_MOST_IDS = 10_000  # well inside the number of parameters a database takes in one statement


def _conditions(conn: Connection, jobs: Jobs) -> dict[int, tuple[str, ...]]:
    """The names of a job's access conditions, in the order they were ticked."""
    names = {row[0]: (row[1],) for row in conn.execute(select(access_condition.c.id, access_condition.c.name)).all()}
    query = (
        select(job_condition.c.job_id, job_condition.c.condition_id)
        .where(*of_jobs(job_condition, jobs))
        .order_by(job_condition.c.id)
    )
    found: dict[int, tuple[str, ...]] = {}
    for job_id, condition_id in conn.execute(query).all():
        found[job_id] = found.get(job_id, ()) + names[condition_id]
    return found
