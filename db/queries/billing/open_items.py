"""What is open of invoices and what is left of payments, on any day; everything else about money starts here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, Subquery, func, select

from db.records import fetch
from db.tables import invoice, payment, settlement
from domain.billing.matching import OpenInvoice


def settled_of_invoices(day: date | None = None) -> Subquery:
    """A row an invoice: how much of it is settled, up to a day."""
    return _settled(settlement.c.invoice_id, day)


def settled_of_payments(day: date | None = None) -> Subquery:
    """A row a payment: how much of it is matched to invoices, up to a day."""
    return _settled(settlement.c.payment_id, day)


def _settled(column: Any, day: date | None) -> Subquery:
    query = select(column.label("of"), func.sum(settlement.c.amount_cents).label("cents")).where(column.is_not(None))
    if day is not None:
        query = query.where(settlement.c.settled_on <= day)
    return query.group_by(column).subquery()


def taken_back(day: date | None = None) -> Subquery:
    """A row a payment: what was refunded or returned of it, below nothing, up to a day."""
    query = select(payment.c.takes_back_id.label("of"), func.sum(payment.c.amount_cents).label("cents")).where(
        payment.c.takes_back_id.is_not(None)
    )
    if day is not None:
        query = query.where(payment.c.received_on <= day)
    return query.group_by(payment.c.takes_back_id).subquery()


def open_invoices(
    conn: Connection, *where: Any, day: date | None = None, settled_too: bool = False
) -> list[OpenInvoice]:
    """Issued invoices with what is open of them on a day (None: by all that is entered), the oldest due first.

    Credit notes are none: they settle the invoice they credit. One statement.
    """
    settled = settled_of_invoices(day)
    total = invoice.c.net_cents + invoice.c.tax_cents
    rest = total - func.coalesce(settled.c.cents, 0)
    query = (
        select(
            invoice.c.id, invoice.c.kind, invoice.c.number, invoice.c.customer_id, invoice.c.job_id,
            invoice.c.issued_on, invoice.c.due_on, invoice.c.payer_reference, total, rest,
        )
        .outerjoin(settled, settled.c.of == invoice.c.id)
        .where(invoice.c.issued_on.is_not(None), invoice.c.kind != "credit_note", *where)
        .order_by(invoice.c.due_on, invoice.c.id)
    )  # fmt: skip
    if day is not None:
        query = query.where(invoice.c.issued_on <= day)
    if not settled_too:
        query = query.where(rest != 0)
    return fetch(conn, OpenInvoice, query)


def open_cents(conn: Connection, invoice_id: int) -> int:
    """What is open of one issued invoice."""
    total = select(invoice.c.net_cents + invoice.c.tax_cents).where(invoice.c.id == invoice_id).scalar_subquery()
    settled = (
        select(func.coalesce(func.sum(settlement.c.amount_cents), 0))
        .where(settlement.c.invoice_id == invoice_id)
        .scalar_subquery()
    )
    return int(conn.execute(select(total - settled)).scalar_one() or 0)


def free_cents(conn: Connection, payment_id: int) -> int:
    """What is left of one payment: not matched, not refunded, not returned."""
    return free_of(conn, payment.c.id == payment_id).get(payment_id, 0)


def free_of(conn: Connection, *where: Any, day: date | None = None) -> dict[int, int]:
    """What is left of payments by payment id, only those of which something is; in the order they came."""
    settled, back = settled_of_payments(day), taken_back(day)
    rest = payment.c.amount_cents + func.coalesce(back.c.cents, 0) - func.coalesce(settled.c.cents, 0)
    query = (
        select(payment.c.id, rest)
        .outerjoin(settled, settled.c.of == payment.c.id)
        .outerjoin(back, back.c.of == payment.c.id)
        .where(payment.c.kind == "payment", rest != 0, *where)
        .order_by(payment.c.received_on, payment.c.id)
    )
    if day is not None:
        query = query.where(payment.c.received_on <= day)
    return {row[0]: row[1] for row in conn.execute(query)}


def settled_by_payment(conn: Connection, invoice_id: int) -> Sequence[tuple[int, int]]:
    """Which payments settle an invoice and with how much, the newest first."""
    rows = conn.execute(
        select(settlement.c.payment_id, func.sum(settlement.c.amount_cents))
        .where(settlement.c.invoice_id == invoice_id, settlement.c.payment_id.is_not(None))
        .group_by(settlement.c.payment_id)
        .having(func.sum(settlement.c.amount_cents) != 0)
        .order_by(func.max(settlement.c.id).desc())
    )
    return [(row[0], row[1]) for row in rows]
