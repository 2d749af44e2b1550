"""Which jobs are worked on some days: accepted ones scheduled then, and those begun before that likely go on."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from typing import Any

from sqlalchemy import Connection, Date, Select, and_, bindparam, exists, func, or_, select

from db.tables import hours_entry, job, quote

GOES_ON_DAYS = 4
"""A job begun or worked on this lately and not installed yet likely goes on."""

FIRST, LAST = bindparam("first", type_=Date), bindparam("last", type_=Date)
_LATELY = bindparam("lately", type_=Date)


def given_days(first: date, last: date) -> dict[str, date]:
    """The values of `wanted` for these days."""
    return {"first": first, "last": last, "lately": first - timedelta(days=GOES_ON_DAYS)}


def wanted() -> Any:
    """The condition on `job`, for the days of `given_days`."""
    accepted = exists().where(
        quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None)
    )
    # Said as a set, for there are few entries of some days and many jobs to ask about theirs.
    worked = job.c.id.in_(select(hours_entry.c.job_id).where(hours_entry.c.day >= _LATELY, hours_entry.c.day < FIRST))
    begun = and_(job.c.scheduled_on >= _LATELY, job.c.scheduled_on < FIRST)
    goes_on = or_(begun, and_(or_(job.c.scheduled_on.is_(None), job.c.scheduled_on < FIRST), worked))
    return and_(
        job.c.closed_on.is_(None), job.c.cancelled_on.is_(None), job.c.installed_on.is_(None),
        or_(job.c.scheduled_on.between(FIRST, LAST), goes_on), accepted,
    )  # fmt: skip


def count_of_jobs(conn: Connection, day: date) -> int:
    """How many jobs the pull sheet of a day is for."""
    return int(conn.execute(_count(), given_days(day, day)).scalar_one())


@cache  # putting the statement together takes longer than SQLite takes to run it
def _count() -> Select[Any]:
    return select(func.count()).select_from(job).where(wanted())
