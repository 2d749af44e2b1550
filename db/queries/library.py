"""The owner's lists as the Company page and the pickers show them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from sqlalchemy import Connection, func, select, union_all

from db.commands.library import HISTORY, LISTS, ListName
from db.records import fetch_all
from db.tables import (
    item,
    job_type_item,
    job_type_task,
    labour_task,
    task_factor,
)
from domain.library import AccessCondition, JobType, LabourTask, ListEntry, TaskFactor

Entry = TypeVar("Entry", JobType, AccessCondition, LabourTask, ListEntry)


@dataclass(frozen=True, slots=True)
class UsualLine:
    """A line a quote of some type begins with."""

    id: int
    job_type_id: int
    part_id: int  # task or item
    name: str
    code: str  # of an item; empty for a task
    unit: str
    quantity: Decimal
    position: int
    archived: bool  # the task or item is no longer offered
    stands_for: str = ""  # the part of the takeoff; "": nobody said


def job_types(conn: Connection, archived: bool = False) -> list[JobType]:
    """Job types in the owner's order; with `archived` those too."""
    return _listed(conn, JobType, "job_type", archived)


def access_conditions(conn: Connection, archived: bool = False) -> list[AccessCondition]:
    """Access conditions in the owner's order; with `archived` those too."""
    return _listed(conn, AccessCondition, "access_condition", archived)


def labour_tasks(conn: Connection, archived: bool = False) -> list[LabourTask]:
    """Labour tasks in the owner's order; with `archived` those too."""
    return _listed(conn, LabourTask, "labour_task", archived)


def causes(conn: Connection, archived: bool = False) -> list[ListEntry]:
    """Causes in the owner's order; with `archived` those too."""
    return _listed(conn, ListEntry, "cause", archived)


def lead_sources(conn: Connection, archived: bool = False) -> list[ListEntry]:
    """Lead sources in the owner's order; with `archived` those too."""
    return _listed(conn, ListEntry, "lead_source", archived)


def task_factors(conn: Connection) -> list[TaskFactor]:
    """All factors; a pair that is not listed makes no difference."""
    return fetch_all(conn, TaskFactor, task_factor)


def used_counts(conn: Connection, which: ListName) -> dict[int, int]:
    """How often each entry of a list is part of what happened, in one statement; unused ones are left out."""
    used: dict[int, int] = {}
    in_each = (select(column, func.count()).where(column.is_not(None)).group_by(column) for column in HISTORY[which])
    for entry_id, count in conn.execute(union_all(*in_each)):
        used[entry_id] = used.get(entry_id, 0) + count
    return used


def usual_tasks(conn: Connection, job_type_id: int | None = None) -> list[UsualLine]:
    """Labour lines a quote of this type begins with, in order; None: of all types."""
    table = job_type_task
    query = (
        select(
            table.c.id, table.c.job_type_id, table.c.task_id, labour_task.c.name, labour_task.c.unit,
            table.c.quantity, table.c.position, labour_task.c.archived, table.c.stands_for,
        )
        .join(labour_task, labour_task.c.id == table.c.task_id)
        .order_by(table.c.job_type_id, table.c.position, table.c.id)
    )  # fmt: skip
    if job_type_id is not None:
        query = query.where(table.c.job_type_id == job_type_id)
    return [UsualLine(row[0], row[1], row[2], row[3], "", *row[4:]) for row in conn.execute(query)]


def usual_items(conn: Connection, job_type_id: int | None = None) -> list[UsualLine]:
    """Material lines a quote of this type begins with, in order; None: of all types."""
    table = job_type_item
    query = (
        select(
            table.c.id, table.c.job_type_id, table.c.item_id, item.c.name, item.c.code, item.c.unit,
            table.c.quantity, table.c.position, item.c.archived, table.c.stands_for,
        )
        .join(item, item.c.id == table.c.item_id)
        .order_by(table.c.job_type_id, table.c.position, table.c.id)
    )  # fmt: skip
    if job_type_id is not None:
        query = query.where(table.c.job_type_id == job_type_id)
    return [UsualLine(*tuple(row)) for row in conn.execute(query)]


def _listed(conn: Connection, record: type[Entry], which: ListName, archived: bool) -> list[Entry]:
    table: Any = LISTS[which]
    where = () if archived else (table.c.archived.is_(False),)
    return fetch_all(conn, record, table, *where, order=(table.c.archived, table.c.position, table.c.id))
