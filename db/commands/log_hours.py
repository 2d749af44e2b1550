"""Hours in the log: entered, corrected, taken out, always at the rates of their day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from sqlalchemy import select

from db.commands.checks import only, tidied
from db.commands.log_checks import loggable_job, open_job, remove_entry
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.firm import day_rates
from db.records import fetch_one
from db.tables import hours_entry, job, labour_task, person
from domain.actuals import HoursEntry
from domain.firm import DayRates, Person
from domain.log_entry import DAY_MINUTES, Stretch, TypedHours, format_hours, minutes_problem

_FIELDS = {"day", "task_id", "person_id", "minutes", "began", "unquoted", "cause_id", "note"}


def log_hours(
    edit: Edit, job_id: int, day: date, task_id: int, person_id: int, minutes: int, began: int | None = None,
    unquoted: bool = False, cause_id: int | None = None, note: str = "", rates: DayRates | None = None,
    *, today: date | None = None,
) -> int:  # fmt: skip
    """Enter hours on a task and return the entry's id.

    Args:
        minutes: how long; 1 to 1440.
        began: minute of the day when it was typed as a span; spans of one person must not overlap.
        unquoted: the owner says that this was not in the quote.
        rates: what an hour costs on that day; looked up when left out.
        today: refuses days after it; left out, the future is not looked at.

    Raises:
        Refused: closed job, impossible day or length, a span that overlaps another of the same person.
    """
    loggable_job(edit, job_id, day, today)
    who = fetch_one(edit.conn, Person, person, person_id)
    _check_time(edit, who, day, minutes, began)
    rates = rates or day_rates(edit.conn, day)
    return edit.add(
        hours_entry, job_id=job_id, day=day, task_id=task_id, person_id=person_id, minutes=minutes, began=began,
        rate_cents=hour_cents(rates, who), overhead_rate_cents=rates.overhead_cents, unquoted=unquoted,
        cause_id=cause_id, note=note.strip(),
    )  # fmt: skip


def change_hours(
    edit: Edit, entry_id: int, *, today: date | None = None, rates: DayRates | None = None, **values: Any
) -> None:
    """Correct day, task_id, person_id, minutes, began, unquoted, cause_id or note of an entry.

    Minutes without `began` take the span away. A new day or person brings the rates of that day and person.
    """
    only(values, _FIELDS)
    values = tidied(values)
    kept = fetch_one(edit.conn, HoursEntry, hours_entry, entry_id)
    if "minutes" in values:
        values.setdefault("began", None)
    wanted = replace(kept, **values)
    open_job(edit, kept.job_id)
    if "day" in values:
        loggable_job(edit, kept.job_id, wanted.day, today)
    who = fetch_one(edit.conn, Person, person, wanted.person_id)
    if {"day", "person_id", "minutes", "began"} & set(values):
        _check_time(edit, who, wanted.day, wanted.minutes, wanted.began, but=entry_id)
    if (wanted.day, wanted.person_id) != (kept.day, kept.person_id):
        rates = rates or day_rates(edit.conn, wanted.day)
        values |= {"rate_cents": hour_cents(rates, who), "overhead_rate_cents": rates.overhead_cents}
    edit.change(hours_entry, entry_id, **values)


def log_time(
    edit: Edit, job_id: int, day: date, task_id: int, person_id: int, typed: TypedHours, **more: Any
) -> list[int]:
    """Enter time as it was typed: several stretches are an entry each, with its place (see `log_hours`)."""
    return [
        log_hours(edit, job_id, day, task_id, person_id, minutes, began, **more) for minutes, began in typed.parts
    ]


def change_time(edit: Edit, entry_id: int, typed: TypedHours, *, today: date | None = None) -> None:
    """Correct an entry to what was typed: the first stretch takes its place, others are entered beside it."""
    (minutes, began), *others = typed.parts
    change_hours(edit, entry_id, minutes=minutes, began=began, today=today)
    kept = fetch_one(edit.conn, HoursEntry, hours_entry, entry_id)
    for more, start in others:
        log_hours(
            edit, kept.job_id, kept.day, kept.task_id, kept.person_id, more, start, kept.unquoted, kept.cause_id,
            today=today,
        )  # fmt: skip


def remove_hours(edit: Edit, entry_id: int) -> None:
    """Take hours out of the log."""
    remove_entry(edit, hours_entry, fetch_one(edit.conn, HoursEntry, hours_entry, entry_id))


def hour_cents(rates: DayRates, who: Person) -> int:
    """The burdened rate of this person in cents an hour; without one of their own, that of the role."""
    usual = rates.owner_cents if who.role == "owner" else rates.helper_cents
    return rates.person_cents.get(who.id, usual)


def _check_time(
    edit: Edit, who: Person, day: date, minutes: int, began: int | None, *, but: int | None = None
) -> None:
    if problem := minutes_problem(minutes):
        raise Refused(problem)
    near = edit.conn.execute(
        select(
            hours_entry.c.id, hours_entry.c.day, hours_entry.c.began, hours_entry.c.minutes,
            job.c.number, labour_task.c.name,
        )
        .join(job, job.c.id == hours_entry.c.job_id)
        .join(labour_task, labour_task.c.id == hours_entry.c.task_id)
        .where(
            hours_entry.c.day.between(day - timedelta(days=1), day + timedelta(days=1)),
            hours_entry.c.person_id == who.id,
        )
    ).all()  # fmt: skip
    others = [row for row in near if row.id != but]
    if began is not None:
        _check_overlap(who, Stretch(day, began, minutes), others)
    so_far = sum(row.minutes for row in others if row.day == day)
    if so_far + minutes > DAY_MINUTES:
        raise Refused(
            f"{who.name} would have more than 24 hours on that day: {format_hours(so_far, None)} are logged already.",
            "Check the day and the hours.",
        )


def _check_overlap(who: Person, wanted: Stretch, others: list[Any]) -> None:
    for row in others:
        if row.began is not None and wanted.meets(Stretch(row.day, row.began, row.minutes)):
            raise Refused(
                f"{format_hours(wanted.minutes, wanted.began)} overlaps {format_hours(row.minutes, row.began)} that "
                f"{who.name} has on job {row.number} ({row.name}).",
                "Change one of the two, or type only how long it took.",
            )
