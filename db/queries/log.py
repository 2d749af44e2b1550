"""What the log shows: a job's budget and log, the entries of a day, what can be logged on, the running clock."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, Connection, Select, Table, bindparam, case, or_, select

from db.queries.log_offers import in_budget
from db.records import columns_of, fetch
from db.tables import (
    cause,
    hours_entry,
    item_price,
    labour_line,
    labour_task,
    material_line,
    material_use,
    other_cost,
    other_line,
    person,
    quote,
)
from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.firm import Person
from domain.library import LabourTask, ListEntry
from domain.log_so_far import JobBudget, JobLog
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine


@dataclass(frozen=True, slots=True)
class LogLists:
    """What can be chosen while logging, in the owner's order; archived ones only where the job uses them."""

    tasks: list[LabourTask]
    people: list[Person]  # the owner first
    causes: list[ListEntry]


_JOB: BindParameter[int] = bindparam("job_id")


def job_budget(conn: Connection, job_id: int) -> JobBudget:
    """What the job's accepted quotes allow, in the order of their lines; empty before one is accepted."""
    given = {"job_id": job_id}
    return JobBudget(
        labour=tuple(fetch(conn, LabourLine, _budget_lines(LabourLine, labour_line), given)),
        materials=tuple(fetch(conn, MaterialLine, _budget_lines(MaterialLine, material_line), given)),
        others=tuple(fetch(conn, OtherLine, _budget_lines(OtherLine, other_line), given)),
    )


@cache  # here and below: putting a statement together takes longer than SQLite takes to run it
def _budget_lines(record: type[Any], lines: Table) -> Select[Any]:
    return (
        select(*columns_of(lines, record))
        .where(in_budget(lines), quote.c.job_id == _JOB)
        .order_by(case((quote.c.kind == "proposal", 0), else_=1), quote.c.version, lines.c.position, lines.c.id)
    )


def job_log(conn: Connection, job_id: int) -> JobLog:
    """Everything logged on a job, by day."""
    given = {"job_id": job_id}
    return JobLog(
        hours=tuple(fetch(conn, HoursEntry, _entries(HoursEntry, hours_entry), given)),
        materials=tuple(fetch(conn, MaterialUse, _entries(MaterialUse, material_use), given)),
        others=tuple(fetch(conn, OtherCost, _entries(OtherCost, other_cost), given)),
    )


@cache
def _entries(record: type[Any], table: Table) -> Select[Any]:
    return select(*columns_of(table, record)).where(table.c.job_id == _JOB).order_by(table.c.day, table.c.id)


def log_day(conn: Connection, job_id: int, day: date) -> JobLog:
    """What was logged on a job on one day."""
    log = job_log(conn, job_id)
    return JobLog(
        hours=tuple(entry for entry in log.hours if entry.day == day),
        materials=tuple(use for use in log.materials if use.day == day),
        others=tuple(cost for cost in log.others if cost.day == day),
    )


def log_lists(conn: Connection, job_id: int) -> LogLists:
    """What can be chosen while logging on this job."""
    given = {"job_id": job_id}
    return LogLists(
        tasks=fetch(conn, LabourTask, _tasks(), given),
        people=fetch(conn, Person, _people(), given),
        causes=fetch(conn, ListEntry, _causes()),
    )


@cache
def _tasks() -> Select[Any]:
    quoted = select(labour_line.c.task_id).where(in_budget(labour_line), quote.c.job_id == _JOB)
    named = quoted.union(select(hours_entry.c.task_id).where(hours_entry.c.job_id == _JOB))
    return (
        select(*columns_of(labour_task, LabourTask))
        .where(or_(~labour_task.c.archived, labour_task.c.id.in_(named)))
        .order_by(labour_task.c.position, labour_task.c.id)
    )


@cache
def _people() -> Select[Any]:
    worked = select(hours_entry.c.person_id).where(hours_entry.c.job_id == _JOB)
    return (
        select(*columns_of(person, Person))
        .where(or_(~person.c.archived, person.c.id.in_(worked)))
        .order_by(case((person.c.role == "owner", 0), else_=1), person.c.id)
    )


@cache
def _causes() -> Select[Any]:
    return select(*columns_of(cause, ListEntry)).order_by(cause.c.position, cause.c.id)


def prices_in_force(conn: Connection, day: date, item_ids: Collection[int]) -> dict[int, Decimal]:
    """Dollars for one unit of each item on a day; items without a price by then are left out."""
    if not item_ids:
        return {}
    query = (
        select(item_price.c.item_id, item_price.c.unit_cost)
        .where(item_price.c.item_id.in_(set(item_ids)), item_price.c.starts_on <= day)
        .order_by(item_price.c.starts_on)
    )
    return {row.item_id: row.unit_cost for row in conn.execute(query)}
