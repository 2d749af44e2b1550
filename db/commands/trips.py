"""Business miles that belong to no job: entered, corrected, taken out."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from db.commands.checks import needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import trip
from domain.dates import format_day_short

MOST_MILES = Decimal(2000)
"""In one day; more is taken for a slip of the key."""


def add_trip(
    edit: Edit, day: date, miles: Decimal, purpose: str, route: str = "", *, today: date | None = None
) -> int:
    """Enter a drive without a job and return its id.

    Raises:
        Refused: no miles or too many for a day, no purpose, a day to come.
    """
    _check(day, miles, today)
    purpose = needed(purpose, "Say what the drive was for; without a purpose the miles do not count.")
    return edit.add(trip, day=day, miles=miles, purpose=purpose, route=route.strip())


def change_trip(edit: Edit, trip_id: int, *, today: date | None = None, **values: Any) -> None:
    """Correct day, miles, purpose or route."""
    only(values, {"day", "miles", "purpose", "route"})
    values = tidied(values)
    if "purpose" in values:
        needed(values["purpose"], "Say what the drive was for; without a purpose the miles do not count.")
    _check(values.get("day"), values.get("miles", Decimal(1)), today)
    edit.change(trip, trip_id, **values)


def remove_trip(edit: Edit, trip_id: int) -> None:
    """Take a drive out."""
    edit.remove(trip, trip_id)


def _check(day: date | None, miles: Decimal, today: date | None) -> None:
    if day is not None and today is not None and day > today:
        raise Refused(f"{format_day_short(day)} has not come yet.", "Change the day.")
    if not 0 < miles <= MOST_MILES:
        raise Refused(f"{miles:f} miles cannot be.", f"Type how far it was, up to {MOST_MILES:f} in a day.")
