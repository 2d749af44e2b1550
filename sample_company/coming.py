"""Books what is on the calendar of the weeks to come."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from sqlalchemy import select

from db.commands.visits import book_visit
from db.edit import Edit
from db.tables import job
from sample_company.read import rows


def book_coming(edit: Edit, numbers: Mapping[str, str]) -> None:
    """Book the visits of `data/visits.csv` for the jobs that are there.

    ``numbers``: the number a job has in this company, by the one it has in the data files.
    """
    ids = {row.number: row.id for row in edit.conn.execute(select(job.c.number, job.c.id))}
    for row in rows("visits.csv"):
        if row["job"] and row["job"] not in numbers:  # a company of fewer jobs
            continue
        job_id = ids[numbers[row["job"]]] if row["job"] else None
        book_visit(
            edit, job_id, row["kind"], date.fromisoformat(row["day"]), starts_at=_minute(row["starts"]),
            minutes=int(row["minutes"]), travel_minutes=int(row["travel"]), who=row["who"], title=row["title"],
            note=row["note"],
        )  # fmt: skip


def _minute(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
