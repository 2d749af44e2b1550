"""The log of hours a person spent in air of a known radon level."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from db.commands.checks import only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.standards import own_standards
from db.records import fetch_one
from db.tables import exposure, job, person
from domain.closeout.exposure import exposure_rules
from domain.closeout.records import Exposure
from domain.closeout.timing import DAY
from domain.firm import Person
from domain.units import format_minutes

_FIELDS = frozenset(("person_id", "day", "minutes", "level", "level_from", "equilibrium_percent", "note"))


def log_exposure(
    edit: Edit, person_id: int, day: date, minutes: int, level: Decimal, *, job_id: int | None = None,
    level_from: str = "", equilibrium_percent: Decimal | None = None, note: str = "", today: date | None = None,
) -> int:  # fmt: skip
    """Note time in air of a radon level (pCi/L) and return the entry's id.

    Args:
        level_from: where the level is from, e.g. measured at work, or the test before the work.
        equilibrium_percent: the share of equilibrium; None: that of the standards table on the day.
        today: refuses days after it.

    Raises:
        Refused: nobody, no time, more than a day, no level, a share that cannot be, or a day to come.
    """
    if equilibrium_percent is None:
        equilibrium_percent = exposure_rules(day, own_standards(edit.conn)).equilibrium.value
    values = {
        "person_id": person_id, "day": day, "minutes": minutes, "level": level, "level_from": level_from,
        "equilibrium_percent": equilibrium_percent, "note": note,
    }  # fmt: skip
    if job_id is not None and edit.conn.execute(select(job.c.id).where(job.c.id == job_id)).first() is None:
        raise Refused("That job is no longer there.")
    _check(edit, values, today, None)
    return edit.add(exposure, job_id=job_id, **tidied(values))


def change_exposure(edit: Edit, entry_id: int, *, today: date | None = None, **values: Any) -> None:
    """Correct an entry."""
    only(values, _FIELDS)
    kept = fetch_one(edit.conn, Exposure, exposure, entry_id)
    _check(edit, {name: values.get(name, getattr(kept, name)) for name in _FIELDS}, today, entry_id)
    edit.change(exposure, entry_id, **tidied(values))


def remove_exposure(edit: Edit, entry_id: int) -> None:
    """Take an entry away."""
    edit.remove(exposure, entry_id)


def _check(edit: Edit, values: dict[str, Any], today: date | None, but: int | None) -> None:
    who = fetch_one(edit.conn, Person, person, values["person_id"])
    minutes = values["minutes"]
    if not 0 < minutes <= DAY:
        raise Refused("The time is more than nothing and at most a day.", "Type it like 2h30.")
    if values["level"] <= 0:
        raise Refused("A radon level is more than nothing.", "Type what was measured, or what the test showed.")
    if not 0 < values["equilibrium_percent"] <= 100:
        raise Refused("The equilibrium is more than nothing and at most 100%.")
    if today is not None and values["day"] > today:
        raise Refused("That day has not come yet.", "Change the day.")
    there = edit.conn.execute(
        select(func.coalesce(func.sum(exposure.c.minutes), 0)).where(
            exposure.c.person_id == who.id, exposure.c.day == values["day"], exposure.c.id != (but or 0)
        )
    ).scalar_one()
    if there + minutes > DAY:
        raise Refused(
            f"With this, {who.name} would have {format_minutes(there + minutes)} on that one day.",
            "Correct the time or the day.",
        )
