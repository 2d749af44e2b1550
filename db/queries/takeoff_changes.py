"""What is different between the takeoff of a job and what was accepted, another of its lists, or nothing at all."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy import Connection, select

from db.company_file.problems import Refused
from db.queries.log import job_budget
from db.queries.takeoff import takeoff_facts
from db.tables import labour_line, material_line, quote
from domain.job_takeoff.answers import LEFT
from domain.job_takeoff.difference import (
    Difference,
    OtherSide,
    material_differences,
    other_list,
    sold_lines,
    work_differences,
    work_key,
)
from domain.job_takeoff.order_rows import order_rows
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts, reckon, route_sheet, rules_of
from domain.job_takeoff.reconciliation import Reconciliation
from domain.takeoff import THOROUGH

ACCEPTED, NOTHING = "accepted", "nothing"
"""What the list is held against; else the id of a route, which stands for the list with that route built alone."""


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs, work and goods, with both lists it comes from; ``left_out``: what the quote was taken without."""

    facts: TakeoffFacts
    counted: JobTakeoff
    left_out: JobTakeoff
    other: OtherSide
    goods: list[Difference]
    work: list[Difference]


def changes_of(
    conn: Connection, job_id: int, on: date, against: str | int, keys: Collection[str] | None = None,
    put_in: Collection[str] = (),
) -> Changes:  # fmt: skip
    """What differs, that of ``keys`` only where given. ``put_in``: what was left out of the quote and comes now.

    Raises:
        Refused: a route with something to put right first, or one to compare with that is gone.
    """
    facts = takeoff_facts(conn, job_id, on)
    counted = _counted(facts)
    if counted.in_the_way:
        raise Refused(f"Put this right first: {counted.in_the_way[0]}")
    out: set[str] = set()
    if against == ACCEPTED:
        out = {key for key, answer in facts.answers.items() if answer == LEFT} - set(keys or ()) - set(put_in)
    left_out, counted = _only(counted, out), _only(counted, out, inside=False)
    other = _other_side(conn, facts, against)
    return Changes(
        facts, counted, left_out, other, material_differences(counted, other, keys),
        work_differences(counted, other, keys),
    )  # fmt: skip


def order_reconciliation(
    conn: Connection, job_id: int, on: date, owner_rate_cents: int, against: str | int
) -> Reconciliation:
    """The rows of a change order from the takeoff, to be read before it is written. Raises as `changes_of`."""
    made = changes_of(conn, job_id, on, against)
    draft_id = open_change_order(conn, job_id)
    rate = owner_rate_cents
    if draft_id is not None:
        rate = conn.execute(select(quote.c.owner_rate_cents).where(quote.c.id == draft_id)).scalar_one()
    names = {pick.task.id: (pick.task.name, pick.task.unit) for pick in made.facts.picks.tasks}
    return order_rows(made.work, made.goods, made.other, made.left_out, names, rate)


def open_change_order(conn: Connection, job_id: int) -> int | None:
    """The newest change order that is still a draft and has lines the takeoff made."""
    drafts = conn.execute(
        select(quote.c.id)
        .where(quote.c.job_id == job_id, quote.c.kind == "change_order", quote.c.sent_on.is_(None))
        .order_by(quote.c.version.desc())
    ).scalars().all()  # fmt: skip
    for quote_id in drafts:
        for table in (material_line, labour_line):
            made = select(table.c.id).where(table.c.quote_id == quote_id, table.c.takeoff_key != "").limit(1)
            if conn.execute(made).scalar() is not None:
                return int(quote_id)
    return None


def _counted(facts: TakeoffFacts) -> JobTakeoff:
    rules = rules_of(facts)
    return reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)


def _only(counted: JobTakeoff, keys: Collection[str], inside: bool = True) -> JobTakeoff:
    """The list with these lines alone, or without them."""
    return replace(
        counted, bought=tuple(one for one in counted.bought if (one.line.key in keys) == inside),
        totals=tuple(total for total in counted.totals if (work_key(total.pick.task.id) in keys) == inside),
    )  # fmt: skip


def _other_side(conn: Connection, facts: TakeoffFacts, against: str | int) -> OtherSide:
    if against == NOTHING:
        return OtherSide()
    if against == ACCEPTED:
        budget = job_budget(conn, facts.job_id)
        return sold_lines(budget.materials, budget.labour)
    if facts.route(int(against)) is None:
        raise Refused("That route is no longer there.", "Choose another one to compare with.")
    routes = tuple(
        replace(row, built=row.id == against) if row.status == "proposed" else row for row in facts.routes
    )
    counted = _counted(replace(facts, routes=routes, overrides={}))
    if counted.in_the_way:
        raise Refused(f"Put this right in the route compared with: {counted.in_the_way[0]}")
    return other_list(counted)
