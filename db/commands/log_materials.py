"""Materials in the log: what was used, from stock or from a receipt, at the price paid."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.checks import needed, only, tidied
from db.commands.log_checks import counted, loggable_job, open_job, remove_entry
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.log import job_budget, job_log, prices_in_force
from db.records import fetch_one
from db.tables import item, material_use
from domain.actuals import MaterialUse
from domain.log_entry import SOURCES
from domain.log_so_far import materials_so_far

_FIELDS = {
    "day", "item_id", "description", "quantity", "unit", "unit_cost", "source", "receipt", "unquoted", "cause_id",
    "note",
}  # fmt: skip


def log_material(
    edit: Edit, job_id: int, day: date, item_id: int | None, description: str, quantity: Decimal, unit: str = "",
    unit_cost: Decimal | None = None, source: str = "stock", receipt: str = "", unquoted: bool = False,
    cause_id: int | None = None, note: str = "", *, today: date | None = None,
) -> int:  # fmt: skip
    """Enter a material used and return the entry's id.

    Args:
        item_id: from the price list; None for something that is not on it, then `description` says what.
        unit: left empty, the item's.
        unit_cost: dollars paid for one unit; None takes the item's price in force on that day.
        source: stock or receipt.

    Raises:
        Refused: closed job, impossible day, nothing used, no price known, no words for what it was.
    """
    loggable_job(edit, job_id, day, today)
    if source not in SOURCES:
        raise Refused(f"Materials come from {' or '.join(SOURCES)}, not from “{source}”.")
    if item_id is None:
        description = needed(description, "Say what was used.")
    elif not unit or not description:
        listed = edit.conn.execute(select(item.c.name, item.c.unit).where(item.c.id == item_id)).one()
        description, unit = description or listed.name, unit or listed.unit
    if unit_cost is None:
        unit_cost = _price_of(edit, item_id, day, description)
    counted(quantity, unit, unit_cost)
    return edit.add(
        material_use, job_id=job_id, day=day, item_id=item_id, description=description.strip(), quantity=quantity,
        unit=unit.strip(), unit_cost=unit_cost, source=source, receipt=receipt.strip(), unquoted=unquoted,
        cause_id=cause_id, note=note.strip(),
    )  # fmt: skip


def change_material(edit: Edit, entry_id: int, *, today: date | None = None, **values: Any) -> None:
    """Correct day, item_id, description, quantity, unit, unit_cost, source, receipt, unquoted, cause_id or note."""
    only(values, _FIELDS)
    values = tidied(values)
    kept = fetch_one(edit.conn, MaterialUse, material_use, entry_id)
    wanted = replace(kept, **values)
    open_job(edit, kept.job_id)
    if "day" in values:
        loggable_job(edit, kept.job_id, wanted.day, today)
    if wanted.source not in SOURCES:
        raise Refused(f"Materials come from {' or '.join(SOURCES)}, not from “{wanted.source}”.")
    if wanted.item_id is None:
        needed(wanted.description, "Say what was used, or take the entry out.")
    counted(wanted.quantity, wanted.unit, wanted.unit_cost)
    edit.change(material_use, entry_id, **values)


def remove_material(edit: Edit, entry_id: int) -> None:
    """Take a material out of the log."""
    remove_entry(edit, material_use, fetch_one(edit.conn, MaterialUse, material_use, entry_id))


def use_as_quoted(
    edit: Edit, job_id: int, day: date, *, source: str = "stock", keys: Collection[object] | None = None,
    today: date | None = None,
) -> list[int]:  # fmt: skip
    """Enter all that was quoted and not yet used, and return the new entries' ids.

    Each at the price in force that day; without one, at the quoted unit cost.

    Args:
        keys: `MaterialSoFar.key` of those wanted; None for all.
    """
    loggable_job(edit, job_id, day, today)
    log = job_log(edit.conn, job_id)
    rows = materials_so_far(job_budget(edit.conn, job_id).materials, log.materials)
    left = [row for row in rows if row.left > 0 and (keys is None or row.key in keys)]
    prices = prices_in_force(edit.conn, day, [row.item_id for row in left if row.item_id is not None])
    return [
        log_material(
            edit, job_id, day, row.item_id, row.description, row.left, row.unit,
            prices.get(row.item_id or 0, row.quoted_unit_cost), source, today=today,
        )
        for row in left
    ]  # fmt: skip


def _price_of(edit: Edit, item_id: int | None, day: date, description: str) -> Decimal:
    prices = prices_in_force(edit.conn, day, [item_id]) if item_id is not None else {}
    if item_id is None or item_id not in prices:
        raise Refused(f"There is no price for {description} on that day.", "Type what was paid for one.")
    return prices[item_id]
