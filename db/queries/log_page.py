"""All that the log of one job on one day shows, in a fixed number of statements."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, select

from db.queries.firm import day_rates
from db.queries.heading import first_warnings
from db.queries.log import LogLists, job_budget, job_log, log_lists
from db.queries.log_offers import RunningClock, running_timer
from db.queries.quotes import price_picks
from db.queries.so_far import job_so_far
from db.queries.sold import lump_sum_percent
from db.records import fetch_one
from db.tables import customer, job, job_type, property_, quote
from domain.firm import DayRates
from domain.first_warning import FirstWarning
from domain.jobs import Job
from domain.log_so_far import JobBudget, JobLog
from domain.price_list import PricedItem
from domain.so_far import SoFar


@dataclass(frozen=True, slots=True)
class LogPage:
    """One job's log as it is opened on a day."""

    job: Job
    customer: str
    place: str
    job_type: str
    day: date
    budget: JobBudget
    log: JobLog
    so_far: SoFar
    lists: LogLists
    items: list[PricedItem]  # with the price in force on the day
    rates: DayRates  # of the day
    clock: RunningClock | None
    purchase_tax_percent: Decimal  # expected on purchases, 0 without a lump-sum treatment of tax
    open_change_order: bool  # one is written and not yet answered
    first: FirstWarning | None = None  # of a job that runs and is not installed: when it was first seen to go over

    @property
    def is_closed(self) -> bool:
        """Nothing may be added any more."""
        return self.job.closed_on is not None


def log_page(conn: Connection, job_id: int, day: date) -> LogPage:
    """Read the log of a job.

    Raises:
        LookupError: there is no such job.
    """
    kept = fetch_one(conn, Job, job, job_id)
    names = conn.execute(
        select(customer.c.name, property_.c.street, property_.c.town, job_type.c.name.label("kind"))
        .select_from(job)
        .join(customer, customer.c.id == job.c.customer_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .where(job.c.id == job_id)
    ).one()
    waiting = select(quote.c.id).where(
        quote.c.job_id == job_id, quote.c.kind == "change_order",
        quote.c.accepted_on.is_(None), quote.c.declined_on.is_(None),
    )  # fmt: skip
    runs = kept.closed_on is None and kept.cancelled_on is None and kept.installed_on is None
    return LogPage(
        job=kept,
        customer=names.name,
        place=", ".join(part for part in (names.street, names.town) if part),
        job_type=names.kind,
        day=day,
        budget=job_budget(conn, job_id),
        log=job_log(conn, job_id),
        so_far=job_so_far(conn, job_id),
        lists=log_lists(conn, job_id),
        items=price_picks(conn, day),
        rates=day_rates(conn, day),
        clock=running_timer(conn),
        purchase_tax_percent=lump_sum_percent(conn, job_id),
        open_change_order=conn.execute(waiting.limit(1)).first() is not None,
        first=first_warnings(conn, [job_id]).get(job_id) if runs else None,
    )
