"""The running clock: one at a time, kept in the file, so that it runs on while the program is closed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from db.commands.log_checks import loggable_job
from db.commands.log_hours import log_hours
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all
from db.tables import labour_task, timer
from domain.dates import format_day
from domain.firm import RunningTimer
from domain.log_entry import DAY_MINUTES, format_hours, passed_seconds, timer_minutes
from domain.units import format_clock


def start_timer(edit: Edit, job_id: int, task_id: int, person_id: int, now: datetime) -> int:
    """Start the clock on a task; a clock that runs on another task is stopped and logged first.

    Args:
        now: this moment in local time, with its offset.
    """
    loggable_job(edit, job_id, now.date(), None)
    running = _running(edit)
    if running is not None and (running.job_id, running.task_id, running.person_id) == (job_id, task_id, person_id):
        return running.id
    if running is not None:
        if timer_minutes(_begun(edit, running, now), now):
            stop_timer(edit, now)
        else:
            cancel_timer(edit)
    started_at = now.isoformat(timespec="seconds")
    return edit.add(timer, job_id=job_id, task_id=task_id, person_id=person_id, started_at=started_at)


def stop_timer(
    edit: Edit, now: datetime, *, round_to: int = 1, minutes: int | None = None, unquoted: bool = False, note: str = ""
) -> int:
    """Stop the clock, enter its hours on the day it was started, and return the entry's id.

    Args:
        now: this moment in local time, with its offset.
        round_to: the time is rounded half up to a multiple of so many minutes; 1 keeps the minute and the span.
        minutes: what the owner types instead, when the clock was forgotten.

    Raises:
        Refused: no clock runs, it ran less than a minute or for more than a day, or it was started in what is now the
            future, because the computer's clock was set back.
    """
    running = _running(edit)
    if running is None:
        raise Refused("No clock is running.", "Start it on a task first.")
    if minutes is None:
        began = _begun(edit, running, now)
        measured = timer_minutes(began, now, round_to)
        _check_measured(edit, running, measured)
    else:
        began, measured = datetime.fromisoformat(running.started_at), minutes
    # Where the wall clock was put forward or back meanwhile, a span from its begin would end at a wrong hour.
    by_the_wall = timer_minutes(began.replace(tzinfo=None), now.replace(tzinfo=None), round_to)
    spans = minutes is None and round_to == 1 and by_the_wall == measured
    begins = began.hour * 60 + began.minute if spans else None
    edit.remove(timer, running.id)
    return log_hours(
        edit, running.job_id, began.date(), running.task_id, running.person_id,
        measured, begins, unquoted, None, note,
    )  # fmt: skip


def cancel_timer(edit: Edit) -> None:
    """Stop the clock and log nothing."""
    running = _running(edit)
    if running is not None:
        edit.remove(timer, running.id)


def _running(edit: Edit) -> RunningTimer | None:
    return next(iter(fetch_all(edit.conn, RunningTimer, timer)), None)


def _begun(edit: Edit, running: RunningTimer, now: datetime) -> datetime:
    """When the running clock was started."""
    began = datetime.fromisoformat(running.started_at)
    if passed_seconds(began, now) < -60:
        raise Refused(
            f"The clock on {_task_name(edit, running)} was started on {format_day(began.date())} at "
            f"{format_clock(began.hour * 60 + began.minute)}, which is still to come: this computer's clock was "
            "set back.",
            "Set it right, or cancel the clock and type the hours by hand.",
        )
    return began


def _task_name(edit: Edit, running: RunningTimer) -> str:
    named = select(labour_task.c.name).where(labour_task.c.id == running.task_id)
    return str(edit.conn.execute(named).scalar_one())


def _check_measured(edit: Edit, running: RunningTimer, measured: int) -> None:
    if measured <= 0:
        raise Refused("The clock has run for less than a minute.", "Let it run, or cancel it.")
    if measured > DAY_MINUTES:
        raise Refused(
            f"The clock on {_task_name(edit, running)} has run for {format_hours(measured, None)}, so it was left "
            "running.",
            "Cancel it and type the hours by hand.",
        )
