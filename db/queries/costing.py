"""The figures the costing of a job starts from: every quoted and logged row, added up by what it is."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from sqlalchemy import Connection, Select, func, select

from db.queries.exact import amount_cents, time_cents
from db.queries.sold import NO_TAX, Jobs, Sold, lines_sold, of_jobs, purchase_tax, sold_quotes
from db.tables import (
    cause,
    hours_entry,
    item,
    job,
    labour_line,
    labour_task,
    material_line,
    material_use,
    other_cost,
    other_line,
    person,
    person_cost,
    price_adjustment,
)
from domain.costing import (
    CausedTime,
    JobFigures,
    LoggedLabour,
    Material,
    OtherDirect,
    QuotedLabour,
    SoldQuote,
    cause_shares,
)
from domain.money import labour_cents


def job_figures(conn: Connection, job_id: int) -> JobFigures:
    """The figures of one job. Raises LookupError when there is no such job."""
    return figures_of_jobs(conn, select(job.c.id).where(job.c.id == job_id))[job_id]


def figures_of_jobs(conn: Connection, jobs: Jobs = None) -> dict[int, JobFigures]:
    """The figures of these jobs by id, in ten statements whatever their number."""
    sold = sold_quotes(conn, jobs)
    quotes = _quotes(conn, sold, jobs)
    labour = _by_first(conn, _hours(jobs))
    materials = _by_first(conn, _materials(jobs))
    others = _by_first(conn, _others(jobs))
    causes = _by_first(conn, _causes(jobs))
    written_off = {row[0]: row[1] for row in conn.execute(_written_off(jobs)).all()}
    tax_percent = {one.job_id: one.lump_sum_percent for one in sold.values() if not one.is_order}
    figures = {}
    for job_id in conn.execute((select(job.c.id) if jobs is None else jobs).order_by(job.c.id)).scalars():
        used = tuple(Material(*row) for row in materials[job_id])
        logged = tuple(LoggedLabour(*row) for row in labour[job_id])
        planned = [line for _, made in quotes[job_id] for line in made.labour]
        figures[job_id] = JobFigures(
            proposal=next((made for one, made in quotes[job_id] if not one.is_order), None),
            change_orders=tuple(made for one, made in quotes[job_id] if one.is_order),
            labour=logged,
            materials=used,
            others=tuple(OtherDirect(*row) for row in others[job_id]),
            purchase_tax_cents=purchase_tax(sum(use.cents for use in used), tax_percent.get(job_id, NO_TAX)),
            write_off_cents=written_off.get(job_id, 0),
            causes=cause_shares(planned, (CausedTime(*row) for row in causes[job_id])),
        )
    return figures


def owner_wage_cents(conn: Connection, job_id: int) -> int | None:
    """The owner's wage an hour in company costs, on the last day the owner logged time on this job.

    None when the owner logged nothing, or no cost had begun by then.
    """
    last = (
        select(hours_entry.c.person_id, hours_entry.c.day)
        .join(person, person.c.id == hours_entry.c.person_id)
        .where(hours_entry.c.job_id == job_id, person.c.role == "owner")
        .order_by(hours_entry.c.day.desc(), hours_entry.c.id.desc())
        .limit(1)
        .subquery()
    )
    return conn.execute(
        select(person_cost.c.wage_cents)
        .join(last, last.c.person_id == person_cost.c.person_id)
        .where(person_cost.c.starts_on <= last.c.day)
        .order_by(person_cost.c.starts_on.desc(), person_cost.c.id.desc())
        .limit(1)
    ).scalar()


def _by_first(conn: Connection, query: Select[Any]) -> dict[int, list[tuple[Any, ...]]]:
    """What follows the first column, by the first column."""
    found: dict[int, list[tuple[Any, ...]]] = defaultdict(list)
    for row in conn.execute(query).all():
        found[row[0]].append(row[1:])
    return found


def _quotes(conn: Connection, sold: dict[int, Sold], jobs: Jobs) -> dict[int, list[tuple[Sold, SoldQuote]]]:
    """The sold quotes of each job with their lines, in the order of their versions."""
    labour = _by_first(conn, _labour_lines(jobs))
    materials = _by_first(conn, _material_lines(jobs))
    others = _by_first(conn, _other_lines(jobs))
    made: dict[int, list[tuple[Sold, SoldQuote]]] = defaultdict(list)
    for one in sold.values():
        hours = tuple(QuotedLabour(*row) for row in labour[one.quote_id])
        stuff = tuple(Material(*row) for row in materials[one.quote_id])
        quoted = SoldQuote(
            price_cents=one.price_cents,
            goodwill_cents=one.goodwill_cents,
            labour=hours,
            materials=stuff,
            others=tuple(OtherDirect(*row) for row in others[one.quote_id]),
            overhead_cents=labour_cents(sum(line.minutes for line in hours), one.overhead_rate_cents),
            purchase_tax_cents=purchase_tax(sum(line.cents for line in stuff), one.lump_sum_percent),
        )
        made[one.job_id].append((one, quoted))
    return made


def _labour_lines(jobs: Jobs) -> Select[Any]:
    line = labour_line.c
    columns = (
        line.quote_id,
        line.task_id,
        labour_task.c.name,
        labour_task.c.role,
        func.sum(line.minutes),
        func.sum(time_cents(line.minutes, line.rate_cents)),
    )
    return (
        lines_sold(labour_line, columns, jobs)
        .join(labour_task, labour_task.c.id == line.task_id)
        .group_by(*columns[:4])
        .order_by(line.quote_id, func.min(line.position), func.min(line.id))
    )


def _material_lines(jobs: Jobs) -> Select[Any]:
    line = material_line.c
    columns = (
        line.quote_id,
        line.item_id,
        func.coalesce(item.c.name, line.description).label("name"),
        line.unit,
        func.sum(line.quantity),
        func.sum(amount_cents(line.quantity, line.unit_cost)),
    )
    return (
        lines_sold(material_line, columns, jobs)
        .outerjoin(item, item.c.id == line.item_id)
        .group_by(*columns[:4])
        .order_by(line.quote_id, func.min(line.position), func.min(line.id))
    )


def _other_lines(jobs: Jobs) -> Select[Any]:
    line = other_line.c
    columns = (line.quote_id, line.kind, func.sum(amount_cents(line.quantity, line.unit_cost)))
    return (
        lines_sold(other_line, columns, jobs)
        .group_by(line.quote_id, line.kind)
        .order_by(line.quote_id, func.min(line.position), func.min(line.id))
    )


def _hours(jobs: Jobs) -> Select[Any]:
    entry = hours_entry.c
    kinds = (entry.job_id, entry.task_id, labour_task.c.name, labour_task.c.role)
    return (
        select(
            *kinds,
            func.sum(entry.minutes),
            func.sum(time_cents(entry.minutes, entry.rate_cents)),
            func.sum(time_cents(entry.minutes, entry.overhead_rate_cents)),
            entry.unquoted,
            person.c.role == "owner",
        )
        .select_from(hours_entry)
        .join(labour_task, labour_task.c.id == entry.task_id)
        .join(person, person.c.id == entry.person_id)
        .where(*of_jobs(hours_entry, jobs))
        .group_by(*kinds, entry.unquoted, person.c.role == "owner")
        .order_by(entry.job_id, func.min(entry.day), func.min(entry.id))
    )


def _materials(jobs: Jobs) -> Select[Any]:
    use = material_use.c
    kinds = (use.job_id, use.item_id, func.coalesce(item.c.name, use.description).label("name"), use.unit)
    return (
        select(
            *kinds, func.sum(use.quantity), func.sum(amount_cents(use.quantity, use.unit_cost)), use.unquoted
        )
        .select_from(material_use)
        .outerjoin(item, item.c.id == use.item_id)
        .where(*of_jobs(material_use, jobs))
        .group_by(*kinds, use.unquoted)
        .order_by(use.job_id, func.min(use.day), func.min(use.id))
    )


def _others(jobs: Jobs) -> Select[Any]:
    cost = other_cost.c
    return (
        select(cost.job_id, cost.kind, func.sum(amount_cents(cost.quantity, cost.unit_cost)), cost.unquoted)
        .select_from(other_cost)
        .where(*of_jobs(other_cost, jobs))
        .group_by(cost.job_id, cost.kind, cost.unquoted)
        .order_by(cost.job_id, func.min(cost.day), func.min(cost.id))
    )


def _causes(jobs: Jobs) -> Select[Any]:
    """Each entry with a cause, and how much was logged on its task before it, in the order of the log."""
    entry = hours_entry.c
    up_to = func.sum(entry.minutes).over(
        partition_by=(entry.job_id, entry.task_id, entry.unquoted), order_by=(entry.day, entry.id), rows=(None, 0)
    )
    told = (
        select(
            entry.job_id, entry.task_id, entry.unquoted, entry.cause_id, entry.minutes,
            (up_to - entry.minutes).label("before"), entry.id,
        )
        .where(*of_jobs(hours_entry, jobs))
        .subquery("told")
    )  # fmt: skip
    return (
        select(
            told.c.job_id, told.c.task_id, labour_task.c.role, told.c.unquoted, cause.c.name, told.c.minutes,
            told.c.before,
        )
        .select_from(told)
        .join(cause, cause.c.id == told.c.cause_id)
        .join(labour_task, labour_task.c.id == told.c.task_id)
        .order_by(told.c.job_id, cause.c.id, told.c.task_id, told.c.id)
    )  # fmt: skip


def _written_off(jobs: Jobs) -> Select[Any]:
    return (
        select(price_adjustment.c.job_id, func.sum(price_adjustment.c.amount_cents))
        .where(price_adjustment.c.kind == "write_off", *of_jobs(price_adjustment, jobs))
        .group_by(price_adjustment.c.job_id)
    )
