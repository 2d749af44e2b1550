"""Marking what no line of the quote allows, so that a change order finds it."""

from __future__ import annotations

from db.commands.log_checks import open_job
from db.edit import Edit
from db.queries.log import job_budget, job_log
from db.tables import hours_entry, material_use, other_cost
from domain.log_so_far import material_key


def flag_unquoted(edit: Edit, job_id: int) -> int:
    """Mark every entry whose task, material or kind of cost has no line in the budget; return how many were.

    What the owner marked already stays marked.

    Raises:
        Refused: the job is closed.
    """
    open_job(edit, job_id)
    budget, log = job_budget(edit.conn, job_id), job_log(edit.conn, job_id)
    tasks = {line.task_id for line in budget.labour}
    keys = {material_key(line.item_id, line.description, line.unit) for line in budget.materials}
    kinds = {line.kind for line in budget.others}
    found = [
        (hours_entry, entry.id) for entry in log.hours if not entry.unquoted and entry.task_id not in tasks
    ] + [
        (material_use, use.id)
        for use in log.materials
        if not use.unquoted and material_key(use.item_id, use.description, use.unit) not in keys
    ] + [(other_cost, cost.id) for cost in log.others if not cost.unquoted and cost.kind not in kinds]
    for table, entry_id in found:
        edit.change(table, entry_id, unquoted=True)
    return len(found)
