"""The result of every job and the margins of any grouping, each sum read once from the whole file.

Every statement goes over one table once and answers one row a job or quote; the rows are put together here, so
that no join can count an entry twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Select, and_, func, or_, select

from db.queries.costing import figures_of_jobs
from db.queries.exact import amount_cents, time_cents
from db.queries.sold import NO_TAX, Jobs, lines_sold, of_jobs, purchase_tax, sold_quotes
from db.tables import (
    access_condition,
    customer,
    hours_entry,
    job,
    job_condition,
    job_type,
    labour_line,
    lead_source,
    material_line,
    material_use,
    other_cost,
    other_line,
    person,
    price_adjustment,
    property_,
)
from domain.costing import GroupWhy, JobResult, group_why
from domain.costing.margins import NOT_RECORDED, Margins, margins_of
from domain.money import labour_cents
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
    quoted = _quoted(conn, jobs)
    spent = _spent(conn, jobs)
    written_off = _sums(conn, _written_off(jobs))
    conditions = _conditions(conn, jobs)
    labels: dict[tuple[bool, ...], str] = {}
    results = []
    for row in conn.execute(_heads().where(*where)):
        job_id, number, title, name, kind, source, opened, closed, cancelled, *parts = row
        foundation = labels.get(tuple(parts)) or labels.setdefault(tuple(parts), foundation_label(*parts))
        sold = quoted.get(job_id, _NOT_SOLD)
        actual = spent.get(job_id, _NOTHING)
        # fmt: off
        results.append(JobResult(
            job_id, number, title, name, kind, foundation, source or NOT_RECORDED, conditions.get(job_id, ()),
            opened, closed, cancelled,
            sold.accepted, sold.price, sold.cost, sold.order_price, sold.order_cost, sold.goodwill,
            written_off.get(job_id, 0), sold.minutes,
            actual.minutes, actual.cost + purchase_tax(actual.materials, sold.tax_percent),
            actual.own_minutes, actual.own_labour,
        ))
        # fmt: on
    return results


def jobs_within(from_: date | None, to: date | None) -> Select[tuple[int]] | None:
    """The ids `all_job_results` tells with these dates: closed or cancelled within them, or open; None for all."""
    where = _scope(False, from_, to)
    return select(job.c.id).where(*where) if where else None


def purchase_tax_percents(conn: Connection, jobs: Select[tuple[int]] | None = None) -> dict[int, Decimal]:
    """The sales tax paid on purchases by job id, in percent: of the accepted proposals with a lump-sum treatment."""
    sold = sold_quotes(conn, jobs).values()
    return {one.job_id: one.lump_sum_percent for one in sold if not one.is_order and one.lump_sum_percent}


def why_of_jobs(conn: Connection, job_ids: Sequence[int]) -> GroupWhy:
    """The way from quoted to actual margin of some jobs taken together, with their tasks and causes."""
    parts = [job_ids[start : start + _MOST_IDS] for start in range(0, len(job_ids), _MOST_IDS)]
    return group_why(
        figures
        for part in parts
        for figures in figures_of_jobs(conn, select(job.c.id).where(job.c.id.in_(part))).values()
    )


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


@dataclass(slots=True)
class _Quoted:
    """What was sold to one job, in cents and minutes."""

    accepted: bool = False
    price: int = 0
    cost: int = 0
    order_price: int = 0
    order_cost: int = 0
    goodwill: int = 0
    minutes: int = 0
    tax_percent: Decimal = NO_TAX


@dataclass(slots=True)
class _Spent:
    """What was logged on one job; cost without the tax on purchases."""

    minutes: int = 0
    cost: int = 0
    materials: int = 0
    own_minutes: int = 0
    own_labour: int = 0


_MOST_IDS = 10_000  # well inside the number of parameters a database takes in one statement
_NOT_SOLD, _NOTHING = _Quoted(), _Spent()


def _quoted(conn: Connection, jobs: Jobs) -> dict[int, _Quoted]:
    time = {row[0]: (row[1], row[2]) for row in conn.execute(_line_time(jobs))}
    materials = _sums(conn, _line_amounts(material_line, jobs))
    others = _sums(conn, _line_amounts(other_line, jobs))
    by_job: dict[int, _Quoted] = {}
    for quote_id, one in sold_quotes(conn, jobs).items():
        minutes, labour = time.get(quote_id, (0, 0))
        stuff = materials.get(quote_id, 0)
        cost = labour + stuff + others.get(quote_id, 0) + labour_cents(minutes, one.overhead_rate_cents)
        cost += purchase_tax(stuff, one.lump_sum_percent)
        sums = by_job.get(one.job_id) or by_job.setdefault(one.job_id, _Quoted())
        sums.goodwill += one.goodwill_cents
        sums.minutes += minutes
        if one.is_order:
            sums.order_price += one.price_cents
            sums.order_cost += cost
        else:
            sums.accepted, sums.tax_percent = True, one.lump_sum_percent
            sums.price, sums.cost = one.price_cents, cost
    return by_job


def _spent(conn: Connection, jobs: Jobs) -> dict[int, _Spent]:
    owners = set(conn.execute(select(person.c.id).where(person.c.role == "owner")).scalars())
    by_job: dict[int, _Spent] = {}
    for job_id, person_id, minutes, labour, overhead in conn.execute(_hours(jobs)):
        sums = by_job.get(job_id) or by_job.setdefault(job_id, _Spent())
        sums.minutes += minutes
        sums.cost += labour + overhead
        if person_id in owners:
            sums.own_minutes += minutes
            sums.own_labour += labour
    for job_id, cents in conn.execute(_amounts(material_use, jobs)):
        sums = by_job.get(job_id) or by_job.setdefault(job_id, _Spent())
        sums.cost += cents
        sums.materials += cents
    for job_id, cents in conn.execute(_amounts(other_cost, jobs)):
        sums = by_job.get(job_id) or by_job.setdefault(job_id, _Spent())
        sums.cost += cents
    return by_job


def _sums(conn: Connection, query: Select[Any]) -> dict[int, int]:
    return {row[0]: row[1] for row in conn.execute(query)}


def _conditions(conn: Connection, jobs: Jobs) -> dict[int, tuple[str, ...]]:
    query = (
        select(job_condition.c.job_id, access_condition.c.name)
        .join(access_condition, access_condition.c.id == job_condition.c.condition_id)
        .where(*of_jobs(job_condition, jobs))
        .order_by(access_condition.c.position, access_condition.c.id)
    )
    found: dict[int, tuple[str, ...]] = {}
    for job_id, name in conn.execute(query):
        found[job_id] = (*found.get(job_id, ()), name)
    return found


def _heads() -> Select[Any]:
    return (
        select(
            job.c.id,
            job.c.number,
            job.c.title,
            customer.c.name,
            job_type.c.name,
            lead_source.c.name,
            job.c.opened_on,
            job.c.closed_on,
            job.c.cancelled_on,
            property_.c.slab,
            property_.c.basement,
            property_.c.crawl_space,
        )
        .join(customer, customer.c.id == job.c.customer_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .outerjoin(lead_source, lead_source.c.id == job.c.lead_source_id)
        .order_by(job.c.number)
    )


def _hours(jobs: Jobs) -> Select[Any]:
    entry = hours_entry.c
    return (
        select(
            entry.job_id,
            entry.person_id,
            func.sum(entry.minutes),
            func.sum(time_cents(entry.minutes, entry.rate_cents)),
            func.sum(time_cents(entry.minutes, entry.overhead_rate_cents)),
        )
        .where(*of_jobs(hours_entry, jobs))
        .group_by(entry.job_id, entry.person_id)
    )


def _amounts(entry: Any, jobs: Jobs) -> Select[Any]:
    return (
        select(entry.c.job_id, func.sum(amount_cents(entry.c.quantity, entry.c.unit_cost)))
        .where(*of_jobs(entry, jobs))
        .group_by(entry.c.job_id)
    )


def _written_off(jobs: Jobs) -> Select[Any]:
    adjustment = price_adjustment.c
    return (
        select(adjustment.job_id, func.sum(adjustment.amount_cents))
        .where(adjustment.kind == "write_off", *of_jobs(price_adjustment, jobs))
        .group_by(adjustment.job_id)
    )


def _line_time(jobs: Jobs) -> Select[Any]:
    line = labour_line.c
    columns = (line.quote_id, func.sum(line.minutes), func.sum(time_cents(line.minutes, line.rate_cents)))
    return lines_sold(labour_line, columns, jobs).group_by(line.quote_id)


def _line_amounts(line: Any, jobs: Jobs) -> Select[Any]:
    columns = (line.c.quote_id, func.sum(amount_cents(line.c.quantity, line.c.unit_cost)))
    return lines_sold(line, columns, jobs).group_by(line.c.quote_id)
