"""All that the takeoff of a job is made from, read in a fixed number of statements."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from db.queries.buying.offcuts import offcuts_for
from db.queries.quotes import price_picks, task_picks
from db.queries.standards import own_standards
from db.records import fetch_all
from db.tables import (
    air_plan,
    company,
    fan_curve,
    job,
    job_type,
    quote,
    route,
    site_reading,
    takeoff_choice,
    takeoff_extra,
    takeoff_item,
    takeoff_override,
    takeoff_part,
    takeoff_task,
)
from domain.job_takeoff.reckoning import TakeoffFacts
from domain.job_takeoff.records import AirPlan, ExtraRow, FanCurveRow, PartRow, ReadingRow, RouteRow, blank_plan
from domain.quoting.typed import Picks


def takeoff_facts(conn: Connection, job_id: int, today: date) -> TakeoffFacts:
    """The takeoff of a job with the price list and the tasks of the day.

    Raises:
        LookupError: there is no such job.
    """
    about = conn.execute(
        select(job.c.number, job.c.cancelled_on, job_type.c.name, company.c.unit_system)
        .select_from(job.join(job_type, job_type.c.id == job.c.job_type_id).join(company, company.c.id == 1))
        .where(job.c.id == job_id)
    ).first()
    if about is None:
        raise LookupError(f"job {job_id} does not exist")
    quotes = conn.execute(
        select(quote.c.id, quote.c.sent_on, quote.c.accepted_on)
        .where(quote.c.job_id == job_id, quote.c.kind == "proposal")
        .order_by(quote.c.version.desc())
    ).all()
    return TakeoffFacts(
        job_id=job_id, job_number=about.number, job_type=about.name, day=today,
        length_unit="m" if about.unit_system == "metric" else "ft-in", cancelled=about.cancelled_on is not None,
        draft_id=next((row.id for row in quotes if row.sent_on is None), None),
        accepted=any(row.accepted_on for row in quotes),
        routes=routes_of(conn, job_id),
        parts=tuple(_of_job(conn, PartRow, takeoff_part, job_id)),
        extras=tuple(_of_job(conn, ExtraRow, takeoff_extra, job_id)),
        overrides=_pairs(conn, takeoff_override.c.line_key, takeoff_override.c.quantity,
                         takeoff_override.c.job_id == job_id),
        items_chosen=_pairs(conn, takeoff_item.c.line_key, takeoff_item.c.item_id),
        tasks_chosen=_pairs(conn, takeoff_task.c.driver_key, takeoff_task.c.task_id),
        choices=_pairs(conn, takeoff_choice.c.name, takeoff_choice.c.value),
        own=own_standards(conn),
        curves=tuple(fan_curves(conn)),
        plan=air_plan_of(conn, job_id),
        readings=readings_of(conn, job_id),
        picks=Picks(tuple(task_picks(conn, job_id, archived=True)), tuple(price_picks(conn, today, archived=True))),
        truck_offcuts=offcuts_for(conn, job_id),
    )  # fmt: skip


def routes_of(conn: Connection, job_id: int) -> tuple[RouteRow, ...]:
    """The routes of a job: as found first, then the proposed ones in their order."""
    order = (route.c.status, route.c.position, route.c.id)
    return tuple(fetch_all(conn, RouteRow, route, route.c.job_id == job_id, order=order))


def fan_curves(conn: Connection) -> list[FanCurveRow]:
    """The fans whose sheets were entered, archived ones last."""
    return fetch_all(conn, FanCurveRow, fan_curve, order=(fan_curve.c.archived, fan_curve.c.name, fan_curve.c.id))


def air_plan_of(conn: Connection, job_id: int) -> AirPlan:
    """How the job's air is judged; the usual while nothing was said."""
    kept = fetch_all(conn, AirPlan, air_plan, air_plan.c.job_id == job_id)
    return kept[0] if kept else blank_plan(job_id)


def readings_of(conn: Connection, job_id: int) -> tuple[ReadingRow, ...]:
    """What was measured at the house, by day."""
    order = (site_reading.c.read_on, site_reading.c.id)
    return tuple(fetch_all(conn, ReadingRow, site_reading, site_reading.c.job_id == job_id, order=order))


def _of_job(conn: Connection, record: Any, table: Any, job_id: int) -> list[Any]:
    order = (table.c.position, table.c.id)
    return fetch_all(conn, record, table, table.c.job_id == job_id, order=order)


def _pairs(conn: Connection, name: Any, value: Any, *where: Any) -> dict[str, Any]:
    return {row[0]: row[1] for row in conn.execute(select(name, value).where(*where))}
