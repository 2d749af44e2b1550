"""What the owner does with the calendar: book a visit, move it, mark it done, call it off.

A job's first work day (`job.scheduled_on`) is kept here: it is the day of its first work visit that stands.
"""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import uuid4

from sqlalchemy import func, select

from db.commands.checks import count_where, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all, fetch_one
from db.tables import job, supplier, visit
from domain.calendar.visits import (
    AFTER_CLOSING,
    DAY_MINUTES,
    KIND_WORDS,
    OTHERS_COME,
    TEST_KINDS,
    USUAL_MINUTES,
    VISIT_KINDS,
    Visit,
)
from domain.dates import format_day_short
from domain.job_dates import date_problem
from domain.jobs import Job

_FIELDS = {
    "kind", "title", "day", "starts_at", "minutes", "travel_minutes", "who", "supplier_id", "takes_own_time", "note",
}  # fmt: skip
LONGEST = 200
FIRST_YEAR, LAST_YEAR = 2000, 2199


def book_visit(
    edit: Edit, job_id: int | None, kind: str, day: date, *, starts_at: int | None = None, minutes: int | None = None,
    travel_minutes: int = 0, title: str = "", who: str = "", supplier_id: int | None = None,
    takes_own_time: bool | None = None, note: str = "", done_on: date | None = None,
) -> int:  # fmt: skip
    """Book a visit and return its id.

    Args:
        edit: the open action.
        job_id: the job it is for; None only for the kind "own", which then needs a title.
        kind: one of VISIT_KINDS.
        day: the day it is planned for.
        starts_at: minute of the day; None: some time that day.
        minutes: planned at the place; None: what the kind usually takes.
        travel_minutes: there and back.
        title: what own time is for; for a test, its device.
        who: who comes, when it is not the owner.
        supplier_id: the subcontractor who comes.
        takes_own_time: whether the owner has to be there; None: as the kind usually is.
        note: anything else.
        done_on: for a visit that is over already.

    Raises:
        Refused: the job is canceled, or closed and the kind does not come after closing; a day or an hour that
            cannot be; a work day before the job was opened.
    """
    values: dict[str, Any] = {
        "kind": kind, "day": day, "starts_at": starts_at, "minutes": USUAL_MINUTES.get(kind, 60) if minutes is None
        else minutes, "travel_minutes": travel_minutes, "title": title, "who": who, "supplier_id": supplier_id,
        "takes_own_time": int(kind not in OTHERS_COME if takes_own_time is None else takes_own_time), "note": note,
    }  # fmt: skip
    values = tidied(values)
    _check(edit, job_id, values)
    if done_on is not None:
        _check_done(day, done_on)
    visit_id = edit.add(visit, job_id=job_id, done_on=done_on, uid=f"{uuid4()}@riserbook.invalid", **values)
    _keep_work_day(edit, job_id)
    return visit_id


def move_visit(edit: Edit, visit_id: int, day: date, starts_at: int | None = None) -> None:
    """Put a visit on another day and hour; None: some time that day."""
    change_visit(edit, visit_id, day=day, starts_at=starts_at)


def change_visit(edit: Edit, visit_id: int, **values: Any) -> None:
    """Change kind, title, day, starts_at, minutes, travel_minutes, who, supplier_id, takes_own_time or note.

    Each change that a calendar elsewhere has to know of makes the visit's sequence grow (RFC 5545, 3.8.7.4).

    Raises:
        Refused: the visit was called off, or it cannot stand so.
    """
    only(values, _FIELDS)
    kept = fetch_one(edit.conn, Visit, visit, visit_id)
    if not kept.stands:
        raise Refused("This visit was called off.", "Bring it back first, or book a new one.")
    values = tidied(values)
    if "takes_own_time" in values:
        values["takes_own_time"] = int(values["takes_own_time"])
    whole = {name: getattr(kept, name) for name in _FIELDS} | values
    _check(edit, kept.job_id, whole)
    if kept.done_on is not None and whole["day"] > kept.done_on:
        raise Refused(
            f"It is marked done on {format_day_short(kept.done_on)}, before the new day.",
            "Take the mark away first if it did not take place.",
        )
    if all(getattr(kept, name) == value for name, value in values.items()):
        return
    edit.change(visit, visit_id, sequence=kept.sequence + 1, **values)
    _keep_work_day(edit, kept.job_id)


def mark_visit_done(edit: Edit, visit_id: int, on: date | None) -> None:
    """Note that a visit took place on a day; None takes the mark back.

    Raises:
        Refused: it was called off, or the day lies before the one it is planned for.
    """
    kept = fetch_one(edit.conn, Visit, visit, visit_id)
    if not kept.stands:
        raise Refused("This visit was called off.", "Bring it back first if it took place after all.")
    if on is not None:
        _check_done(kept.day, on)
    edit.change(visit, visit_id, done_on=on)


def cancel_visit(edit: Edit, visit_id: int, on: date) -> None:
    """Call a visit off; it stays on the job, and calendars elsewhere learn that it is off.

    Raises:
        Refused: it is done already.
    """
    kept = fetch_one(edit.conn, Visit, visit, visit_id)
    if kept.done_on is not None:
        raise Refused(
            f"It took place on {format_day_short(kept.done_on)}.", "Take that mark away first if it was a mistake."
        )
    if kept.stands:
        edit.change(visit, visit_id, cancelled_on=on, sequence=kept.sequence + 1)
        _keep_work_day(edit, kept.job_id)


def bring_back_visit(edit: Edit, visit_id: int) -> None:
    """Let a visit that was called off stand again, where it stood."""
    kept = fetch_one(edit.conn, Visit, visit, visit_id)
    if kept.stands:
        return
    _check(edit, kept.job_id, {name: getattr(kept, name) for name in _FIELDS})
    edit.change(visit, visit_id, cancelled_on=None, sequence=kept.sequence + 1)
    _keep_work_day(edit, kept.job_id)


def remove_visit(edit: Edit, visit_id: int) -> None:
    """Take a visit away that was booked by mistake; one that others know of is better called off."""
    kept = fetch_one(edit.conn, Visit, visit, visit_id)
    edit.remove(visit, visit_id)
    _keep_work_day(edit, kept.job_id)


def schedule_first_work(edit: Edit, job_id: int, on: date | None, today: date | None = None) -> None:
    """Put a job's first work visit on a day, booking one where there is none; None calls all open ones off.

    Args:
        edit: the open action.
        job_id: the job.
        on: the first work day.
        today: the day of calling off; without it the visits are taken away.

    Raises:
        Refused: the day cannot be, or work was done already and no day is given.
    """
    standing = _work_visits(edit, job_id)
    if on is None:
        _no_more_work(edit, standing, today)
    elif not standing:
        book_visit(edit, job_id, "work", on)
    elif standing[0].day != on:
        first = standing[0]
        values: dict[str, Any] = {"day": on, "sequence": first.sequence + 1}
        if first.done_on is not None and first.done_on < on:
            values["done_on"] = on
        _check_work_day(edit, job_id, on)
        edit.change(visit, first.id, **values)
    _keep_work_day(edit, job_id)


def mark_work_done(edit: Edit, job_id: int, on: date | None, before: date | None) -> None:
    """The fan is on since a day: the open work visits up to it are done; None, or a sooner day, takes marks back.

    Args:
        edit: the open action.
        job_id: the job.
        on: the day the fan was on.
        before: what that day was until now; only marks of that day are taken back.
    """
    for one in _work_visits(edit, job_id):
        if on is not None and one.day <= on:
            if one.is_open:
                edit.change(visit, one.id, done_on=on)
        elif before is not None and one.done_on == before:
            edit.change(visit, one.id, done_on=None)


def answer_test_visits(edit: Edit, job_id: int, ended_on: date) -> None:
    """A test's result is there: its device was placed and picked up, so the visits for that are done."""
    for one in fetch_all(edit.conn, Visit, visit, visit.c.job_id == job_id, visit.c.kind.in_(TEST_KINDS)):
        if one.is_open and one.day <= ended_on:
            edit.change(visit, one.id, done_on=one.day)


def call_off_visits(edit: Edit, job_id: int, on: date) -> None:
    """Call off whatever still stands open on a job that is canceled."""
    for one in fetch_all(edit.conn, Visit, visit, visit.c.job_id == job_id):
        if one.is_open:
            edit.change(visit, one.id, cancelled_on=on, sequence=one.sequence + 1)
    _keep_work_day(edit, job_id)


def bring_back_visits(edit: Edit, job_id: int, called_off_on: date) -> None:
    """Let the visits that were called off with the job on a day stand again."""
    for one in fetch_all(edit.conn, Visit, visit, visit.c.job_id == job_id, visit.c.cancelled_on == called_off_on):
        edit.change(visit, one.id, cancelled_on=None, sequence=one.sequence + 1)
    _keep_work_day(edit, job_id)


def _no_more_work(edit: Edit, standing: list[Visit], today: date | None) -> None:
    done = [one for one in standing if one.done_on is not None]
    if done:
        raise Refused(
            f"Work was done on {format_day_short(done[0].day)}, so the job has a first work day.",
            "Take the mark “done” off that visit first if it did not take place.",
        )
    for one in standing:
        if today is None:
            edit.remove(visit, one.id)
        else:
            edit.change(visit, one.id, cancelled_on=today, sequence=one.sequence + 1)


def _work_visits(edit: Edit, job_id: int) -> list[Visit]:
    where = visit.c.job_id == job_id, visit.c.kind == "work", visit.c.cancelled_on.is_(None)
    return fetch_all(edit.conn, Visit, visit, *where, order=(visit.c.day, visit.c.starts_at, visit.c.id))


def _keep_work_day(edit: Edit, job_id: int | None) -> None:
    """`job.scheduled_on` is the day of the first work visit that stands."""
    if job_id is None:
        return
    first = edit.conn.execute(
        select(func.min(visit.c.day)).where(
            visit.c.job_id == job_id, visit.c.kind == "work", visit.c.cancelled_on.is_(None)
        )
    ).scalar()
    kept = fetch_one(edit.conn, Job, job, job_id)
    if first == kept.scheduled_on:
        return
    if problem := date_problem(kept, "scheduled_on", first):
        raise Refused(problem)
    edit.change(job, job_id, scheduled_on=first)


def _check(edit: Edit, job_id: int | None, values: dict[str, Any]) -> None:
    kind, day = values["kind"], values["day"]
    if kind not in VISIT_KINDS:
        raise Refused(f"“{kind}” is no kind of visit: {', '.join(word.lower() for word in KIND_WORDS.values())}.")
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Refused(f"{format_day_short(day)} is too far away.", "Check the year.")
    _check_hours(values["starts_at"], values["minutes"], values["travel_minutes"])
    for name in ("title", "who"):
        if len(values[name]) > LONGEST:
            raise Refused(f"Keep it to {LONGEST} letters; the note has room for more.")
    firm_id = values["supplier_id"]
    if firm_id is not None and not count_where(edit.conn, supplier, supplier.c.id == firm_id):
        raise Refused("That subcontractor is no longer there.", "Choose another, or type who comes.")
    if job_id is None:
        _check_own(kind, values["title"])
    else:
        _check_job(edit, job_id, kind)


def _check_own(kind: str, title: str) -> None:
    if kind != "own":
        raise Refused(f"{KIND_WORDS[kind]} belongs to a job.", "Choose the job first.")
    if not title:
        raise Refused("Say what the time is for, for example pick up pipe or day off.")


def _check_job(edit: Edit, job_id: int, kind: str) -> None:
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.cancelled_on is not None:
        raise Refused(f"Job {kept.number} was canceled.", "Reopen it first if it is done after all.")
    if kept.closed_on is not None and kind not in AFTER_CLOSING and kind != "own":
        raise Refused(
            f"Job {kept.number} is closed.", "Book a callback, an inspection or a test on it, or reopen it first."
        )


def _check_work_day(edit: Edit, job_id: int, on: date) -> None:
    if problem := date_problem(fetch_one(edit.conn, Job, job, job_id), "scheduled_on", on):
        raise Refused(problem)


def _check_hours(starts_at: int | None, minutes: int, travel_minutes: int) -> None:
    if not 0 < minutes <= DAY_MINUTES:
        raise Refused("A visit takes from a minute to a day.", "Book one visit a day for longer work.")
    if not 0 <= travel_minutes <= DAY_MINUTES:
        raise Refused("The way there and back takes from nothing to a day.")
    if starts_at is not None and not 0 <= starts_at < DAY_MINUTES:
        raise Refused("An hour of the day lies between midnight and midnight.")
    if starts_at is not None and starts_at + minutes > DAY_MINUTES:
        raise Refused("The visit would run past midnight.", "Begin earlier, or make it two visits.")


def _check_done(day: date, done_on: date) -> None:
    if done_on < day:
        raise Refused(
            f"It is planned for {format_day_short(day)} and cannot have been done on {format_day_short(done_on)}.",
            "Move the visit to the day it took place first.",
        )
