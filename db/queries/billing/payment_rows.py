"""Payments as lists show them: what each settles, what is left of it, what went back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, func, select

from db.queries.billing.open_items import free_of
from db.records import columns_of
from db.tables import customer, invoice, job, payment, settlement
from domain.billing.job_money import PaymentRow
from domain.billing.records import Payment

_AT_ONCE = 900


def payment_rows(conn: Connection, *where: Any, most: int | None = None) -> list[PaymentRow]:
    """Payments, refunds and returns that meet the conditions, the newest first; four statements for all of them."""
    query = (
        select(*columns_of(payment, Payment), customer.c.name, func.coalesce(job.c.number, ""))
        .join(customer, customer.c.id == payment.c.customer_id)
        .outerjoin(job, job.c.id == payment.c.job_id)
        .where(*where)
        .order_by(payment.c.received_on.desc(), payment.c.id.desc())
    )
    if most is not None:
        query = query.limit(most)
    found = [(Payment(*row[:-2]), row[-2], row[-1]) for row in conn.execute(query)]
    ids = [one.id for one, _, _ in found][:_AT_ONCE]
    settles, left, back = _settles(conn, ids), free_of(conn, payment.c.id.in_(ids)), _went_back(conn, ids)
    return [
        PaymentRow(one, left.get(one.id, 0), settles.get(one.id, ()), name, number, back.get(one.id, ""))
        for one, name, number in found
    ]


def _settles(conn: Connection, ids: Sequence[int]) -> dict[int, tuple[tuple[str, int], ...]]:
    found: dict[int, tuple[tuple[str, int], ...]] = {}
    rows = conn.execute(
        select(settlement.c.payment_id, invoice.c.number, func.sum(settlement.c.amount_cents))
        .join(invoice, invoice.c.id == settlement.c.invoice_id)
        .where(settlement.c.payment_id.in_(ids))
        .group_by(settlement.c.payment_id, invoice.c.id)
        .having(func.sum(settlement.c.amount_cents) != 0)
        .order_by(invoice.c.number)
    )
    for payment_id, number, cents in rows:
        found[payment_id] = (*found.get(payment_id, ()), (number, cents))
    return found


def _went_back(conn: Connection, ids: Sequence[int]) -> dict[int, str]:
    rows = conn.execute(
        select(payment.c.takes_back_id, func.max(payment.c.kind))
        .where(payment.c.takes_back_id.in_(ids))
        .group_by(payment.c.takes_back_id)
    )
    return {row[0]: row[1] for row in rows}


def settled_invoices(conn: Connection, payment_id: int) -> list[tuple[int, str]]:
    """(id, number) of the invoices a payment settles."""
    rows = conn.execute(
        select(invoice.c.id, invoice.c.number)
        .join(settlement, settlement.c.invoice_id == invoice.c.id)
        .where(settlement.c.payment_id == payment_id)
        .group_by(invoice.c.id)
        .having(func.sum(settlement.c.amount_cents) != 0)
        .order_by(invoice.c.number)
    )
    return [(row[0], row[1]) for row in rows]
