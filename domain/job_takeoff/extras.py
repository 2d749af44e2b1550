"""A typed extra of the list, cell by cell; what is on the price list brings its unit and class."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from domain.choosing import one_beginning
from domain.errors import NotUnderstood, as_typed
from domain.job_takeoff.records import ExtraRow
from domain.price_list import ITEM_CLASSES
from domain.quoting.typed import Picks, item_label
from domain.units.numbers import parse_quantity, plain

INVITE = "Add something: an item, or words of your own"


def new_extra(job_id: int) -> ExtraRow:
    """The empty row at the foot."""
    return ExtraRow(0, job_id, 10**6, "", Decimal(1), "each", "other", "")


def extra_cells(row: ExtraRow) -> dict[str, str]:
    """What each cell says."""
    if not row.id:
        return {"description": INVITE, "quantity": "", "unit": "", "item_class": "", "reason": ""}
    return {
        "description": row.description, "quantity": plain(row.quantity), "unit": row.unit,
        "item_class": row.item_class, "reason": row.reason,
    }  # fmt: skip


def extra_values(row: ExtraRow, key: str, text: str, picks: Picks) -> dict[str, Any]:
    """The columns a typed cell changes; for a new row all that are needed. Raises NotUnderstood."""
    if key == "quantity":
        return {"quantity": parse_quantity(text, row.unit)}
    if key == "item_class":
        missing = f"{as_typed(text)} is no class. Choose one of {', '.join(ITEM_CLASSES)}."
        return {"item_class": one_beginning({one: one for one in ITEM_CLASSES}, text, missing)}
    if key != "description":
        return {key: text.strip()}
    words = " ".join(text.split())
    if not words:
        raise NotUnderstood("Say what it is, or press Delete to remove the row.", text)
    wanted = words.casefold()
    for priced in picks.items:
        item = priced.item
        if wanted in (item.code.casefold(), item.name.casefold(), " ".join(item_label(priced).casefold().split())):
            return {"description": item.name, "unit": item.unit, "item_class": item.item_class} | _first(row)
    return {"description": words} | _first(row)


def _first(row: ExtraRow) -> dict[str, Any]:
    return {} if row.id else {"quantity": row.quantity}
