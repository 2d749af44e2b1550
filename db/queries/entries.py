"""Log entries as they are read back: the last step down from a margin to what was written that evening."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from sqlalchemy import Connection, Select, func, literal, select

from db.queries.sold import Jobs, of_jobs
from db.tables import cause, hours_entry, item, job, labour_task, material_use, other_cost, person
from domain.money import labour_cents, line_cents

MATERIAL = "material"


class HoursRow(NamedTuple):
    """Time on one task on one day."""

    entry_id: int
    number: str  # of the job
    day: date
    task: str
    who: str
    minutes: int
    rate_cents: int
    overhead_rate_cents: int
    unquoted: bool
    cause: str
    note: str

    @property
    def cost_cents(self) -> int:
        """Minutes at the burdened hour of the day."""
        return labour_cents(self.minutes, self.rate_cents)

    @property
    def overhead_cents(self) -> int:
        """Overhead carried by this time."""
        return labour_cents(self.minutes, self.overhead_rate_cents)


class SpentRow(NamedTuple):
    """A material used, or another cost."""

    entry_id: int
    number: str  # of the job
    day: date
    kind: str  # material, else the kind of cost
    name: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    source: str  # stock | receipt; empty for other costs
    receipt: str
    unquoted: bool
    cause: str
    note: str

    @property
    def cost_cents(self) -> int:
        """Quantity x unit cost."""
        return line_cents(self.quantity, self.unit_cost)


def hours_rows(conn: Connection, jobs: Jobs = None) -> list[HoursRow]:
    """Hours of these jobs by job, day and order of entry."""
    entry = hours_entry.c
    query = (
        select(
            entry.id,
            job.c.number,
            entry.day,
            labour_task.c.name,
            person.c.name,
            entry.minutes,
            entry.rate_cents,
            entry.overhead_rate_cents,
            entry.unquoted,
            func.coalesce(cause.c.name, ""),
            entry.note,
        )
        .select_from(hours_entry)
        .join(job, job.c.id == entry.job_id)
        .join(labour_task, labour_task.c.id == entry.task_id)
        .join(person, person.c.id == entry.person_id)
        .outerjoin(cause, cause.c.id == entry.cause_id)
        .where(*of_jobs(hours_entry, jobs))
        .order_by(job.c.number, entry.day, entry.id)
    )
    return [HoursRow(*row) for row in conn.execute(query).all()]


def spent_rows(conn: Connection, jobs: Jobs = None) -> list[SpentRow]:
    """Materials and other costs of these jobs by job, day and order of entry; materials of a day first."""
    rows = [SpentRow(*row) for query in (_materials(jobs), _others(jobs)) for row in conn.execute(query).all()]
    rows.sort(key=lambda row: (row.number, row.day, row.kind != MATERIAL, row.entry_id))
    return rows


def _materials(jobs: Jobs) -> Select[Any]:
    use = material_use.c
    return (
        select(
            use.id,
            job.c.number,
            use.day,
            literal(MATERIAL),
            func.coalesce(item.c.name, use.description),
            use.quantity,
            use.unit,
            use.unit_cost,
            use.source,
            use.receipt,
            use.unquoted,
            func.coalesce(cause.c.name, ""),
            use.note,
        )
        .select_from(material_use)
        .join(job, job.c.id == use.job_id)
        .outerjoin(item, item.c.id == use.item_id)
        .outerjoin(cause, cause.c.id == use.cause_id)
        .where(*of_jobs(material_use, jobs))
    )


def _others(jobs: Jobs) -> Select[Any]:
    cost = other_cost.c
    return (
        select(
            cost.id,
            job.c.number,
            cost.day,
            cost.kind,
            cost.description,
            cost.quantity,
            cost.unit,
            cost.unit_cost,
            literal(""),
            literal(""),
            cost.unquoted,
            func.coalesce(cause.c.name, ""),
            cost.note,
        )
        .select_from(other_cost)
        .join(job, job.c.id == cost.job_id)
        .outerjoin(cause, cause.c.id == cost.cause_id)
        .where(*of_jobs(other_cost, jobs))
    )
