"""Closed months cannot change: every write is looked at here, whichever command or undo makes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, select

from db.tables import closed_month
from domain.dates import format_month

if TYPE_CHECKING:
    from db.company_file.problems import Refused

Stored = Mapping[str, Any]

# The day that books a row into a month. For the first group the whole row is the booking; for the second only the
# day itself is, as a job's note or a proposal's wording is no figure of the books.
_WHOLE = {
    "invoice": "issued_on",
    "payment": "received_on",
    "settlement": "settled_on",
    "bad_debt": "day",
    "bill": "billed_on",
    "bill_payment": "paid_on",
    "purchase": "day",
    "trip": "day",
    "hours_entry": "day",
    "material_use": "day",
    "other_cost": "day",
    "price_adjustment": "day",
}
_DAY_ONLY = {"job": "closed_on", "quote": "accepted_on"}

BOOKED_TABLES = frozenset(_WHOLE) | frozenset(_DAY_ONLY)
"""Tables whose rows belong to a month of the books."""


def closed_months(conn: Connection) -> frozenset[str]:
    """The closed months as "2026-11"."""
    return frozenset(conn.execute(select(closed_month.c.month)).scalars())


def check_open(closed: frozenset[str], table: str, steps: Iterable[tuple[Stored | None, Stored | None]]) -> None:
    """Refuse steps (row before, row after, as stored) that would change a closed month.

    Raises:
        Refused: the old or the new row is booked in a closed month.
    """
    if not closed or table not in BOOKED_TABLES:
        return
    whole = _WHOLE.get(table)
    column = whole or _DAY_ONLY[table]
    for before, after in steps:
        old, new = (before or {}).get(column), (after or {}).get(column)
        if whole is None and old == new:
            continue
        for day in (old, new):
            if day is not None and str(day)[:7] in closed:
                raise _is_closed(str(day))


def _is_closed(day: str) -> Refused:
    from db.company_file.problems import Refused  # here, as the company file itself is built on the edit

    month = format_month(date.fromisoformat(day[:10]))
    return Refused(
        f"The books of {month} are closed, so nothing dated in it can be added, changed or taken away.",
        "Enter it with a day in the open month; a wrong entry is put right there by a correction that names it.",
    )
