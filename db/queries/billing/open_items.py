"""What is open of invoices and what is left of payments, on any day; everything else about money starts here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cache, lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, func, or_, select

from db.records import fetch
from db.tables import invoice, payment, settlement
from domain.billing.matching import OpenInvoice


def settled_of(column: Any, row_id: Any, day: date | None = None) -> ColumnElement[int]:
    """How much of one invoice or payment is settled, up to a day, as part of a query of many.

    Looked up row by row in an index that has all that is asked for: quicker than adding up every settlement first.

    Args:
        column: settlement.c.invoice_id or settlement.c.payment_id.
        row_id: invoice.c.id or payment.c.id of the query around it.
    """
    query = select(func.coalesce(func.sum(settlement.c.amount_cents), 0)).where(column == row_id)
    if day is not None:
        query = query.where(settlement.c.settled_on <= day)
    return query.correlate(row_id.table).scalar_subquery()


def _taken_back(day: date | None) -> ColumnElement[int]:
    """What was refunded or returned of a payment, below nothing, up to a day."""
    later = payment.alias("later")
    query = select(func.coalesce(func.sum(later.c.amount_cents), 0)).where(later.c.takes_back_id == payment.c.id)
    if day is not None:
        query = query.where(later.c.received_on <= day)
    return query.correlate(payment).scalar_subquery()


_MOST_LATER = 4_000
"""With more than so many settlements after a day, every row is looked at."""


@cache
def _not_settled(whole: Any, column: Any, row_id: Any) -> Any:
    return whole != settled_of(column, row_id)


def _may_be_open(conn: Connection, whole: Any, column: Any, row_id: Any, day: date | None) -> list[Any]:
    """The condition that something was open on a day: not settled whole by now, or only after it.

    So few rows meet it, for a day not long ago, that their sums of that day can be looked up one by one.
    """
    now = _not_settled(whole, column, row_id)
    if day is None:
        return [now]
    later = select(column).where(settlement.c.settled_on > day, column.is_not(None)).limit(_MOST_LATER).distinct()
    ids = list(conn.execute(later).scalars())
    if len(ids) == _MOST_LATER:
        return []
    return [or_(now, row_id.in_(ids)) if ids else now]


def open_invoices(
    conn: Connection, *where: Any, day: date | None = None, settled_too: bool = False
) -> list[OpenInvoice]:
    """Issued invoices with what is open of them on a day (None: by all that is entered), the oldest due first.

    Credit notes are none: they settle the invoice they credit. One statement, two for a day.
    """
    query = _invoices(day)
    if not settled_too:
        query = query.where(*_may_be_open(conn, _TOTAL, settlement.c.invoice_id, invoice.c.id, day))
    found = sorted(fetch(conn, OpenInvoice, query.where(*where)), key=lambda one: (one.due_on, one.id))
    return [
        one for one in found if (settled_too or one.open_cents != 0) and (day is None or one.issued_on <= day)
    ]


_TOTAL = invoice.c.net_cents + invoice.c.tax_cents


@lru_cache(maxsize=8)
def _invoices(day: date | None) -> Select[Any]:
    """Kept: putting it together takes longer than running it, and every payment asks."""
    return (
        select(
            invoice.c.id, invoice.c.kind, invoice.c.number, invoice.c.customer_id, invoice.c.job_id,
            invoice.c.issued_on, invoice.c.due_on, invoice.c.payer_reference, _TOTAL,
            _TOTAL - settled_of(settlement.c.invoice_id, invoice.c.id, day),
        )
        # Only what is issued has amounts. Asking for its day instead would send SQLite through the index of the days,
        # and with that to the rows one by one.
        .where(invoice.c.net_cents.is_not(None), invoice.c.kind != "credit_note")
    )  # fmt: skip


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
    column, amount = settlement.c.payment_id, payment.c.amount_cents
    query = (
        select(
            payment.c.id, amount + _taken_back(day) - settled_of(column, payment.c.id, day), payment.c.received_on
        )
        .where(payment.c.kind == "payment", *_may_be_open(conn, amount, column, payment.c.id, day), *where)
    )
    return {
        payment_id: cents
        for payment_id, cents, received_on in sorted(conn.execute(query), key=lambda row: (row[2], row[0]))
        if cents and (day is None or received_on <= day)
    }


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
