"""The owner's choices over a takeoff: own quantities, which item a line buys, which task a count drives, rules."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from sqlalchemy import Table, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import item, labour_task, takeoff_choice, takeoff_item, takeoff_override, takeoff_task
from domain.errors import NotUnderstood
from domain.job_takeoff.choosing import UNCHOSEN
from domain.job_takeoff.offcuts import CHOICE as SHORTEST_OFFCUT
from domain.job_takeoff.offcuts import LONGEST_FT
from domain.library import LabourTask
from domain.price_list import Item
from domain.routes.route import PIPE_SIZES
from domain.routes.rules import OPENING_RULES, SUPPORT_RULES, size_key
from domain.takeoff.rules import WASTE_PERCENT
from domain.units.numbers import parse_percent, read_number

LARGEST = Decimal(100_000)


def set_override(edit: Edit, job_id: int, line_key: str, quantity: Decimal | None) -> None:
    """Count so many of a line whatever is computed; None goes back to the computed quantity."""
    if quantity is not None and not 0 <= quantity <= LARGEST:
        raise Refused("Type how many, from 0 to 100,000.", "Leave it empty to count what is computed.")
    where = takeoff_override.c.job_id == job_id, takeoff_override.c.line_key == line_key
    row_id = edit.conn.execute(select(takeoff_override.c.id).where(*where)).scalar()
    if quantity is None:
        if row_id is not None:
            edit.remove(takeoff_override, row_id)
    elif row_id is None:
        edit.add(takeoff_override, job_id=job_id, line_key=line_key, quantity=quantity)
    else:
        edit.change(takeoff_override, row_id, quantity=quantity)


def choose_item(edit: Edit, line_key: str, item_id: int | str | None) -> None:
    """Buy this item for lines of this kind, on every job from now on; None: not from the price list."""
    if isinstance(item_id, int):
        fetch_one(edit.conn, Item, item, item_id)
    _choose(edit, takeoff_item, takeoff_item.c.line_key, line_key, "item_id", item_id)


def choose_task(edit: Edit, driver_key: str, task_id: int | str | None) -> None:
    """Let this count drive a task, on every job from now on; None: no task of its own."""
    if isinstance(task_id, int):
        fetch_one(edit.conn, LabourTask, labour_task, task_id)
    _choose(edit, takeoff_task, takeoff_task.c.driver_key, driver_key, "task_id", task_id)


def set_choice(edit: Edit, name: str, value: str) -> None:
    """Choose a rule: supports, openings, belled (pipe sizes), waste:<class> in percent, shortest_offcut in feet.

    Raises:
        Refused: no such rule or value.
    """
    _check_choice(name, value)
    row_id = edit.conn.execute(select(takeoff_choice.c.id).where(takeoff_choice.c.name == name)).scalar()
    if row_id is None:
        edit.add(takeoff_choice, name=name, value=value)
    else:
        edit.change(takeoff_choice, row_id, value=value)


def _check_choice(name: str, value: str) -> None:
    if name.startswith("waste:"):
        try:
            percent = parse_percent(value)
        except NotUnderstood as problem:
            raise Refused(str(problem)) from None
        if name.removeprefix("waste:") not in WASTE_PERCENT or not 0 <= percent <= 100:
            raise Refused("Waste lies between 0% and 100%.")
        return
    if name == SHORTEST_OFFCUT:
        feet = read_number(value)
        if feet is None or not Decimal("0.1") <= feet <= LONGEST_FT:
            raise Refused("The shortest offcut worth keeping lies between 0.1 and 20 ft.")
        return
    allowed: dict[str, Any] = {"supports": SUPPORT_RULES, "openings": OPENING_RULES}
    if name == "belled":
        allowed["belled"] = {value} if set(value.split()) <= {size_key(size) for size in PIPE_SIZES} else ()
    if value not in allowed.get(name, ()):
        raise Refused(f"“{value}” is no choice for {name}.")


def _choose(edit: Edit, table: Table, column: Any, key: str, name: str, value: int | str | None) -> None:
    row_id = edit.conn.execute(select(table.c.id).where(column == key)).scalar()
    if value == UNCHOSEN:
        if row_id is not None:
            edit.remove(table, row_id)
    elif row_id is None:
        edit.add(table, **{column.name: key, name: value})
    else:
        edit.change(table, row_id, **{name: value})
