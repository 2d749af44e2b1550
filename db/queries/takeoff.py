"""All that the takeoff of a job is made from, read in a fixed number of statements."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from db.queries.buying.offcuts import offcuts_for
from db.queries.library import usual_items, usual_tasks
from db.queries.quotes import price_picks, quote_document, task_picks
from db.queries.sold_fans import sold_fans
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
    takeoff_answer,
    takeoff_choice,
    takeoff_extra,
    takeoff_item,
    takeoff_override,
    takeoff_part,
    takeoff_task,
)
from domain.job_takeoff.answers import KEPT, gone_key
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts, reckon, route_sheet, rules_of
from domain.job_takeoff.reconciliation import Reconciliation
from domain.job_takeoff.reconciling import reconcile
from domain.job_takeoff.records import AirPlan, ExtraRow, FanCurveRow, PartRow, ReadingRow, RouteRow, blank_plan
from domain.job_takeoff.remembering import away
from domain.job_takeoff.standing import counted_lines, lines_on_quote, usual_lines
from domain.job_takeoff.stands_for import ITEM, TASK, UsualPart
from domain.quoting.typed import Picks
from domain.takeoff import THOROUGH


def takeoff_facts(conn: Connection, job_id: int, today: date) -> TakeoffFacts:
    """The takeoff of a job with the price list and the tasks of the day.

    Raises:
        LookupError: there is no such job.
    """
    about = conn.execute(
        select(job.c.number, job.c.cancelled_on, job.c.job_type_id, job_type.c.name, company.c.unit_system)
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
        sent_id=next((row.id for row in quotes if row.sent_on is not None), None),
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
        usual=usual_parts(conn, about.job_type_id),
        fans_sold=sold_fans(conn, [row.id for row in quotes][:1]),
        answers=_pairs(conn, takeoff_answer.c.row_key, takeoff_answer.c.answer, takeoff_answer.c.job_id == job_id),
    )  # fmt: skip


def usual_parts(conn: Connection, job_type_id: int) -> tuple[UsualPart, ...]:
    """The usual lines of a job type with what they stand for: tasks, then items."""
    tasks = (UsualPart(TASK, one.part_id, one.quantity, one.stands_for)
             for one in usual_tasks(conn, job_type_id))  # fmt: skip
    items = (UsualPart(ITEM, one.part_id, one.quantity, one.stands_for)
             for one in usual_items(conn, job_type_id))  # fmt: skip
    return (*tasks, *items)


def reconciliation(conn: Connection, job_id: int, today: date, owner_rate_cents: int) -> Reconciliation:
    """What taking the list into the quote would do, row by row. ``owner_rate_cents``: an hour, where no quote is begun.

    Raises:
        LookupError: there is no such job.
    """
    facts = takeoff_facts(conn, job_id, today)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)
    return reconciled(conn, facts, counted, owner_rate_cents)


def reconciled(
    conn: Connection, facts: TakeoffFacts, counted: JobTakeoff, owner_rate_cents: int
) -> Reconciliation:  # fmt: skip
    """The same from a takeoff that was reckoned already: against the draft, else against the version sent last."""
    document = quote_document(conn, facts.base_id) if facts.base_id is not None else None
    rate = owner_rate_cents if document is None else document.quote.owner_rate_cents
    usual = usual_lines(facts, rate)
    if document is not None:
        there = lines_on_quote(facts, document)
        stays = {one.key for one in there if facts.answers.get(gone_key(one.takeoff_key)) == KEPT}
        here = {
            (one.of, one.of_id) for one in there
            if one.of_id is not None and (one.by_hand or not one.takeoff_key or one.key in stays)
        }  # fmt: skip
        standing = [*there, *away(facts.answers, here, usual)]
    else:
        standing = usual
    return reconcile(
        standing, counted_lines(counted, rate), facts.answers, begins=document is None,
        old_pipe_goes=counted.old_pipe_goes,
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
