"""Takes the list of a job into its quote as a reconciliation says, row by row (`domain.job_takeoff.reconciling`).

A line the takeoff made carries a name (``takeoff_key``) and what it wrote (``takeoff_quantity``). Counting it anew sets
item, quantity, waste and reason; typed minutes, crew, option and a unit cost of the same item stay. What was changed by
hand stays until a row says otherwise. Waste and packs are counted in the takeoff, so its lines have no waste of their
own; a quantity of one's own belongs into the list, as an override, where the computed one stays beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.quotes.checks import draft
from db.commands.quotes.life import revise_quote, start_quote
from db.commands.quotes.lines import add_labour, add_material, change_labour, change_material, remove_line
from db.commands.quotes.usual import add_usual_lines
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import quote_document
from db.queries.takeoff import reconciled, takeoff_facts
from db.tables import labour_line, material_line, takeoff_answer
from domain.firm import DayRates, Firm
from domain.job_takeoff.difference import work_key
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts, reckon, route_sheet, rules_of
from domain.job_takeoff.reconciliation import Reconciliation, Row
from domain.job_takeoff.remembering import remembered
from domain.job_takeoff.since_taken import Double, doubles_of
from domain.job_takeoff.stands_for import TASK
from domain.quoting.lines import LabourLine, MaterialLine
from domain.takeoff import THOROUGH

NO_WASTE = Decimal(0)


@dataclass(frozen=True, slots=True)
class Taken:
    """What taking the list changed. ``doubles``: typed lines of the same item or task as something counted.

    ``revised``: the version that was sent and is the beginning of this one; None: none was.
    """

    quote_id: int
    begun: bool
    added: int
    changed: int
    removed: int
    doubles: tuple[Double, ...]
    kept: tuple[str, ...] = ()  # lines changed by hand that were left as they are
    revised: int | None = None
    usual: int = 0  # usual lines a new quote began with


def take_into_quote(
    edit: Edit, job_id: int, on: date, rates: DayRates, firm: Firm, answers: Mapping[str, str] | None = None,
    seen: Reconciliation | None = None,
) -> Taken:  # fmt: skip
    """Bring the draft of a job's proposal in step with its takeoff; begin one when there is none.

    Where a version was sent already, the next begins as a copy of it, with all that was typed there.

    Args:
        answers: by the key of a row, what becomes of it, where that is not what the reconciliation has by itself.
        seen: the reconciliation that was read, as it was before any row was switched; None: nobody read it.

    Raises:
        Refused: nothing to take, a route with something to put right first, a proposal that was accepted or sent, or
            other rows than those that were read.
    """
    facts = takeoff_facts(edit.conn, job_id, on)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)
    refuse_unready(facts, counted)
    own = reconciled(edit.conn, facts, counted, rates.owner_cents)
    if seen is not None and seen != own:
        raise Refused("The quote or the list has changed since these rows were made.", "Read them again.")
    made = own.answered(answers or {})
    quote_id, revised = facts.draft_id, None
    if quote_id is None and facts.sent_id is not None:
        revised = quote_document(edit.conn, facts.sent_id).quote.version
        quote_id = revise_quote(edit, facts.sent_id, on)
        made, own = _on_the_copy(edit, replace(facts, draft_id=quote_id), counted, rates.owner_cents, made)
    elif quote_id is None:
        quote_id = start_quote(edit, job_id, on, rates, firm, usual_lines=False)
    draft(edit, quote_id)
    lines = made.lines
    for row in made.rows:
        _remove(edit, row)
    usual = {(row.standing.of, row.standing.of_id) for row in made.rows if row.is_new and row.keeps and row.standing}
    if usual:
        add_usual_lines(edit, quote_id, on=on, only=usual)
    for row in made.rows:
        if row.takes:
            _write(edit, quote_id, row, on)
    _remember(edit, job_id, facts.answers, remembered(made, facts.answers, own))
    names = {pick.task.id: pick.task.name for pick in facts.picks.tasks}
    doubles = doubles_of(quote_document(edit.conn, quote_id), names)
    return Taken(
        quote_id, facts.draft_id is None, lines.added, lines.changed, lines.removed, doubles, revised=revised,
        usual=lines.usual if own.begins else 0,
    )  # fmt: skip


def _on_the_copy(
    edit: Edit, facts: TakeoffFacts, counted: JobTakeoff, owner_rate_cents: int, made: Reconciliation
) -> tuple[Reconciliation, Reconciliation]:  # fmt: skip
    """The rows of a sent version as they are on its copy, with the same answers, and as the program has them."""
    own = reconciled(edit.conn, facts, counted, owner_rate_cents)
    pairs = zip(made.rows, own.rows, strict=True)  # a copy keeps its lines in their order
    return own.answered({fresh.key: read.answer for read, fresh in pairs}), own


def refuse_unready(facts: TakeoffFacts, counted: JobTakeoff) -> None:
    """Raise Refused where there is nothing to take, something to put right first, or no quote that may change."""
    if counted.in_the_way:
        raise Refused(f"Put this right first: {counted.in_the_way[0]}")
    if not any(one.quantity for one in counted.bought) and not counted.totals:
        raise Refused("There is nothing on the list yet.", "Type a route and mark it as built, or count something.")
    if facts.draft_id is None and facts.accepted:
        raise Refused(
            "The customer has accepted this job's proposal, so its lines stay.",
            "Write a change order for what is different now.",
        )


def _remove(edit: Edit, row: Row) -> None:
    """Take off the quote what a row does not keep, unless its line is counted anew."""
    standing = row.standing
    if row.goes and standing is not None and standing.line is not None:
        remove_line(edit, "labour" if standing.of == TASK else "material", standing.line.id)


def _write(edit: Edit, quote_id: int, row: Row, on: date) -> None:
    """Put what a row counts on the quote."""
    assert row.counted is not None
    source = row.counted.source
    if row.follows and row.standing is not None:
        _count_anew(edit, row.standing.line, source, on)
    elif isinstance(source, TaskTotal):
        _add_work(edit, quote_id, source)
    else:
        _add_material(edit, quote_id, source, on)


def _count_anew(edit: Edit, line: Any, source: Bought | TaskTotal, on: date) -> None:
    if isinstance(source, TaskTotal):
        assert isinstance(line, LabourLine)
        _change_work(edit, line, source)
    else:
        assert isinstance(line, MaterialLine)
        _change_material(edit, line, source, on)


def _add_material(edit: Edit, quote_id: int, one: Bought, on: date) -> None:
    item_id = one.item.item.id if one.item is not None else None
    description = None if one.item is not None else one.line.description
    line_id = add_material(
        edit, quote_id, item_id, one.quantity, description=description, unit=one.unit, waste_percent=NO_WASTE,
        reason=one.reason, on=on,
    )  # fmt: skip
    _mark_material(edit, line_id, one)


def _change_material(edit: Edit, line: MaterialLine, one: Bought, on: date) -> None:
    item_id = one.item.item.id if one.item is not None else None
    wanted: dict[str, Any] = {
        "net_quantity": one.quantity, "waste_percent": NO_WASTE, "unit": one.unit, "reason": one.reason,
    }  # fmt: skip
    if item_id != line.item_id:
        wanted["item_id"] = item_id
        if item_id is None:
            wanted |= {"description": one.line.description, "unit_cost": Decimal(0)}
    if any(getattr(line, name) != value for name, value in wanted.items()):
        change_material(edit, line.id, on=on, **wanted)
    _mark_material(edit, line.id, one)


def _mark_material(edit: Edit, line_id: int, one: Bought) -> None:
    edit.change(
        material_line, line_id, takeoff_key=one.line.key, takeoff_quantity=one.quantity, buy_quantity=one.sticks_to_buy
    )


def _add_work(edit: Edit, quote_id: int, total: TaskTotal) -> None:
    task_id = total.pick.task.id
    line_id = add_labour(edit, quote_id, task_id, total.quantity, reason=total.reason, pick=total.pick)
    edit.change(labour_line, line_id, takeoff_key=work_key(task_id), takeoff_quantity=total.quantity)


def _change_work(edit: Edit, line: LabourLine, total: TaskTotal) -> None:
    wanted = {"quantity": total.quantity, "factor_percent": total.pick.factor_percent, "reason": total.reason}
    if any(getattr(line, name) != value for name, value in wanted.items()):
        change_labour(edit, line.id, **wanted)
    edit.change(labour_line, line.id, takeoff_quantity=total.quantity)


def _remember(edit: Edit, job_id: int, before: Mapping[str, str], now: Mapping[str, str]) -> None:
    for row_key in before.keys() - now.keys():
        edit.remove_where(takeoff_answer, (takeoff_answer.c.job_id == job_id) & (takeoff_answer.c.row_key == row_key))
    known = {
        row.row_key: row.id
        for row in edit.conn.execute(
            select(takeoff_answer.c.id, takeoff_answer.c.row_key).where(takeoff_answer.c.job_id == job_id)
        )
    }
    for row_key, answer in now.items():
        if row_key not in known:
            edit.add(takeoff_answer, job_id=job_id, row_key=row_key, answer=answer)
        elif before.get(row_key) != answer:
            edit.change(takeoff_answer, known[row_key], answer=answer)
