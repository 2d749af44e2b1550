"""The log of business miles: what jobs' logs say was driven, and trips of no job, each at the rate of its day."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, select

from db.queries.standards import own_standards
from db.tables import job, other_cost, trip
from domain.log_entry import MILE
from domain.miles import Drive, MilesLog, Rates


def miles_log(conn: Connection, first: date, last: date) -> MilesLog:
    """Every drive of a period, both days included. Three statements. Raises NotUnderstood for days before the table."""
    rates = Rates(own_standards(conn))
    found = []
    of_jobs = (
        select(other_cost.c.day, other_cost.c.id, other_cost.c.description, job.c.number, other_cost.c.quantity)
        .join(job, job.c.id == other_cost.c.job_id)
        .where(other_cost.c.kind == "travel", other_cost.c.unit == MILE, other_cost.c.day.between(first, last))
    )
    for day, row_id, words, number, miles in conn.execute(of_jobs):
        rate = rates.on(day)
        purpose = words or f"Job {number}"
        found.append(Drive(day, "other_cost", row_id, purpose, "", number, miles, rate.value, rate.is_projected))
    others = select(trip.c.day, trip.c.id, trip.c.purpose, trip.c.route, trip.c.miles)
    for day, row_id, words, route, miles in conn.execute(others.where(trip.c.day.between(first, last))):
        rate = rates.on(day)
        found.append(Drive(day, "trip", row_id, words, route, "", miles, rate.value, rate.is_projected))
    found.sort(key=lambda one: (one.day, one.source, one.source_id))
    return MilesLog(tuple(found))
