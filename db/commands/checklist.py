"""Answering the points of a job's checklist, and the owner's own points."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from sqlalchemy import select

from db.commands.checks import needed
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import check_answer, check_point, job_type, photo
from domain.closeout.points import BUILT_IN, CheckPoint
from domain.closeout.records import ANSWERS, PHASES

_BUILT_IN = {point.key: point for point in BUILT_IN}


def answer_point(
    edit: Edit, job_id: int, point: CheckPoint, answer: str, on: date, *, note: str | None = None,
    photo_id: int | None = None,
) -> int:  # fmt: skip
    """Answer a point of a job's checklist, the first time or again; return the answer's id.

    The answer keeps the wording and the source it is given to. A note of None stays as it is, and so does a photo.

    Args:
        answer: ok, not_ok or not_applicable.

    Raises:
        Refused: another answer, or a photo of another job.
    """
    if answer not in ANSWERS:
        raise Refused("A point is answered OK, not OK or not applicable.")
    _check_photo(edit, job_id, photo_id)
    values: dict[str, object] = {
        "wording": point.wording, "source": point.source, "answer": answer, "answered_on": on,
    }  # fmt: skip
    if note is not None:
        values["note"] = note.strip()
    if photo_id is not None:
        values["photo_id"] = photo_id
    kept = _answer_id(edit, job_id, point.key)
    if kept is None:
        return edit.add(check_answer, job_id=job_id, point_key=point.key, **values)
    edit.change(check_answer, kept, **values)
    return kept


def answer_points(edit: Edit, job_id: int, points: Iterable[CheckPoint], answer: str, on: date) -> int:
    """Answer all of these points alike, those with an answer left alone; return how many were answered."""
    given = set(edit.conn.execute(select(check_answer.c.point_key).where(check_answer.c.job_id == job_id)).scalars())
    if answer not in ANSWERS:
        raise Refused("A point is answered OK, not OK or not applicable.")
    rows = [
        {"job_id": job_id, "point_key": one.key, "wording": one.wording, "source": one.source, "answer": answer,
         "answered_on": on}
        for one in points if one.key not in given
    ]  # fmt: skip
    edit.add_many(check_answer, rows)
    return len(rows)


def note_answer(edit: Edit, answer_id: int, note: str) -> None:
    """Write a note to an answer."""
    edit.change(check_answer, answer_id, note=note.strip())


def photo_of_answer(edit: Edit, answer_id: int, photo_id: int | None) -> None:
    """Put one of the job's photos to an answer; None takes it off."""
    job_id = edit.conn.execute(select(check_answer.c.job_id).where(check_answer.c.id == answer_id)).scalar_one()
    _check_photo(edit, job_id, photo_id)
    edit.change(check_answer, answer_id, photo_id=photo_id)


def clear_answer(edit: Edit, job_id: int, point_key: str) -> None:
    """Take an answer back."""
    edit.remove_where(check_answer, (check_answer.c.job_id == job_id) & (check_answer.c.point_key == point_key))


# The owner's own points.


def add_own_point(
    edit: Edit, phase: str, wording: str, *, source: str = "", job_type_id: int | None = None
) -> int:
    """Add a point of the owner's own, for every job type or one of them; return its id."""
    _check_phase(phase)
    wording = needed(wording, "Type what is to be checked, for example outlet covered again.")
    _check_job_type(edit, job_type_id)
    keys = edit.conn.execute(select(check_point.c.point_key)).scalars()
    used = [int(match[1]) for key in keys if (match := re.fullmatch(r"own-(\d+)", key))]
    answered = edit.conn.execute(
        select(check_answer.c.point_key).where(check_answer.c.point_key.like("own-%")).distinct()
    ).scalars()
    used += [int(match[1]) for key in answered if (match := re.fullmatch(r"own-(\d+)", key))]
    return edit.add(
        check_point, point_key=f"own-{max(used, default=0) + 1}", wording=wording, source=source.strip(), phase=phase,
        job_type_id=job_type_id, position=len(used),
    )  # fmt: skip


def change_point(
    edit: Edit, point_key: str, *, wording: str | None = None, source: str | None = None, phase: str | None = None,
    hidden: bool | None = None, **more: int | None,
) -> None:  # fmt: skip
    """Reword, move, limit (job_type_id) or hide a point, built-in or own; answers given stay as they are.

    A built-in point whose wording is emptied goes back to its own words.

    Raises:
        Refused: no such point, or an own point without words.
    """
    if set(more) - {"job_type_id"}:
        raise TypeError(f"cannot change {', '.join(sorted(more))}")
    built_in = _BUILT_IN.get(point_key)
    row = edit.conn.execute(select(check_point.c.id).where(check_point.c.point_key == point_key)).scalar()
    if row is None and built_in is None:
        raise Refused("That point is no longer there.")
    values: dict[str, object] = {}
    if wording is not None:
        missing = "Type what is to be checked, or remove the point."
        values["wording"] = wording.strip() if built_in else needed(wording, missing)
    if source is not None:
        values["source"] = source.strip()
    if phase is not None:
        _check_phase(phase)
        values["phase"] = phase
    if hidden is not None:
        values["hidden"] = hidden
    if "job_type_id" in more:
        _check_job_type(edit, more["job_type_id"])
        values["job_type_id"] = more["job_type_id"]
    if row is None and built_in is not None:
        edit.add(check_point, **{"point_key": point_key, "phase": built_in.phase, **values})
    elif row is not None:
        edit.change(check_point, row, **values)


def hide_point(edit: Edit, point_key: str, hidden: bool = True) -> None:
    """Leave a point off checklists from now on, or bring it back; answers given to it stay."""
    change_point(edit, point_key, hidden=hidden)


def remove_own_point(edit: Edit, point_key: str) -> None:
    """Take a point of the owner's own away, or what was changed of a built-in one; answers given to it stay."""
    edit.remove_where(check_point, check_point.c.point_key == point_key)


def _answer_id(edit: Edit, job_id: int, point_key: str) -> int | None:
    found = edit.conn.execute(
        select(check_answer.c.id).where(check_answer.c.job_id == job_id, check_answer.c.point_key == point_key)
    ).scalar()
    return None if found is None else int(found)


def _check_photo(edit: Edit, job_id: int, photo_id: int | None) -> None:
    if photo_id is None:
        return
    if edit.conn.execute(select(photo.c.job_id).where(photo.c.id == photo_id)).scalar() != job_id:
        raise Refused("That photo does not belong to this job.", "Choose one of the job's photos, or add it first.")


def _check_phase(phase: str) -> None:
    if phase not in PHASES:
        raise Refused("A point is checked before, during or after the work.")


def _check_job_type(edit: Edit, job_type_id: int | None) -> None:
    if job_type_id is None:
        return
    if edit.conn.execute(select(job_type.c.id).where(job_type.c.id == job_type_id)).first() is None:
        raise Refused("That job type is no longer there.")
