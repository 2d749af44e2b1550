"""Which jobs one may want to log on, the clock that runs, and which lines count: what Tonight needs of the log."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, Table, and_, case, exists, func, not_, or_, select

from db.records import columns_of, fetch
from db.tables import (
    customer,
    hours_entry,
    job,
    job_type,
    labour_task,
    person,
    property_,
    quote,
    quote_option,
    timer,
)
from domain.firm import RunningTimer


@dataclass(frozen=True, slots=True)
class OfferedJob:
    """A job one may want to log on, or whose entries were made lately."""

    id: int
    number: str
    title: str  # its own, else the job type
    customer: str
    place: str
    scheduled_on: date | None
    logged_on: date | None  # the newest day with hours


@dataclass(frozen=True, slots=True)
class RunningClock:
    """The running timer with the names a person needs to see."""

    timer: RunningTimer
    job_number: str
    customer: str
    task: str
    person: str


def in_budget(lines: Table) -> Any:
    """Condition on labour_line, material_line or other_line joined to `quote`: the line is part of its job's budget.

    That is: the quote is accepted, and the line is not in an option that was left out. Said this way each line asks
    for its own option at most, and nobody reads the options of the whole company.
    """
    left_out = exists().where(quote_option.c.id == lines.c.option_id, ~quote_option.c.chosen)
    return and_(quote.c.id == lines.c.quote_id, quote.c.accepted_on.is_not(None), not_(left_out))


def running_timer(conn: Connection) -> RunningClock | None:
    """The clock that runs now, None when none does."""
    query = (
        select(*columns_of(timer, RunningTimer), job.c.number, customer.c.name, labour_task.c.name, person.c.name)
        .join(job, job.c.id == timer.c.job_id)
        .join(customer, customer.c.id == job.c.customer_id)
        .join(labour_task, labour_task.c.id == timer.c.task_id)
        .join(person, person.c.id == timer.c.person_id)
        .order_by(timer.c.id.desc())
        .limit(1)
    )
    row = conn.execute(query).first()
    return None if row is None else RunningClock(RunningTimer(*row[:-4]), *row[-4:])


def jobs_to_offer(conn: Connection, today: date, limit: int = 8) -> list[OfferedJob]:
    """Accepted jobs that are not over: scheduled today first, then those worked on last, then those coming next."""
    accepted = exists().where(quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None))
    logged_on = (
        select(func.max(hours_entry.c.day)).where(hours_entry.c.job_id == job.c.id).scalar_subquery().label("logged_on")
    )
    title = case((job.c.title != "", job.c.title), else_=job_type.c.name)
    place = case((property_.c.town != "", property_.c.street + ", " + property_.c.town), else_=property_.c.street)
    query = (
        select(
            job.c.id, job.c.number, title, customer.c.name, place, job.c.scheduled_on, logged_on,
        )
        .join(customer, customer.c.id == job.c.customer_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .where(
            job.c.closed_on.is_(None), job.c.cancelled_on.is_(None), job.c.paid_on.is_(None),
            or_(job.c.scheduled_on.is_not(None), accepted),
        )
        .order_by(
            case((job.c.scheduled_on == today, 0), else_=1),
            case((logged_on.is_not(None), 0), else_=1),
            logged_on.desc(),
            job.c.scheduled_on,
            job.c.id.desc(),
        )
        .limit(limit)
    )  # fmt: skip
    return fetch(conn, OfferedJob, query)
