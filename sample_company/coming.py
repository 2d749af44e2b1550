"""Books what is on the calendar of the weeks to come."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select

from db.commands.visits import book_visit
from db.edit import Edit
from db.tables import job
from sample_company.read import rows


def book_coming(edit: Edit) -> None:
    """Book the visits of `data/visits.csv` for the jobs that are there."""
    ids = {row.number: row.id for row in edit.conn.execute(select(job.c.number, job.c.id))}
    for row in rows("visits.csv"):
        if row["job"] and row["job"] not in ids:  # a company of fewer jobs
            continue
        book_visit(
            edit, ids.get(row["job"]), row["kind"], date.fromisoformat(row["day"]), starts_at=_minute(row["starts"]),
            minutes=int(row["minutes"]), travel_minutes=int(row["travel"]), who=row["who"], title=row["title"],
            note=row["note"],
        )  # fmt: skip


def _minute(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
