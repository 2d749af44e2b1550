"""What every entry of the log is checked for: an open job, a possible day, a cause that exists."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Table, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import bill_line, correction, job
from domain.dates import format_day
from domain.jobs import Job
from domain.log_entry import day_problem, quantity_problem


def loggable_job(edit: Edit, job_id: int, day: date, today: date | None) -> Job:
    """The job, when something can be logged on it that day.

    Raises:
        Refused: the job is closed, the day lies in the future or before the job was opened.
    """
    kept = open_job(edit, job_id)
    if problem := day_problem(day, kept.opened_on, today):
        raise Refused(problem, "Change the day.")
    return kept


def open_job(edit: Edit, job_id: int) -> Job:
    """The job, when its log may still change."""
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.closed_on:
        raise Refused(
            f"Job {kept.number} was closed on {format_day(kept.closed_on)}; its log is complete.",
            "Reopen the job to change it, then close it again.",
        )
    return kept


def counted(quantity: Decimal, unit: str, unit_cost: Decimal) -> None:
    """Refuse what cannot be a quantity at a price."""
    if problem := quantity_problem(quantity, unit):
        raise Refused(problem)
    if unit_cost < 0:
        raise Refused("A price below nothing cannot be right.", "Type what was paid for one.")


def remove_entry(edit: Edit, table: Table, entry: Any) -> None:
    """Take an entry out of the log of a job that is not closed; a bill it was matched to stays, without the match."""
    open_job(edit, entry.job_id)
    if (column := f"{table.name}_id") in bill_line.c:
        for line_id in edit.conn.execute(select(bill_line.c.id).where(bill_line.c[column] == entry.id)).scalars().all():
            edit.change(bill_line, line_id, **{column: None})
    edit.remove_where(correction, (correction.c.table_name == table.name) & (correction.c.right_id == entry.id))
    edit.remove(table, entry.id)
