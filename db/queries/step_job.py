"""Which job a saved step belongs to, for the word that it was taken back."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy import Connection, select

from db.tables import change, invoice, job, quote

_THROUGH = {"quote_id": quote, "invoice_id": invoice}


def job_of_step(conn: Connection, action_id: int) -> tuple[int, str] | None:
    """(id, number) of the job whose rows this action wrote; None when it wrote none of a job, or those of several."""
    rows = conn.execute(
        select(change.c.table_name, change.c.row_id, change.c.before, change.c.after)
        .where(change.c.action_id == action_id).limit(200)
    ).all()  # fmt: skip
    jobs = {found for row in rows if (found := _job_of(conn, row)) is not None}
    if len(jobs) != 1:
        return None
    number = conn.execute(select(job.c.number).where(job.c.id == (job_id := jobs.pop()))).scalar()
    return (job_id, str(number)) if number is not None else None


def _job_of(conn: Connection, row: Any) -> int | None:
    if row.table_name == "job":
        return int(row.row_id)
    values: dict[str, Any] = json.loads(row.after or row.before or "{}")
    if values.get("job_id") is not None:
        return int(values["job_id"])
    for key, table in _THROUGH.items():
        if values.get(key) is not None:
            return conn.execute(select(table.c.job_id).where(table.c.id == values[key])).scalar()
    return None
