"""The usual lines of a job type: what a quote of this kind mostly starts from."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select

from db.commands.quotes.checks import draft, live_job
from db.commands.quotes.lines import add_labour, add_material
from db.edit import Edit
from db.queries.quotes import task_picks
from db.tables import item, job_type_item, job_type_task, labour_line, labour_task, material_line


def add_usual_lines(edit: Edit, quote_id: int, *, on: date | None = None) -> int:
    """Add the job type's usual tasks and items that the base has not got yet; return how many came.

    Archived ones are left out. `on` is the day whose prices count (the draft's own when not given).
    """
    kept = draft(edit, quote_id)
    type_id = live_job(edit, kept.job_id).job_type_id
    return _usual_tasks(edit, quote_id, kept.job_id, type_id) + _usual_items(edit, quote_id, type_id, on)


def _usual_tasks(edit: Edit, quote_id: int, job_id: int, type_id: int) -> int:
    here = select(labour_line.c.task_id).where(labour_line.c.quote_id == quote_id, labour_line.c.option_id.is_(None))
    rows = edit.conn.execute(
        select(job_type_task.c.task_id, job_type_task.c.quantity)
        .join(labour_task, labour_task.c.id == job_type_task.c.task_id)
        .where(job_type_task.c.job_type_id == type_id, ~labour_task.c.archived)
        .where(job_type_task.c.task_id.not_in(here))
        .order_by(job_type_task.c.position, job_type_task.c.id)
    ).all()
    picks = {pick.task.id: pick for pick in task_picks(edit.conn, job_id)} if rows else {}
    for row in rows:
        add_labour(edit, quote_id, row.task_id, row.quantity, pick=picks[row.task_id])
    return len(rows)


def _usual_items(edit: Edit, quote_id: int, type_id: int, on: date | None) -> int:
    here = select(material_line.c.item_id).where(
        material_line.c.quote_id == quote_id, material_line.c.option_id.is_(None), material_line.c.item_id.is_not(None)
    )
    rows = edit.conn.execute(
        select(job_type_item.c.item_id, job_type_item.c.quantity)
        .join(item, item.c.id == job_type_item.c.item_id)
        .where(job_type_item.c.job_type_id == type_id, ~item.c.archived)
        .where(job_type_item.c.item_id.not_in(here))
        .order_by(job_type_item.c.position, job_type_item.c.id)
    ).all()
    for row in rows:
        add_material(edit, quote_id, row.item_id, row.quantity, on=on)
    return len(rows)
