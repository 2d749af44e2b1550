"""Takes the list of a job into its quote: lines the takeoff made follow it, lines that were typed stay as they are.

The rule. A line the takeoff made carries a name (``takeoff_key``). Taking the list again sets item, quantity, waste
and reason of such a line anew, adds what is new and removes what the takeoff no longer has; typed minutes, crew,
option and a unit cost of the same item stay. A line without a name was typed (or came with the usual lines): it is
never touched. A quantity of one's own belongs into the takeoff's list, as an override, where the computed one stays
beside it. Waste and packs are counted in the takeoff, so its lines have no waste of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.quotes.checks import draft
from db.commands.quotes.life import start_quote
from db.commands.quotes.lines import add_labour, add_material, change_labour, change_material, remove_line
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import quote_document
from db.queries.takeoff import takeoff_facts
from db.tables import item, labour_line, labour_task, material_line
from domain.firm import DayRates, Firm
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts, reckon, route_sheet, rules_of
from domain.quoting.lines import LabourLine, MaterialLine, QuoteDocument
from domain.takeoff import THOROUGH

WORK_KEY = "work:{}"
NO_WASTE = Decimal(0)


@dataclass(frozen=True, slots=True)
class Taken:
    """What taking the list changed. ``doubles``: typed lines of the same item or task, as (kind, line id, name)."""

    quote_id: int
    begun: bool
    added: int
    changed: int
    removed: int
    doubles: tuple[tuple[str, int, str], ...]


def take_into_quote(edit: Edit, job_id: int, on: date, rates: DayRates, firm: Firm) -> Taken:
    """Bring the draft of a job's proposal in step with its takeoff; begin one when there is none.

    A quote begun here starts with the usual lines of the job type, less the tasks the takeoff drives and the classes
    of items it counts.

    Raises:
        Refused: nothing to take, a route with something to put right first, or a proposal that was accepted or sent.
    """
    facts = takeoff_facts(edit.conn, job_id, on)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)
    _refuse_unready(facts, counted)
    begun = facts.draft_id is None
    quote_id = facts.draft_id or start_quote(edit, job_id, on, rates, firm)
    draft(edit, quote_id)
    if begun:
        _leave_out_usual(edit, quote_id, counted)
    document = quote_document(edit.conn, quote_id)
    materials = _take_materials(edit, document, counted, on)
    work = _take_work(edit, document, counted)
    added, changed, removed = (one + other for one, other in zip(materials, work, strict=True))
    doubles = _doubles(edit, quote_document(edit.conn, quote_id))
    return Taken(quote_id, begun, added, changed, removed, doubles)


def _refuse_unready(facts: TakeoffFacts, counted: JobTakeoff) -> None:
    if counted.in_the_way:
        raise Refused(f"Put this right first: {counted.in_the_way[0]}")
    if not any(one.quantity for one in counted.bought) and not counted.totals:
        raise Refused("There is nothing on the list yet.", "Type a route and mark it as built, or count something.")
    if facts.draft_id is None and facts.accepted:
        raise Refused(
            "The customer has accepted this job's proposal, so its lines stay.",
            "Write a change order for what is different now.",
        )


def _leave_out_usual(edit: Edit, quote_id: int, counted: JobTakeoff) -> None:
    """Take off the usual lines that the takeoff counts itself."""
    tasks = {total.pick.task.id for total in counted.totals}
    classes = {one.line.item_class for one in counted.bought} - {"other"}
    for row in edit.conn.execute(
        select(labour_line.c.id).where(labour_line.c.quote_id == quote_id, labour_line.c.task_id.in_(tasks))
    ).all():
        remove_line(edit, "labour", row.id)
    counted_items = (
        select(material_line.c.id)
        .join(item, item.c.id == material_line.c.item_id)
        .where(material_line.c.quote_id == quote_id, item.c.item_class.in_(classes))
    )
    for row in edit.conn.execute(counted_items).all():
        remove_line(edit, "material", row.id)


def _take_materials(
    edit: Edit, document: QuoteDocument, counted: JobTakeoff, on: date
) -> tuple[int, int, int]:  # fmt: skip
    there = {line.takeoff_key: line for line in document.materials if line.takeoff_key}
    added = changed = 0
    for one in counted.bought:
        if not one.quantity:
            continue
        line = there.pop(one.line.key, None)
        if line is None:
            _add_material(edit, document.quote.id, one, on)
            added += 1
        else:
            changed += _change_material(edit, line, one, on)
    for line in there.values():
        remove_line(edit, "material", line.id)
    return added, changed, len(there)


def _add_material(edit: Edit, quote_id: int, one: Bought, on: date) -> None:
    item_id = one.item.item.id if one.item is not None else None
    description = None if one.item is not None else one.line.description
    line_id = add_material(
        edit, quote_id, item_id, one.quantity, description=description, unit=one.unit, waste_percent=NO_WASTE,
        reason=one.reason, on=on,
    )  # fmt: skip
    edit.change(material_line, line_id, takeoff_key=one.line.key)


def _change_material(edit: Edit, line: MaterialLine, one: Bought, on: date) -> int:
    item_id = one.item.item.id if one.item is not None else None
    wanted: dict[str, Any] = {
        "net_quantity": one.quantity, "waste_percent": NO_WASTE, "unit": one.unit, "reason": one.reason,
    }  # fmt: skip
    if item_id != line.item_id:
        wanted["item_id"] = item_id
        if item_id is None:
            wanted |= {"description": one.line.description, "unit_cost": Decimal(0)}
    if all(getattr(line, name) == value for name, value in wanted.items()):
        return 0
    change_material(edit, line.id, on=on, **wanted)
    return 1


def _take_work(edit: Edit, document: QuoteDocument, counted: JobTakeoff) -> tuple[int, int, int]:
    there = {line.takeoff_key: line for line in document.labour if line.takeoff_key}
    added = changed = 0
    for total in counted.totals:
        line = there.pop(WORK_KEY.format(total.pick.task.id), None)
        if line is None:
            _add_work(edit, document.quote.id, total)
            added += 1
        else:
            changed += _change_work(edit, line, total)
    for line in there.values():
        remove_line(edit, "labour", line.id)
    return added, changed, len(there)


def _add_work(edit: Edit, quote_id: int, total: TaskTotal) -> None:
    task_id = total.pick.task.id
    line_id = add_labour(edit, quote_id, task_id, total.quantity, reason=total.reason, pick=total.pick)
    edit.change(labour_line, line_id, takeoff_key=WORK_KEY.format(task_id))


def _change_work(edit: Edit, line: LabourLine, total: TaskTotal) -> int:
    if line.quantity == total.quantity and line.reason == total.reason:
        return 0
    change_labour(edit, line.id, quantity=total.quantity, reason=total.reason)
    return 1


def _doubles_of(lines: Any, key: str) -> list[Any]:
    made = {getattr(line, key) for line in lines if line.takeoff_key} - {None}
    return [
        line for line in lines if not line.takeoff_key and line.option_id is None and getattr(line, key) in made
    ]


def _doubles(edit: Edit, document: QuoteDocument) -> tuple[tuple[str, int, str], ...]:
    """Typed lines of the base that stand for the same item or task as a line of the takeoff."""
    names = {row.id: row.name for row in edit.conn.execute(select(labour_task.c.id, labour_task.c.name))}
    materials = [("material", line.id, line.description) for line in _doubles_of(document.materials, "item_id")]
    labour = [("labour", line.id, names[line.task_id]) for line in _doubles_of(document.labour, "task_id")]
    return (*labour, *materials)
