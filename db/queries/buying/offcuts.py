"""The offcuts on the truck: all of them, and those a job's cut list may use."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, and_, or_, select

from db.records import columns_of, fetch_all
from db.tables import job, takeoff_choice, truck_offcut
from domain.buying import TruckOffcut
from domain.job_takeoff.offcuts import CHOICE, shortest_kept


@dataclass(frozen=True, slots=True)
class OffcutRow:
    """A piece of pipe on the truck with the number of the job it was left over from, "" when it was typed."""

    offcut: TruckOffcut
    job_number: str


def offcuts_on_truck(conn: Connection) -> list[OffcutRow]:
    """Every offcut that no cut list has used yet, by size, the longest first; one statement."""
    return [OffcutRow(TruckOffcut(*row[:-1]), row[-1] or "") for row in conn.execute(_on_truck())]


@cache  # putting the statement together takes longer than SQLite takes to run it
def _on_truck() -> Select[Any]:
    return (
        select(*columns_of(truck_offcut, TruckOffcut), job.c.number)
        .outerjoin(job, job.c.id == truck_offcut.c.from_job_id)
        .where(truck_offcut.c.used_on.is_(None))
        .order_by(truck_offcut.c.size, truck_offcut.c.feet.desc(), truck_offcut.c.id)
    )


def offcuts_for(conn: Connection, job_id: int) -> tuple[TruckOffcut, ...]:
    """What a job's cut list may use: what lies on the truck from elsewhere, and what the job itself has used already.

    Its own leftovers are not among them, so that its list stays as it was when they were kept.
    """
    free = and_(
        truck_offcut.c.used_on.is_(None),
        or_(truck_offcut.c.from_job_id.is_(None), truck_offcut.c.from_job_id != job_id),
    )
    where = or_(free, truck_offcut.c.used_job_id == job_id)
    return tuple(fetch_all(conn, TruckOffcut, truck_offcut, where, order=(truck_offcut.c.feet, truck_offcut.c.id)))


def shortest_offcut(conn: Connection) -> Decimal:
    """The shortest offcut worth keeping, feet, as the owner set it."""
    kept = conn.execute(select(takeoff_choice.c.value).where(takeoff_choice.c.name == CHOICE)).scalar()
    return shortest_kept({CHOICE: kept} if kept is not None else {})
