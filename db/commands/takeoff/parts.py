"""What is counted beside the routes: joints, pits, circuits, floors, paint, offcuts, and typed extras."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from sqlalchemy import Table, func, select

from db.commands.checks import count_where, needed, only
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.standards import own_standards
from db.records import fetch_one
from db.tables import job, takeoff_extra, takeoff_part
from domain.errors import NotUnderstood
from domain.job_takeoff.parts import CLASSES, PartValue, write_part
from domain.job_takeoff.reckoning import count_alone
from domain.job_takeoff.records import ExtraRow, PartRow
from domain.price_list import ITEM_CLASSES
from domain.standards.trade import FIRST_DAY
from domain.takeoff import takeoff_rules

MOST_PARTS = 200
LARGEST = Decimal(100_000)


def add_part(edit: Edit, job_id: int, value: PartValue) -> int:
    """Add a part and return its id.

    Raises:
        Refused: it cannot be counted (in the words of the count), or the job has a paint part already.
    """
    kind = _kind_of(value)
    _countable(edit, value)
    if count_where(edit.conn, takeoff_part, takeoff_part.c.job_id == job_id) >= MOST_PARTS:
        raise Refused(f"A takeoff keeps {MOST_PARTS} parts beside its routes.", "Put some of them together.")
    paint = takeoff_part.c.job_id == job_id, takeoff_part.c.kind == "paint"
    if kind == "paint" and count_where(edit.conn, takeoff_part, *paint):
        raise Refused("The paint of this job is there already.", "Change the one that is there.")
    position = _next(edit, takeoff_part, job_id)
    return edit.add(takeoff_part, job_id=job_id, position=position, kind=kind, details=write_part(value))


def change_part(edit: Edit, part_id: int, value: PartValue) -> None:
    """Put another value of the same kind in a part's place. Raises Refused when it cannot be counted."""
    kept = fetch_one(edit.conn, PartRow, takeoff_part, part_id)
    if kept.kind != _kind_of(value):
        raise TypeError(f"a {kept.kind} cannot become a {type(value).__name__}")
    _countable(edit, value)
    edit.change(takeoff_part, part_id, details=write_part(value))


def remove_part(edit: Edit, part_id: int) -> None:
    """Take a part away."""
    edit.remove(takeoff_part, part_id)


def add_extra(
    edit: Edit, job_id: int, description: str, quantity: Decimal, unit: str = "each", item_class: str = "other",
    reason: str = "",
) -> int:  # fmt: skip
    """Add something in the owner's own words to the list and return its id."""
    values = _extra_values(
        description=description, quantity=quantity, unit=unit, item_class=item_class, reason=reason
    )  # fmt: skip
    return edit.add(takeoff_extra, job_id=job_id, position=_next(edit, takeoff_extra, job_id), **values)


def change_extra(edit: Edit, extra_id: int, **values: Any) -> None:
    """Change description, quantity, unit, item_class or reason."""
    only(values, {"description", "quantity", "unit", "item_class", "reason"})
    fetch_one(edit.conn, ExtraRow, takeoff_extra, extra_id)
    edit.change(takeoff_extra, extra_id, **_extra_values(**values))


def remove_extra(edit: Edit, extra_id: int) -> None:
    """Take an extra off the list."""
    edit.remove(takeoff_extra, extra_id)


def _extra_values(**values: Any) -> dict[str, Any]:
    if "description" in values:
        values["description"] = needed(values["description"], "Say what it is.")
    if "quantity" in values and not 0 <= values["quantity"] <= LARGEST:
        raise Refused("Type how many, from 0 to 100,000.")
    if "unit" in values:
        values["unit"] = needed(values["unit"], "Say in what it is counted, for example each or ft.")
    if "item_class" in values and values["item_class"] not in ITEM_CLASSES:
        raise Refused(f"“{values['item_class']}” is no class of items.", f"Choose {', '.join(ITEM_CLASSES)}.")
    if "reason" in values:
        values["reason"] = values["reason"].strip()
    return values


def _kind_of(value: PartValue) -> str:
    return next(kind for kind, made in CLASSES.items() if isinstance(value, made))


def _countable(edit: Edit, value: PartValue) -> None:
    """Stop a part that the takeoff could not count: it would leave the whole list empty."""
    own = own_standards(edit.conn)
    day = max([FIRST_DAY, *(row.starts_on for row in own)])
    try:
        count_alone(value, takeoff_rules(day, own))
    except NotUnderstood as problem:
        raise Refused(str(problem)) from None


def _next(edit: Edit, table: Table, job_id: int) -> int:
    if edit.conn.execute(select(job.c.id).where(job.c.id == job_id)).scalar() is None:
        raise LookupError(f"job {job_id} does not exist")
    last = edit.conn.execute(select(func.max(table.c.position)).where(table.c.job_id == job_id)).scalar()
    return int(last or 0) + 1
