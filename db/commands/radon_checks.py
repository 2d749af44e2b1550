"""What a radon test must not be: without a level, over before it began, before the fan ran, in the future."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from db.company_file.problems import Refused
from db.tables import attachment, closeout
from domain.closeout.timing import DAY
from domain.dates import format_day_short
from domain.jobs import Job
from domain.units import format_clock

PURPOSES = ("before", "after")
CLOSED_HOUSE = ("yes", "no", "")

TEST_FIELDS = (
    "purpose", "device", "result", "ended_on", "started_on", "place", "note", "started_minute", "ended_minute",
    "closed_house", "placed_by", "serial", "attachment_id",
)  # fmt: skip


def check_test(conn: Connection, kept: Job, values: Mapping[str, Any], today: date | None) -> None:
    """Refuse a test that cannot be; `values` has all of TEST_FIELDS.

    Raises:
        Refused: with what is wrong and what to do.
    """
    if values["purpose"] not in PURPOSES:
        raise Refused(f"“{values['purpose']}” is neither before nor after the work.")
    if values["closed_house"] not in CLOSED_HOUSE:
        raise Refused("Whether the house was closed is yes, no, or not known.")
    if values["result"] <= 0:
        raise Refused("A radon result is more than nothing.", "Type it as it stands on the report, for example 7.4.")
    _check_times(values)
    if today is not None and values["ended_on"] > today:
        raise Refused(
            f"The test would end on {format_day_short(values['ended_on'])}, which has not come yet.",
            "Correct the day, or note the test when its result is there.",
        )
    if values["purpose"] == "after" and kept.installed_on is not None:
        _check_fan_ran(conn, kept, kept.installed_on, values)
    if values["attachment_id"] is not None:
        found = conn.execute(select(attachment.c.id).where(attachment.c.id == values["attachment_id"])).first()
        if found is None:
            raise Refused("That report is no longer there.", "Add it again.")


def check_minute(minute: int | None) -> None:
    """Refuse a minute that no day has."""
    if minute is not None and not 0 <= minute < DAY:
        raise Refused("A time of day lies between 0:00 and 23:59.")


def _check_times(values: Mapping[str, Any]) -> None:
    started, ended = values["started_on"], values["ended_on"]
    begins, ends = values["started_minute"], values["ended_minute"]
    for minute in (begins, ends):
        check_minute(minute)
    if started is None and begins is not None:
        raise Refused("The test has a time it began but no day.", "Add the day it began, or leave the time out.")
    if started and started > ended:
        raise Refused(
            f"The test would end ({format_day_short(ended)}) before it began ({format_day_short(started)}).",
            "Correct whichever of the two is wrong.",
        )
    if started == ended and begins is not None and ends is not None and ends <= begins:
        raise Refused(
            f"The test would end at {format_clock(ends)}, before it began at {format_clock(begins)}.",
            "Correct whichever of the two is wrong.",
        )


def _check_fan_ran(conn: Connection, kept: Job, fan_day: date, values: Mapping[str, Any]) -> None:
    began = values["started_on"] or values["ended_on"]
    if began < fan_day:
        raise Refused(
            f"A test after the work cannot begin before the fan was on ({format_day_short(fan_day)}).",
            "Correct the days, or note it as a test before the work.",
        )
    begins = values["started_minute"]
    if values["started_on"] != fan_day or begins is None:
        return
    fan_minute = conn.execute(select(closeout.c.fan_on_minute).where(closeout.c.job_id == kept.id)).scalar()
    if fan_minute is not None and begins < fan_minute:
        raise Refused(
            f"A test after the work cannot begin at {format_clock(begins)}, before the fan was on at "
            f"{format_clock(fan_minute)} that day.",
            "Correct the times, or note it as a test before the work.",
        )
