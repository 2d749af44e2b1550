"""What the owner notes on the survey of a house: its day and findings, radon tests, photos."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import select

from db.commands.checks import only, tidied
from db.commands.radon_checks import TEST_FIELDS, check_test
from db.commands.visits import answer_test_visits
from db.company_file.problems import Refused
from db.edit import Edit
from db.photo_folder import keep_photo, plain_name
from db.records import fetch_one
from db.tables import check_answer, defect, job, photo, radon_test, survey
from domain.dates import format_day_short
from domain.jobs import Job, RadonTest


def save_survey(
    edit: Edit, job_id: int, surveyed_on: date, *, existing_notes: str | None = None,
    findings: str | None = None, access_notes: str | None = None,
) -> int:  # fmt: skip
    """Write the job's survey, the first time or again, and return its id; a text of None stays as it is."""
    texts = {"existing_notes": existing_notes, "findings": findings, "access_notes": access_notes}
    values: dict[str, Any] = {name: text.strip() for name, text in texts.items() if text is not None}
    values["surveyed_on"] = surveyed_on
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.installed_on and surveyed_on > kept.installed_on:
        raise Refused(
            f"The survey ({format_day_short(surveyed_on)}) would come after the day the fan was on"
            f" ({format_day_short(kept.installed_on)}). Correct whichever of the two is wrong."
        )
    survey_id = edit.conn.execute(select(survey.c.id).where(survey.c.job_id == job_id)).scalar()
    if survey_id is None:
        return edit.add(survey, job_id=job_id, **values)
    edit.change(survey, survey_id, **values)
    return int(survey_id)


def add_radon_test(
    edit: Edit, job_id: int, purpose: str, device: str | None, result: Decimal, ended_on: date, *,
    started_on: date | None = None, place: str = "", note: str = "", started_minute: int | None = None,
    ended_minute: int | None = None, closed_house: str = "", placed_by: str = "", serial: str = "",
    attachment_id: int | None = None, today: date | None = None,
) -> int:  # fmt: skip
    """Note a radon test and return its id; result in pCi/L, purpose "before" or "after" the work.

    Args:
        device: None or "" when it is not known.
        started_minute, ended_minute: minute of the day.
        closed_house: "yes", "no", or "" when it is not known.
        attachment_id: the laboratory's report, see `db.commands.attachments`.
        today: refuses a test that ends after it; left out, the future is not looked at.

    Raises:
        Refused: no level, days or times in the wrong order, before the fan ran, or in the future.
    """
    values = {
        "purpose": purpose, "device": device or "", "result": result, "ended_on": ended_on,
        "started_on": started_on, "place": place, "note": note, "started_minute": started_minute,
        "ended_minute": ended_minute, "closed_house": closed_house, "placed_by": placed_by, "serial": serial,
        "attachment_id": attachment_id,
    }  # fmt: skip
    check_test(edit.conn, fetch_one(edit.conn, Job, job, job_id), values, today)
    test_id = edit.add(radon_test, job_id=job_id, **tidied(values))
    answer_test_visits(edit, job_id, ended_on)
    return test_id


def change_radon_test(edit: Edit, test_id: int, *, today: date | None = None, **values: Any) -> None:
    """Change any field of a radon test but its job."""
    only(values, TEST_FIELDS)
    if "device" in values:
        values["device"] = values["device"] or ""
    kept = fetch_one(edit.conn, RadonTest, radon_test, test_id)
    wanted = {name: values.get(name, getattr(kept, name)) for name in TEST_FIELDS}
    check_test(edit.conn, fetch_one(edit.conn, Job, job, kept.job_id), wanted, today)
    edit.change(radon_test, test_id, **tidied(values))


def remove_radon_test(edit: Edit, test_id: int) -> None:
    """Take a radon test away."""
    edit.remove(radon_test, test_id)


def add_photo(edit: Edit, job_id: int, source: Path, folder: Path, on: date, caption: str = "") -> int:
    """Copy a picture into the company's photo folder under a name of our own and return the photo's id.

    The original is left alone. Undo takes the photo off the job; the copy stays, so that redo finds it.

    Args:
        folder: as `db.photo_folder.photo_folder` names it; made when it is not there yet.

    Raises:
        Refused: no picture, empty, too large, or it cannot be read or copied.
    """
    number = edit.conn.execute(select(job.c.number).where(job.c.id == job_id)).scalar_one()
    return edit.add(
        photo, job_id=job_id, file_name=keep_photo(source, folder, str(number)), original_name=plain_name(source),
        caption=caption.strip(), added_on=on,
    )  # fmt: skip


def caption_photo(edit: Edit, photo_id: int, caption: str) -> None:
    """Say what a photo shows."""
    edit.change(photo, photo_id, caption=caption.strip())


def remove_photo(edit: Edit, photo_id: int) -> None:
    """Take a photo off the job; the copied file stays in the folder, so that undo brings it back."""
    for table in (check_answer, defect):
        for row in edit.conn.execute(select(table.c.id).where(table.c.photo_id == photo_id)).scalars().all():
            edit.change(table, row, photo_id=None)
    edit.remove(photo, photo_id)
