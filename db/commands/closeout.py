"""What is noted of a system when it is handed over: fan, suction, indicator, warranty, retest."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.checks import only, tidied
from db.commands.radon_checks import check_minute
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import closeout, job
from domain.dates import format_day_short
from domain.jobs import Job

CLOSEOUT_FIELDS = frozenset(
    (
        "description", "fan", "fan_watts", "fan_on_minute", "read_on", "suction", "indicator", "indicator_place",
        "standard", "warranty_until", "level_promised", "warranty_text", "retest_on", "note",
    )
)  # fmt: skip

MOST_WATTS = 2000
"""More than any radon fan draws; a guard against a slip of the comma."""

MOST_SUCTION = 60
"""In. w.c.; more than any radon fan pulls."""


def note_closeout(edit: Edit, job_id: int, *, today: date | None = None, **values: Any) -> int:
    """Note something of CLOSEOUT_FIELDS, the first time or again; return the id of the job's closeout.

    Args:
        today: refuses a reading dated after it; left out, the future is not looked at.
        values: fan_watts in W, suction in in. w.c., level_promised in pCi/L, fan_on_minute a minute of the day the
            fan was on; None takes a value away.

    Raises:
        Refused: a figure that cannot be, or days in the wrong order.
    """
    only(values, CLOSEOUT_FIELDS)
    kept = fetch_one(edit.conn, Job, job, job_id)
    _check_figure(values.get("fan_watts"), MOST_WATTS, "The fan's watts", "W")
    _check_figure(values.get("suction"), MOST_SUCTION, "The suction", "in. w.c.")
    if (level := values.get("level_promised")) is not None and level <= 0:
        raise Refused("A promised level is more than nothing.", "Leave it empty when no level is promised.")
    check_minute(values.get("fan_on_minute"))
    if values.get("fan_on_minute") is not None and kept.installed_on is None:
        raise Refused("The day the fan was on is not set yet.", "Set that day first, then the time.")
    _check_days(kept, values, today)
    closeout_id = edit.conn.execute(select(closeout.c.id).where(closeout.c.job_id == job_id)).scalar()
    if closeout_id is None:
        return edit.add(closeout, job_id=job_id, **tidied(values))
    edit.change(closeout, closeout_id, **tidied(values))
    return int(closeout_id)


def _check_figure(value: Decimal | None, most: int, what: str, unit: str) -> None:
    if value is None:
        return
    if value < 0:
        raise Refused(f"{what} cannot be less than nothing.", f"Type it in {unit}, as it was read.")
    if value > most:
        raise Refused(f"{what} cannot be more than {most} {unit}.", "Check the number and its decimal point.")


def _check_days(kept: Job, values: dict[str, Any], today: date | None) -> None:
    read_on, installed = values.get("read_on"), kept.installed_on
    if read_on is not None:
        if today is not None and read_on > today:
            raise Refused(f"{format_day_short(read_on)} has not come yet.", "Note the day the suction was read.")
        if installed is not None and read_on < installed:
            raise Refused(
                f"The suction would be read ({format_day_short(read_on)}) before the fan was on"
                f" ({format_day_short(installed)}). Correct whichever of the two is wrong."
            )
    for name, what in (("warranty_until", "The warranty would end"), ("retest_on", "The next test would be due")):
        day = values.get(name)
        since = installed or kept.opened_on
        if day is not None and day < since:
            raise Refused(f"{what} ({format_day_short(day)}) before the work ({format_day_short(since)}).",
                          "Check the year.")  # fmt: skip
