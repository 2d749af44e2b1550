"""The sketch on a quote's paper: as it was sent, or, on a draft, as the routes stand now."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, select

from db.queries.quotes import made_from_takeoff
from db.queries.sold_fans import accepted_fans, sold_fans
from db.queries.standards import own_standards
from db.queries.takeoff import air_plan_of, fan_curves, readings_of, routes_of
from db.tables import company, quote_sketch, takeoff_choice
from domain.job_takeoff.reckoning import route_sheet
from domain.job_takeoff.sketch import Sketch, SketchSource, read_sketch, sketch
from domain.quoting.lines import Quote
from domain.routes.rules import OPENING_RULES, SUPPORT_RULES
from domain.standards.trade import FIRST_DAY
from domain.takeoff import takeoff_rules


def sketch_source(conn: Connection, job_id: int, sold: frozenset[int] | None = None) -> SketchSource:
    """The routes of a job with fan and readings as they stand now, for a paper that sells these fans."""
    plan = air_plan_of(conn, job_id)
    fans = {curve.id: curve for curve in fan_curves(conn)}
    fan, present = fans.get(plan.fan_curve_id or 0), fans.get(plan.present_fan_id or 0)
    return SketchSource(routes_of(conn, job_id), fan, plan, readings_of(conn, job_id), present, sold)


def quote_sketch_of(conn: Connection, header: Quote) -> Sketch | None:
    """The sketch of a proposal; None for a change order, a quote that was not made from the route, and where none is
    built."""
    if header.kind != "proposal":
        return None
    if header.sent_on is None:
        if not (header.shows_route or made_from_takeoff(conn, header.id)):
            return None
        source = sketch_source(conn, header.job_id, sold_fans(conn, [header.id]))
    else:
        kept = conn.execute(select(quote_sketch.c.details).where(quote_sketch.c.quote_id == header.id)).scalar()
        if kept is None:
            return None
        source = read_sketch(kept, header.job_id)
    return _sketch_on(conn, source, header.created_on)


def job_sketch_of(conn: Connection, job_id: int, day: date) -> Sketch | None:
    """The sketch of a job's routes as they stand now, by the rules of a day; None where no route is built."""
    return _sketch_on(conn, sketch_source(conn, job_id, accepted_fans(conn, job_id)), day)


def _sketch_on(conn: Connection, source: SketchSource, day: date) -> Sketch | None:
    if not source.routes:
        return None
    day, own = max(day, FIRST_DAY), own_standards(conn)
    chosen = {row.name: row.value for row in conn.execute(select(takeoff_choice.c.name, takeoff_choice.c.value))}
    supports = chosen.get("supports", SUPPORT_RULES[0])
    openings = chosen.get("openings", OPENING_RULES[0])
    rules = takeoff_rules(day, own, supports=supports, openings=openings)
    metric = conn.execute(select(company.c.unit_system)).scalar() == "metric"
    sheets = [route_sheet(row, rules) for row in source.routes]
    return sketch(sheets, source, rules.route, day, own, "m" if metric else "ft-in")
