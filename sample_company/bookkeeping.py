"""Tells what the bookkeeper has: receipts and bills matched to the log, drives without a job, months closed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import Row, select

from db.commands.bills import enter_bill, pay_bill, set_subcontractor
from db.commands.month_close import close_month
from db.commands.trips import add_trip
from db.edit import Edit
from db.tables import bill, item, material_use, other_cost, purchase, supplier
from domain.bills import BillLineDraft
from domain.money import line_cents, percent_of
from sample_company.read import rows

BILLS_SINCE = date(2026, 1, 1)
"""Receipts of the years before lie in a shoe box."""

LAST_CLOSED = "2026-09"
CLOSED_ON = date(2026, 10, 10)

ELECTRICIAN = "Hollis Wirework"
TOWN = "Town offices"
_PAYS_AFTER = timedelta(days=28)


def keep_the_books(edit: Edit, tax_percent: Decimal, evening: date) -> None:
    """Enter receipts, bills and drives of the year up to the evening, then close the months that are done."""
    _receipts(edit, tax_percent)
    _truck(edit, tax_percent)
    _electrician(edit, evening)
    _permits(edit)
    for row in rows("trips.csv"):
        day = date.fromisoformat(row["day"])
        add_trip(edit, day, Decimal(row["miles"]), row["purpose"], row["route"], today=evening)
    close_month(edit, LAST_CLOSED, CLOSED_ON, "Closed with the bookkeeper.", today=evening)


def _receipts(edit: Edit, tax_percent: Decimal) -> None:
    """One receipt for each number in the jobs' logs; a number that was noted on two days is of the first."""
    used = edit.conn.execute(
        select(material_use, item.c.supplier_id, item.c.name)
        .outerjoin(item, item.c.id == material_use.c.item_id)
        .where(material_use.c.day >= BILLS_SINCE, material_use.c.receipt != "")
        .order_by(material_use.c.day, material_use.c.id)
    ).all()
    any_supplier = edit.conn.execute(select(supplier.c.id).order_by(supplier.c.id)).scalars().first() or 0
    for number, entries in _by(used, "receipt").items():
        lines = [
            BillLineDraft(
                "materials", line_cents(one.quantity, one.unit_cost), one.name or one.description, one.job_id,
                material_use_id=one.id,
            )
            for one in entries
        ]  # fmt: skip
        _receipt(edit, entries[0].supplier_id or any_supplier, entries[0].day, lines, number, tax_percent)


def _truck(edit: Edit, tax_percent: Decimal) -> None:
    bought = edit.conn.execute(
        select(purchase, item.c.name)
        .join(item, item.c.id == purchase.c.item_id)
        .where(purchase.c.job_id.is_(None), purchase.c.receipt != "", purchase.c.supplier_id.is_not(None))
        .order_by(purchase.c.day, purchase.c.id)
    ).all()
    for number, entries in _by(bought, "receipt").items():
        lines = [
            BillLineDraft("truck_stock", line_cents(one.quantity, one.unit_cost), one.name, purchase_id=one.id)
            for one in entries
        ]
        _receipt(edit, entries[0].supplier_id, entries[0].day, lines, number, tax_percent)


def _receipt(
    edit: Edit, supplier_id: int, day: date, lines: list[BillLineDraft], number: str, tax_percent: Decimal
) -> None:
    tax = percent_of(sum(line.net_cents for line in lines), tax_percent)
    same = select(bill.c.id).where(bill.c.supplier_id == supplier_id, bill.c.number == number)
    taken = edit.conn.execute(same).first()
    enter_bill(edit, supplier_id, "receipt", day, lines, number=f"{number}-2" if taken else number, tax_cents=tax)


def _electrician(edit: Edit, evening: date) -> None:
    """The subcontractor bills each visit and is paid by check four weeks later."""
    for place, one in enumerate(_costs(edit, "subcontractor"), 1):
        cents = line_cents(one.quantity, one.unit_cost)
        lines = [BillLineDraft("subcontractor", cents, one.description, one.job_id, other_cost_id=one.id)]
        bill_id = enter_bill(
            edit, ELECTRICIAN, "bill", one.day, lines, number=f"HW-{one.day:%y}{place:02}",
            due_on=one.day + timedelta(days=30),
        )  # fmt: skip
        if one.day + _PAYS_AFTER <= evening:
            pay_bill(edit, bill_id, one.day + _PAYS_AFTER, reference=f"{2040 + place}")
    known = edit.conn.execute(select(supplier.c.id).where(supplier.c.name == ELECTRICIAN)).scalar()
    if known is not None:
        set_subcontractor(edit, known, True, date(2026, 1, 20))


def _permits(edit: Edit) -> None:
    for one in _costs(edit, "permit"):
        cents = line_cents(one.quantity, one.unit_cost)
        if cents > 0:
            lines = [BillLineDraft("permit", cents, one.description, one.job_id, other_cost_id=one.id)]
            enter_bill(edit, TOWN, "receipt", one.day, lines, means="check")


def _costs(edit: Edit, kind: str) -> list[Row[Any]]:
    query = select(other_cost).where(other_cost.c.kind == kind, other_cost.c.day >= BILLS_SINCE)
    return list(edit.conn.execute(query.order_by(other_cost.c.day, other_cost.c.id)).all())


def _by(found: Iterable[Row[Any]], column: str) -> dict[str, list[Row[Any]]]:
    groups: dict[str, list[Row[Any]]] = {}
    for row in found:
        groups.setdefault(getattr(row, column), []).append(row)
    return groups
