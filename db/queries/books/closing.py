"""Closed months, the next one to close with what is to be looked at first, and the sums a month is kept by."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, func, select, union_all

from db.closed_months import BOOKED_TABLES
from db.queries.billing.open_items import free_of
from db.queries.books.ledger import moved_by_month
from db.queries.exact import amount_cents, as_stored, time_cents
from db.records import fetch_all
from db.tables import (
    METADATA,
    bill,
    bill_line,
    closed_month,
    hours_entry,
    invoice,
    material_use,
    other_cost,
    price_adjustment,
    trip,
)
from domain.bills import FOR_A_JOB
from domain.bookkeeping import ClosedMonth, last_day, month_after, month_of

_DAYS = {"invoice": "issued_on", "payment": "received_on", "bill": "billed_on", "bill_payment": "paid_on"}
_BOOKED = (
    "invoice", "payment", "bad_debt", "bill", "bill_payment", "trip", "hours_entry", "material_use", "other_cost",
    "price_adjustment",
)  # fmt: skip
assert set(_BOOKED) <= BOOKED_TABLES


def closed(conn: Connection) -> list[ClosedMonth]:
    """The closed months, the newest first."""
    return fetch_all(conn, ClosedMonth, closed_month, order=(closed_month.c.month.desc(),))


def month_to_close(conn: Connection) -> tuple[str | None, bool]:
    """The next month to close (None: nothing is booked yet), and whether it is the first of all. Two statements."""
    last = conn.execute(select(func.max(closed_month.c.month))).scalar()
    if last is not None:
        return month_after(last), False
    firsts = [select(func.min(METADATA.tables[name].c[_DAYS.get(name, "day")])) for name in _BOOKED]
    known = [day for day in conn.execute(union_all(*firsts)).scalars() if day is not None]
    return (month_of(min(known)), True) if known else (None, True)


def figures_by_month(conn: Connection) -> dict[str, dict[str, int]]:
    """Every month's sums by name: the postings of each account, and what the jobs' logs took. Seven statements."""
    found = moved_by_month(conn)

    def add(table: Any, **sums: Any) -> None:
        month = func.strftime("%Y-%m", table.c.day)
        for row in conn.execute(select(month, *(func.sum(one) for one in sums.values())).group_by(month)):
            found.setdefault(row[0], {}).update(dict(zip(sums, (int(one or 0) for one in row[1:]), strict=True)))

    hours = hours_entry.c
    add(
        hours_entry, minutes=hours.minutes, labour=time_cents(hours.minutes, hours.rate_cents),
        overhead_on_hours=time_cents(hours.minutes, hours.overhead_rate_cents),
    )  # fmt: skip
    add(material_use, materials_used=amount_cents(material_use.c.quantity, material_use.c.unit_cost))
    add(other_cost, other_costs=amount_cents(other_cost.c.quantity, other_cost.c.unit_cost))
    add(price_adjustment, written_off=price_adjustment.c.amount_cents)
    add(trip, thousandths_of_miles=as_stored(trip.c.miles))
    return found


@dataclass(frozen=True, slots=True)
class ClosedDeviation:
    """A sum of a closed month that is not what it was when it was closed."""

    month: str
    name: str
    then: int
    now: int


def deviations(conn: Connection) -> tuple[int, list[ClosedDeviation]]:
    """How much the closed months came to (all sums, without signs), and every sum that differs from then."""
    months = closed(conn)
    if not months:
        return 0, []
    now = figures_by_month(conn)
    whole, found = 0, []
    for one in months:
        then = json.loads(one.figures or "{}")
        today = now.get(one.month, {})
        whole += sum(abs(value) for value in then.values())
        found += [
            ClosedDeviation(one.month, name, then.get(name, 0), today.get(name, 0))
            for name in sorted({*then, *today})
            if then.get(name, 0) != today.get(name, 0)
        ]
    return whole, found


@dataclass(frozen=True, slots=True)
class ToLookAt:
    """Something that is better looked at before a month is closed; it stops nothing."""

    key: str
    words: str
    count: int
    place: str  # where it is put right: a part of the Company page
    one: str = ""  # the words for a single one; "" where they are the same

    @property
    def what(self) -> str:
        """The words that fit the count."""
        return self.one if self.one and self.count == 1 else self.words


def before_closing(conn: Connection, month: str) -> list[ToLookAt]:
    """What is still open up to the end of a month."""
    last = last_day(month)
    drafts = select(func.count()).where(invoice.c.issued_on.is_(None), invoice.c.created_on <= last)
    line = bill_line.c
    unlogged = (
        select(func.count())
        .select_from(bill_line.join(bill, bill.c.id == line.bill_id))
        .where(
            bill.c.billed_on <= last, line.job_id.is_not(None), line.kind.in_(FOR_A_JOB), line.net_cents > 0,
            line.material_use_id.is_(None), line.other_cost_id.is_(None),
        )
    )  # fmt: skip
    return [
        ToLookAt("payments", "payments not matched to an invoice", len(free_of(conn, day=last)), "payments",
                 "payment not matched to an invoice"),
        ToLookAt("drafts", "draft invoices not issued", int(conn.execute(drafts).scalar_one()), "owed",
                 "draft invoice not issued"),
        ToLookAt("to_log", "bill lines not in their job's log", int(conn.execute(unlogged).scalar_one()), "bills",
                 "bill line not in its job's log"),
        ToLookAt("unbilled", "logged purchases without a bill", _unbilled(conn, month, last), "bills",
                 "logged purchase without a bill"),
    ]


def _unbilled(conn: Connection, month: str, last: date) -> int:
    first = last.replace(day=1)
    total = 0
    for table, column, where in (
        (material_use, bill_line.c.material_use_id, material_use.c.source == "receipt"),
        (other_cost, bill_line.c.other_cost_id, other_cost.c.kind.in_(FOR_A_JOB)),
    ):
        matched = select(column).where(column.is_not(None))
        total += int(
            conn.execute(
                select(func.count()).where(table.c.day.between(first, last), where, table.c.id.not_in(matched))
            ).scalar_one()
        )
    return total
