"""Every paper that moved sales or tax in a period: invoices, credit notes, bad debts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, func, literal, select

from db.queries.books.ledger import deposit_parts
from db.tables import bad_debt, customer, invoice, job


@dataclass(frozen=True, slots=True)
class SalesRow:
    """One paper; what is given back or lost is below nothing."""

    number: str
    kind: str  # of the invoice, or bad_debt
    day: date
    customer: str
    job: str
    place: str
    percent: Decimal
    net_cents: int
    deposit_cents: int  # the part of it that is deposit
    taxable_cents: int
    tax_cents: int


def sales_rows(conn: Connection, first: date, last: date) -> list[SalesRow]:
    """In order of days. Two statements."""
    deposits = deposit_parts()
    number = func.coalesce(job.c.number, literal(""))
    papers = (
        select(
            invoice.c.number, invoice.c.kind, invoice.c.issued_on, customer.c.name, number, invoice.c.tax_place,
            invoice.c.tax_percent, invoice.c.net_cents, func.coalesce(deposits.c.cents, 0), invoice.c.taxable_cents,
            invoice.c.tax_cents,
        )
        .join(customer, customer.c.id == invoice.c.customer_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .outerjoin(deposits, deposits.c.of == invoice.c.id)
        .where(invoice.c.issued_on.between(first, last))
    )  # fmt: skip
    debts = (
        select(
            invoice.c.number, literal("bad_debt"), bad_debt.c.day, customer.c.name, number, invoice.c.tax_place,
            invoice.c.tax_percent, -bad_debt.c.net_cents, literal(0), literal(0), -bad_debt.c.tax_cents,
        )
        .select_from(bad_debt.join(invoice, invoice.c.id == bad_debt.c.invoice_id))
        .join(customer, customer.c.id == invoice.c.customer_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .where(bad_debt.c.day.between(first, last))
    )  # fmt: skip
    rows = [SalesRow(*row) for query in (papers, debts) for row in conn.execute(query)]
    return sorted(rows, key=lambda row: (row.day, row.number, row.kind))
