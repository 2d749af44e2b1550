"""Which jobs were called back to."""

from __future__ import annotations

from sqlalchemy import Connection, select, union

from db.tables import hours_entry, labour_task, visit
from domain.costing.figures import CALLBACK


def jobs_called_back(conn: Connection) -> frozenset[int]:
    """The ids of jobs with a callback visit that was not canceled, or with hours on a callback task. One statement."""
    visits = select(visit.c.job_id).where(
        visit.c.kind == CALLBACK, visit.c.cancelled_on.is_(None), visit.c.job_id.is_not(None)
    )
    tasks = select(labour_task.c.id).where(labour_task.c.role == CALLBACK)
    hours = select(hours_entry.c.job_id).where(hours_entry.c.task_id.in_(tasks))
    return frozenset(conn.execute(union(visits, hours)).scalars())
