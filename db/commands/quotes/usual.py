"""The usual lines of a job type: what a quote of this kind mostly starts from."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal

from sqlalchemy import Table, select

from db.commands.quotes.checks import draft, live_job
from db.commands.quotes.many import NewLabour, NewMaterial, add_lines
from db.edit import Edit
from db.queries.quotes import made_from_takeoff, price_picks, task_picks
from db.tables import job_type_item, job_type_task, labour_line, material_line, takeoff_answer
from domain.job_takeoff.answers import GIVEN_WAY, OFF, usual_key


def add_usual_lines(
    edit: Edit, quote_id: int, *, on: date | None = None, only: Collection[tuple[str, int | None]] | None = None
) -> int:
    """Add the job type's usual tasks and items that the base has not got yet; return how many came.

    Archived ones are left out, and those that gave way to what the takeoff counts on this quote. `on` is the day whose
    prices count (the draft's own when not given); `only` names the wanted ones, as ("task" or "item", its id).
    """
    kept = draft(edit, quote_id)
    type_id = live_job(edit, kept.job_id).job_type_id
    out = _given_way(edit, quote_id, kept.job_id) if only is None else set()
    tasks = _usual(edit, job_type_task, "task_id", type_id, labour_line, quote_id, only is not None)
    items = _usual(edit, job_type_item, "item_id", type_id, material_line, quote_id, only is not None)
    picks = {pick.task.id: pick for pick in task_picks(edit.conn, kept.job_id)} if tasks else {}
    priced = {one.item.id: one for one in price_picks(edit.conn, on or kept.created_on)} if items else {}
    work = [
        NewLabour(picks[task_id], quantity)
        for task_id, quantity in tasks
        if task_id in picks and usual_key("task", task_id) not in out and (only is None or ("task", task_id) in only)
    ]
    goods = [
        NewMaterial(priced[item_id].item, quantity, priced[item_id].unit_cost or Decimal(0))
        for item_id, quantity in items
        if item_id in priced and usual_key("item", item_id) not in out and (only is None or ("item", item_id) in only)
    ]
    add_lines(edit, quote_id, work, goods)
    return len(work) + len(goods)


def _given_way(edit: Edit, quote_id: int, job_id: int) -> set[str]:
    """Usual lines the reconciliation took off: they would be charged twice beside what is counted on the quote."""
    if not made_from_takeoff(edit.conn, quote_id):
        return set()
    said = select(takeoff_answer.c.row_key).where(
        takeoff_answer.c.job_id == job_id, takeoff_answer.c.answer.in_((GIVEN_WAY, OFF))
    )
    return set(edit.conn.execute(said).scalars())


def _usual(
    edit: Edit, usual: Table, column: str, type_id: int, lines: Table, quote_id: int, beside_counted: bool
) -> list[tuple[int, Decimal]]:
    """Ids and quantities of the job type that are not in the base yet, in the owner's order.

    ``beside_counted``: the owner wants them though the takeoff made a line of the same.
    """
    there = select(lines.c[column]).where(lines.c.quote_id == quote_id, lines.c.option_id.is_(None))
    if beside_counted:
        there = there.where(lines.c.takeoff_key == "")
    here = set(edit.conn.execute(there).scalars())
    rows = edit.conn.execute(
        select(usual.c[column], usual.c.quantity)
        .where(usual.c.job_type_id == type_id)
        .order_by(usual.c.position, usual.c.id)
    ).all()
    return [(row[0], row[1]) for row in rows if row[0] not in here]
