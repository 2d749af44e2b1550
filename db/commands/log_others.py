"""Other costs in the log: permits, subcontractors, equipment, and miles at the mile cost of the day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from db.commands.checks import only, tidied
from db.commands.log_checks import counted, loggable_job, open_job, remove_entry
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.firm import day_rates
from db.records import fetch_one
from db.tables import other_cost
from domain.actuals import OtherCost
from domain.firm import DayRates
from domain.log_entry import MILE
from domain.quoting.lines import OTHER_KINDS

_FIELDS = {"day", "kind", "description", "quantity", "unit", "unit_cost", "unquoted", "cause_id", "note"}


def log_other_cost(
    edit: Edit, job_id: int, day: date, kind: str, description: str, quantity: Decimal, unit: str = "",
    unit_cost: Decimal | None = None, unquoted: bool = False, cause_id: int | None = None, note: str = "",
    rates: DayRates | None = None, *, today: date | None = None,
) -> int:  # fmt: skip
    """Enter a cost that is neither hours nor material and return the entry's id.

    Args:
        kind: one of OTHER_KINDS.
        unit: left empty, mile for travel and each for the rest.
        unit_cost: dollars for one; None is allowed for travel: then the mile cost of that day.

    Raises:
        Refused: closed job, impossible day, nothing counted, or no amount.
    """
    loggable_job(edit, job_id, day, today)
    _check_kind(kind)
    if unit_cost is None and kind == "travel":
        unit_cost = (rates or day_rates(edit.conn, day)).mile_cost
    if unit_cost is None:
        raise Refused("Type what it cost.")
    unit = unit.strip() or (MILE if kind == "travel" else "each")
    counted(quantity, unit, unit_cost)
    return edit.add(
        other_cost, job_id=job_id, day=day, kind=kind, description=description.strip(), quantity=quantity, unit=unit,
        unit_cost=unit_cost, unquoted=unquoted, cause_id=cause_id, note=note.strip(),
    )  # fmt: skip


def change_other_cost(
    edit: Edit, entry_id: int, *, today: date | None = None, rates: DayRates | None = None, **values: Any
) -> None:
    """Correct day, kind, description, quantity, unit, unit_cost, unquoted, cause_id or note.

    Miles that move to another day take the mile cost of that day, unless a unit_cost is given.
    """
    only(values, _FIELDS)
    values = tidied(values)
    kept = fetch_one(edit.conn, OtherCost, other_cost, entry_id)
    open_job(edit, kept.job_id)
    if "day" in values:
        loggable_job(edit, kept.job_id, values["day"], today)
        if kept.kind == "travel" and kept.unit == MILE and values["day"] != kept.day and "unit_cost" not in values:
            values["unit_cost"] = (rates or day_rates(edit.conn, values["day"])).mile_cost
    wanted = replace(kept, **values)
    _check_kind(wanted.kind)
    counted(wanted.quantity, wanted.unit, wanted.unit_cost)
    edit.change(other_cost, entry_id, **values)


def remove_other_cost(edit: Edit, entry_id: int) -> None:
    """Take a cost out of the log."""
    remove_entry(edit, other_cost, fetch_one(edit.conn, OtherCost, other_cost, entry_id))


def _check_kind(kind: str) -> None:
    if kind not in OTHER_KINDS:
        raise Refused(f"“{kind}” is not one of the kinds of cost: {', '.join(OTHER_KINDS)}.")
