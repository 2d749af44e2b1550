"""What the owner does with the lists of his trade: job types, conditions, labour tasks, causes, lead sources."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Literal

from sqlalchemy import Column, Table, func, select

from db.commands.checks import count_where, needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import (
    access_condition,
    cause,
    hours_entry,
    item,
    job,
    job_condition,
    job_type,
    job_type_item,
    job_type_task,
    labour_line,
    labour_task,
    lead_source,
    library_proposal,
    material_use,
    other_cost,
    task_factor,
    task_progress,
    timer,
)
from domain.job_takeoff.stands_for import GOODS_PARTS, WORK_PARTS
from domain.words import fold

ListName = Literal["job_type", "access_condition", "labour_task", "cause", "lead_source"]
TASK_ROLES = ("work", "travel", "callback")
NO_CHANGE = Decimal(100)
LARGEST_FACTOR = Decimal(1000)

LISTS: dict[str, Table] = {
    "job_type": job_type,
    "access_condition": access_condition,
    "labour_task": labour_task,
    "cause": cause,
    "lead_source": lead_source,
}

HISTORY: dict[str, tuple[Column[Any], ...]] = {
    "job_type": (job.c.job_type_id,),
    "access_condition": (job_condition.c.condition_id, library_proposal.c.condition_id),
    "labour_task": (
        labour_line.c.task_id, hours_entry.c.task_id, timer.c.task_id, library_proposal.c.task_id,
        task_progress.c.task_id,
    ),
    "cause": (hours_entry.c.cause_id, material_use.c.cause_id, other_cost.c.cause_id),
    "lead_source": (job.c.lead_source_id,),
}
"""Where an entry of each list is part of what happened; such an entry can be archived but not deleted."""

_PARTS: dict[str, tuple[Column[Any], ...]] = {
    "job_type": (job_type_task.c.job_type_id, job_type_item.c.job_type_id),
    "access_condition": (task_factor.c.condition_id,),
    "labour_task": (task_factor.c.task_id, job_type_task.c.task_id),
    "cause": (),
    "lead_source": (),
}


def add_job_type(edit: Edit, name: str, *, scope_text: str = "", margin_percent: Decimal | None = None) -> int:
    """Add a job type and return its id; margin_percent None: the firm's target."""
    _check_margin(margin_percent)
    return _add(edit, "job_type", name, scope_text=scope_text.strip(), margin_percent=margin_percent)


def change_job_type(edit: Edit, job_type_id: int, **values: Any) -> None:
    """Change name, scope_text or margin_percent. Sent quotes keep their scope."""
    only(values, {"name", "scope_text", "margin_percent"})
    _check_margin(values.get("margin_percent"))
    _change(edit, "job_type", job_type_id, values)


def add_access_condition(edit: Edit, name: str, *, caution: str = "") -> int:
    """Add an access condition and return its id."""
    return _add(edit, "access_condition", name, caution=caution.strip())


def change_access_condition(edit: Edit, condition_id: int, **values: Any) -> None:
    """Change name or caution."""
    only(values, {"name", "caution"})
    _change(edit, "access_condition", condition_id, values)


def add_labour_task(
    edit: Edit, name: str, unit: str, standard_minutes: Decimal, *, role: str = "work", caution: str = ""
) -> int:
    """Add a task one can quote and log hours on; standard_minutes are for one unit."""
    values = {"unit": unit, "standard_minutes": standard_minutes, "role": role, "caution": caution}
    _check_task(values)
    return _add(edit, "labour_task", name, **tidied(values))


def change_labour_task(edit: Edit, task_id: int, **values: Any) -> None:
    """Change name, unit, standard_minutes, role or caution. Quote lines already written keep theirs."""
    only(values, {"name", "unit", "standard_minutes", "role", "caution"})
    _check_task(values)
    _change(edit, "labour_task", task_id, values)


def add_cause(edit: Edit, name: str) -> int:
    """Add a cause of work that ran over and return its id."""
    return _add(edit, "cause", name)


def add_lead_source(edit: Edit, name: str) -> int:
    """Add a way customers hear of the firm and return its id."""
    return _add(edit, "lead_source", name)


def rename_entry(edit: Edit, which: ListName, entry_id: int, name: str) -> None:
    """Give an entry of any list another name."""
    _change(edit, which, entry_id, {"name": name})


def archive_entry(edit: Edit, which: ListName, entry_id: int) -> None:
    """No longer offer an entry; what was done under it stays as it is."""
    edit.change(LISTS[which], entry_id, archived=True)


def restore_entry(edit: Edit, which: ListName, entry_id: int) -> None:
    """Offer an archived entry again."""
    edit.change(LISTS[which], entry_id, archived=False)


def move_entry(edit: Edit, which: ListName, entry_id: int, step: int) -> None:
    """Move an entry so many places down (negative: up) among those that are offered."""
    table = LISTS[which]
    ids = list(
        edit.conn.execute(
            select(table.c.id).where(table.c.archived.is_(False)).order_by(table.c.position, table.c.id)
        ).scalars()
    )
    _reorder(edit, table, ids, entry_id, step)


def delete_entry(edit: Edit, which: ListName, entry_id: int) -> None:
    """Delete an entry nothing was ever done under; its factors and usual lines go with it.

    Raises:
        Refused: it is part of jobs; archiving is offered.
    """
    table = LISTS[which]
    name = edit.conn.execute(select(table.c.name).where(table.c.id == entry_id)).scalar_one()
    used = sum(count_where(edit.conn, column.table, column == entry_id) for column in HISTORY[which])
    if used:
        times = "once" if used == 1 else f"{used} times"
        raise Refused(
            f"“{name}” is used {times} in jobs, and their history would lose it.",
            "Archive it instead: it is no longer offered, and the history stays.",
        )
    for column in _PARTS[which]:
        edit.remove_where(column.table, column == entry_id)
    edit.remove(table, entry_id)


def set_task_factor(edit: Edit, task_id: int, condition_id: int, percent: Decimal | None) -> None:
    """Say how much longer a condition makes a task: 130 is 1.3 times. None or 100: it makes no difference."""
    if percent is not None and not 0 < percent <= LARGEST_FACTOR:
        raise Refused("A factor lies above 0 and up to 1,000%.", "130 means it takes 1.3 times as long.")
    known = edit.conn.execute(
        select(task_factor.c.id).where(task_factor.c.task_id == task_id, task_factor.c.condition_id == condition_id)
    ).scalar()
    if percent is None or percent == NO_CHANGE:
        if known is not None:
            edit.remove(task_factor, known)
    elif known is not None:
        edit.change(task_factor, known, factor_percent=percent)
    else:
        edit.add(task_factor, task_id=task_id, condition_id=condition_id, factor_percent=percent)


def add_usual_task(
    edit: Edit, job_type_id: int, task_id: int, quantity: Decimal, stands_for: str | None = None
) -> int:
    """Let a quote of this type begin with a labour line.

    ``stands_for``: see `link_usual_task`; None for what the task stands for with the other job types.
    """
    return _add_usual(edit, job_type_task, labour_task, job_type_id, "task_id", task_id, quantity, stands_for)


def add_usual_item(
    edit: Edit, job_type_id: int, item_id: int, quantity: Decimal, stands_for: str | None = None
) -> int:
    """Let a quote of this type begin with a material line; quantity without waste. ``stands_for`` as for tasks."""
    return _add_usual(edit, job_type_item, item, job_type_id, "item_id", item_id, quantity, stands_for)


def link_usual_task(edit: Edit, line_id: int, stands_for: str) -> None:
    """Say which part of the takeoff a usual labour line stands for: a key of WORK_PARTS, "" for none that was said."""
    edit.change(job_type_task, line_id, stands_for=_known_part(stands_for, WORK_PARTS))


def link_usual_item(edit: Edit, line_id: int, stands_for: str) -> None:
    """Say which part of the takeoff a usual material line stands for: a key of GOODS_PARTS, "" for none."""
    edit.change(job_type_item, line_id, stands_for=_known_part(stands_for, GOODS_PARTS))


def change_usual_task(edit: Edit, line_id: int, quantity: Decimal) -> None:
    """Change the quantity of a usual labour line."""
    edit.change(job_type_task, line_id, quantity=_some(quantity))


def change_usual_item(edit: Edit, line_id: int, quantity: Decimal) -> None:
    """Change the quantity of a usual material line."""
    edit.change(job_type_item, line_id, quantity=_some(quantity))


def remove_usual_task(edit: Edit, line_id: int) -> None:
    """Take a usual labour line away."""
    edit.remove(job_type_task, line_id)


def remove_usual_item(edit: Edit, line_id: int) -> None:
    """Take a usual material line away."""
    edit.remove(job_type_item, line_id)


def move_usual_task(edit: Edit, line_id: int, step: int) -> None:
    """Move a usual labour line so many places down (negative: up)."""
    _move_usual(edit, job_type_task, line_id, step)


def move_usual_item(edit: Edit, line_id: int, step: int) -> None:
    """Move a usual material line so many places down (negative: up)."""
    _move_usual(edit, job_type_item, line_id, step)


def _add(edit: Edit, which: ListName, name: str, **values: Any) -> int:
    table = LISTS[which]
    last = edit.conn.execute(select(func.max(table.c.position))).scalar() or 0
    return edit.add(table, name=_free_name(edit, which, name, 0), position=last + 1, **values)


def _change(edit: Edit, which: ListName, entry_id: int, values: dict[str, Any]) -> None:
    if "name" in values:
        values["name"] = _free_name(edit, which, values["name"], entry_id)
    edit.change(LISTS[which], entry_id, **tidied(values))


def _free_name(edit: Edit, which: ListName, name: str, entry_id: int) -> str:
    name = needed(name, "It needs a name, so that it can be found in the lists.")
    table = LISTS[which]
    for row in edit.conn.execute(select(table.c.id, table.c.name, table.c.archived).where(table.c.id != entry_id)):
        if fold(row.name) == fold(name):
            advice = "Bring it back from the archived ones." if row.archived else "Choose another name."
            raise Refused(f"“{row.name}” is in the list already.", advice)
    return name


def _reorder(edit: Edit, table: Table, ids: list[int], moved_id: int, step: int) -> None:
    before = ids.index(moved_id)
    ids.insert(max(0, min(len(ids) - 1, before + step)), ids.pop(before))
    for place, row_id in enumerate(ids, 1):
        edit.change(table, row_id, position=place)


def _check_margin(percent: Decimal | None) -> None:
    if percent is not None and not 0 <= percent < 100:
        raise Refused("A target margin lies between 0 and 99%.")


def _check_task(values: dict[str, Any]) -> None:
    if "unit" in values:
        needed(values["unit"], "Say what is counted: each, ft, joint, hour …")
    if "standard_minutes" in values and values["standard_minutes"] <= 0:
        raise Refused("One unit takes some time, more than nothing.", "Type minutes, for example 18 or 2.5.")
    if "role" in values and values["role"] not in TASK_ROLES:
        raise Refused(f"“{values['role']}” is not one of {', '.join(TASK_ROLES)}.")


def _some(quantity: Decimal) -> Decimal:
    if quantity <= 0:
        raise Refused("A usual line has a quantity above nothing.", "Take the line away if it is not usual.")
    return quantity


def _add_usual(
    edit: Edit, table: Table, known: Table, job_type_id: int, column: str, row_id: int, quantity: Decimal,
    stands_for: str | None,
) -> int:  # fmt: skip
    if count_where(edit.conn, table, table.c.job_type_id == job_type_id, table.c[column] == row_id):
        name = edit.conn.execute(select(known.c.name).where(known.c.id == row_id)).scalar_one()
        raise Refused(f"“{name}” is among the usual lines already.", "Change its quantity there.")
    last = edit.conn.execute(select(func.max(table.c.position)).where(table.c.job_type_id == job_type_id)).scalar()
    if stands_for is None:
        said = set(edit.conn.execute(select(table.c.stands_for).where(table.c[column] == row_id)).scalars()) - {""}
        stands_for = said.pop() if len(said) == 1 else ""
    parts = WORK_PARTS if table is job_type_task else GOODS_PARTS
    return edit.add(
        table, job_type_id=job_type_id, quantity=_some(quantity), position=(last or 0) + 1,
        stands_for=_known_part(stands_for, parts), **{column: row_id},
    )  # fmt: skip


def _known_part(stands_for: str, parts: Mapping[str, str]) -> str:
    if stands_for and stands_for not in parts:
        raise Refused(f"“{stands_for}” is nothing the takeoff counts.", "Choose one of the list, or leave it empty.")
    return stands_for


def _move_usual(edit: Edit, table: Table, line_id: int, step: int) -> None:
    job_type_id = edit.conn.execute(select(table.c.job_type_id).where(table.c.id == line_id)).scalar_one()
    ids = list(
        edit.conn.execute(
            select(table.c.id).where(table.c.job_type_id == job_type_id).order_by(table.c.position, table.c.id)
        ).scalars()
    )
    _reorder(edit, table, ids, line_id, step)
