"""What was put right in the books: the wrong row and the rows that took its place, in words for both ends."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, func, literal, select

from db.closed_months import closed_months
from db.queries.exact import amount_cents, time_cents
from db.records import fetch
from db.tables import bill, correction, hours_entry, item, job, labour_task, material_use, other_cost, supplier, trip
from domain.units import format_minutes, format_quantity

NEWEST = 200


@dataclass(frozen=True, slots=True)
class BookedRow:
    """A row of the books in words."""

    table: str
    id: int
    day: date
    job: str
    words: str
    cents: int  # 0 for a trip


@dataclass(frozen=True, slots=True)
class CorrectionRow:
    """One correction: what was wrong and what stands for it now."""

    id: int
    made_on: date
    reason: str
    wrong: BookedRow
    right: BookedRow


def corrections(conn: Connection) -> list[CorrectionRow]:
    """The newest corrections with both ends. Six statements."""
    made = conn.execute(select(correction).order_by(correction.c.id.desc()).limit(NEWEST)).all()
    ids: dict[str, set[int]] = {}
    for row in made:
        ids.setdefault(row.table_name, set()).update((row.wrong_id, row.right_id))
    known = {
        (table, one.id): one
        for table, wanted in ids.items()
        for one in _rows(conn, table, _TABLES[table].c.id.in_(wanted))
    }
    return [
        CorrectionRow(row.id, row.made_on, row.reason, known[wrong], known[right])
        for row in made
        if (wrong := (row.table_name, row.wrong_id)) in known and (right := (row.table_name, row.right_id)) in known
    ]


def correctable(conn: Connection, job_id: int | None) -> list[BookedRow]:
    """What a job has in closed months and was not taken back yet; without a job the bills and trips; newest first."""
    months = closed_months(conn)
    found = []
    for name in ("hours_entry", "material_use", "other_cost") if job_id is not None else ("bill", "trip"):
        table = _TABLES[name]
        taken = select(correction.c.wrong_id).where(correction.c.table_name == name)
        day = table.c.billed_on if name == "bill" else table.c.day
        where = [func.strftime("%Y-%m", day).in_(months), table.c.id.not_in(taken), _positive(table)]
        if job_id is not None:
            where.append(table.c.job_id == job_id)
        found += _rows(conn, name, *where, order=(day.desc(), table.c.id.desc()))
    return sorted(found, key=lambda row: (row.day, row.table, row.id), reverse=True)


_TABLES = {
    "hours_entry": hours_entry,
    "material_use": material_use,
    "other_cost": other_cost,
    "bill": bill,
    "trip": trip,
}


def _positive(table: Any) -> Any:
    return next(table.c[name] > 0 for name in ("minutes", "quantity", "miles", "net_cents") if name in table.c)


def _rows(conn: Connection, name: str, *where: Any, order: Any = ()) -> list[BookedRow]:
    table = _TABLES[name]
    if name == "hours_entry":
        query = (
            select(table.c.id, table.c.day, job.c.number, labour_task.c.name, table.c.minutes,
                   time_cents(table.c.minutes, table.c.rate_cents))
            .join(job, job.c.id == table.c.job_id)
            .join(labour_task, labour_task.c.id == table.c.task_id)
        )  # fmt: skip
        return [
            BookedRow(name, row_id, day, number, f"{task}, {format_minutes(minutes)}", cents)
            for row_id, day, number, task, minutes, cents in conn.execute(_shown(query, where, order))
        ]
    if name in ("material_use", "other_cost"):
        words = (
            func.coalesce(item.c.name, table.c.description)
            if name == "material_use"
            else func.coalesce(func.nullif(table.c.description, ""), table.c.kind)
        )
        query = select(
            table.c.id, table.c.day, job.c.number, words, table.c.quantity, table.c.unit,
            amount_cents(table.c.quantity, table.c.unit_cost),
        ).join(job, job.c.id == table.c.job_id)  # fmt: skip
        if name == "material_use":
            query = query.outerjoin(item, item.c.id == table.c.item_id)
        return [
            BookedRow(name, row_id, day, number, f"{what}, {format_quantity(quantity)} {unit}", cents)
            for row_id, day, number, what, quantity, unit, cents in conn.execute(_shown(query, where, order))
        ]
    if name == "bill":
        query = select(
            literal(name), bill.c.id, bill.c.billed_on, literal(""),
            supplier.c.name + " " + func.coalesce(bill.c.number, ""), bill.c.net_cents + bill.c.tax_cents,
        ).join(supplier, supplier.c.id == bill.c.supplier_id)  # fmt: skip
        return fetch(conn, BookedRow, _shown(query, where, order))
    trips = select(trip.c.id, trip.c.day, trip.c.purpose, trip.c.miles)
    return [
        BookedRow(name, row_id, day, "", f"{purpose}, {format_quantity(miles)} mi", 0)
        for row_id, day, purpose, miles in conn.execute(_shown(trips, where, order))
    ]


def _shown(query: Any, where: Any, order: Any) -> Any:
    query = query.where(*where)
    return query.order_by(*order).limit(NEWEST) if order else query
