"""All payments, to search and to match: the newest, those of some words, those of which something is left."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, or_, select

from db.queries.billing.open_items import free_of, open_invoices, settled_of
from db.queries.billing.payment_rows import payment_rows
from db.tables import customer, invoice, job, payment, settlement
from domain.billing.job_money import PaymentRow
from domain.billing.matching import OpenInvoice
from domain.money import NotUnderstood, parse_money

NEWEST = 200
"""Rows that are read at once; others are found by searching."""

ALL, LEFT, BACK = "all", "left", "back"


def payment_list(conn: Connection, words: str = "", which: str = ALL) -> list[PaymentRow]:
    """Payments, refunds and returns, the newest first, at most NEWEST; a fixed number of statements.

    Args:
        words: each must occur in customer, payer, reference, receipt's number or job number, or be the amount.
        which: ALL; LEFT, of which something is not matched; BACK, refunds and returned checks.
    """
    where: list[Any] = [_has(word) for word in words.split()]
    if which == LEFT:
        where.append(payment.c.id.in_(list(free_of(conn))))
    elif which == BACK:
        where.append(payment.c.kind != "payment")
    return payment_rows(conn, *where, most=NEWEST)


def _has(word: str) -> Any:
    columns = (customer.c.name, payment.c.payer, payment.c.reference, payment.c.number, job.c.number)
    found = [column.contains(word, autoescape=True) for column in columns]
    with suppress(NotUnderstood):
        found.append(func.abs(payment.c.amount_cents) == abs(parse_money(word)))
    return or_(*found)


@dataclass(frozen=True, slots=True)
class Unmatched:
    """How many payments have something left, and how much in all."""

    count: int
    cents: int


def unmatched(conn: Connection) -> Unmatched:
    """What is not matched yet, over all customers."""
    free = free_of(conn)
    return Unmatched(len(free), sum(free.values()))


def owed_by(conn: Connection, customer_id: int) -> list[OpenInvoice]:
    """What one customer owes, the oldest due first."""
    return open_invoices(conn, invoice.c.customer_id == customer_id)


def payer_choices(conn: Connection) -> Sequence[tuple[int, str]]:
    """Customers a payment can come from: those who owe first, then all others, each by name."""
    total = invoice.c.net_cents + invoice.c.tax_cents
    owing = (
        select(invoice.c.customer_id)
        .where(invoice.c.issued_on.is_not(None), invoice.c.kind != "credit_note")
        .where(total != settled_of(settlement.c.invoice_id, invoice.c.id))
    )
    owes = customer.c.id.in_(owing)
    rows = conn.execute(
        select(customer.c.id, customer.c.name)
        .where(or_(customer.c.archived_on.is_(None), owes))
        .order_by(owes.desc(), func.lower(customer.c.name), customer.c.id)
    )
    return [(row[0], row[1]) for row in rows]
