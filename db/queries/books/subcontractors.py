"""What each subcontractor was paid in a year, cards apart."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, case, func, select

from db.queries.standards import own_standards
from db.tables import bill, bill_payment, supplier
from domain.bills import SET_OFF
from domain.errors import NotUnderstood
from domain.subcontractors import SubcontractorYear, threshold_cents, threshold_of


def subcontractor_year(conn: Connection, year: int) -> list[SubcontractorYear]:
    """Every supplier marked as a subcontractor, by name. Two statements."""
    limit: int | None = None
    with suppress(NotUnderstood):  # a year before the table has no threshold, and its payments all the same
        limit = threshold_cents(threshold_of(year, own_standards(conn)))
    by_card = bill_payment.c.means == "card"
    paid = (
        select(
            bill.c.supplier_id.label("of"),
            func.sum(case((by_card, 0), else_=bill_payment.c.amount_cents)).label("counted"),
            func.sum(case((by_card, bill_payment.c.amount_cents), else_=0)).label("card"),
        )
        .join(bill, bill.c.id == bill_payment.c.bill_id)
        .where(bill_payment.c.paid_on.between(date(year, 1, 1), date(year, 12, 31)), bill_payment.c.means != SET_OFF)
        .where(bill.c.supplier_id.in_(select(supplier.c.id).where(supplier.c.subcontractor)))
        .group_by(bill.c.supplier_id)
        .subquery("paid")
    )
    query = (
        select(
            supplier.c.id, supplier.c.name, supplier.c.tax_form_on, func.coalesce(paid.c.counted, 0),
            func.coalesce(paid.c.card, 0),
        )
        .outerjoin(paid, paid.c.of == supplier.c.id)
        .where(supplier.c.subcontractor)
        .order_by(supplier.c.name)
    )  # fmt: skip
    return [SubcontractorYear(*row, limit) for row in conn.execute(query)]


@dataclass(frozen=True, slots=True)
class PaidOut:
    """Money paid to a supplier."""

    day: date
    supplier: str
    subcontractor: bool
    number: str
    means: str
    reference: str
    cents: int


def paid_out(conn: Connection, first: date, last: date) -> list[PaidOut]:
    """Every payment of a bill in a period, in order of days; credits set off are none. One statement."""
    query = (
        select(
            bill_payment.c.paid_on, supplier.c.name, supplier.c.subcontractor, bill.c.number, bill_payment.c.means,
            bill_payment.c.reference, bill_payment.c.amount_cents,
        )
        .join(bill, bill.c.id == bill_payment.c.bill_id)
        .join(supplier, supplier.c.id == bill.c.supplier_id)
        .where(bill_payment.c.paid_on.between(first, last), bill_payment.c.means != SET_OFF)
        .order_by(bill_payment.c.paid_on, bill_payment.c.id)
    )  # fmt: skip
    return [PaidOut(*row) for row in conn.execute(query)]
