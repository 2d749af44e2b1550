"""What customers owe on a day: aging of all, one customer's account, and the statement of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, case, func, literal, select

from db.queries.billing.open_items import free_of, open_invoices
from db.records import fetch_all
from db.tables import bad_debt, customer, invoice, job, payment
from domain.billing.aging import Aging, aging
from domain.billing.matching import OpenInvoice
from domain.billing.records import INVOICE_KINDS, MEANS, PAYMENT_KINDS, Payment
from domain.billing.statement import AccountLine, Statement, statement


def aging_at(conn: Connection, day: date, *, is_today: bool = False) -> Aging:
    """What every customer owes on a day, by age, with credits beside it. Six statements, four for today.

    Args:
        is_today: nothing is dated after the day, so what is settled need not be looked up day by day.

    Its balance is the books' receivables of that day: all invoices less credits, payments and bad debts up to it.
    """
    until = None if is_today else day
    owed = open_invoices(conn, day=until)
    free = free_of(conn, day=until)
    credits: dict[int, int] = {}
    owners = conn.execute(select(payment.c.id, payment.c.customer_id).where(payment.c.id.in_(list(free))))
    for payment_id, whose in owners:
        credits[whose] = credits.get(whose, 0) + free[payment_id]
    who = {*credits, *(one.customer_id for one in owed)}
    names = {
        row[0]: row[1]
        for row in conn.execute(select(customer.c.id, customer.c.name).where(customer.c.id.in_(list(who))))
    }
    return aging(day, owed, credits, names)


def receivable_at(conn: Connection, day: date) -> int:
    """The books' receivables of a day, added up from what was posted: the check of the aging."""

    def up_to(column: Any, cents: Any) -> Any:
        # Every row is read in turn: through an index of the days SQLite would fetch them one by one.
        total = func.coalesce(func.sum(case((column <= day, cents), else_=0)), 0)
        return select(total).select_from(column.table).scalar_subquery()

    asked = up_to(invoice.c.issued_on, invoice.c.net_cents + invoice.c.tax_cents)
    came = up_to(payment.c.received_on, payment.c.amount_cents)
    lost = up_to(bad_debt.c.day, bad_debt.c.net_cents + bad_debt.c.tax_cents)
    return int(conn.execute(select(asked - came - lost)).scalar_one())


@dataclass(frozen=True, slots=True)
class CustomerAccount:
    """What one customer owes and has as credit."""

    customer_id: int
    open_invoices: tuple[OpenInvoice, ...]  # the oldest due first
    unmatched: tuple[tuple[Payment, int], ...]  # payments with what is left of each
    day: date

    @property
    def open_cents(self) -> int:
        """All that is open."""
        return sum(one.open_cents for one in self.open_invoices)

    @property
    def overdue_cents(self) -> int:
        """What is past its due day."""
        return sum(one.open_cents for one in self.open_invoices if one.due_on < self.day)

    @property
    def credit_cents(self) -> int:
        """What is left of payments."""
        return sum(cents for _, cents in self.unmatched)

    @property
    def balance_cents(self) -> int:
        """What is owed; below nothing: the customer has more with us than is open."""
        return self.open_cents - self.credit_cents


def customer_account(conn: Connection, customer_id: int, day: date) -> CustomerAccount:
    """One customer's open invoices and unmatched payments. Three statements."""
    owed = open_invoices(conn, invoice.c.customer_id == customer_id)
    free = free_of(conn, payment.c.customer_id == customer_id)
    paid = fetch_all(
        conn, Payment, payment, payment.c.id.in_(list(free)), order=(payment.c.received_on, payment.c.id)
    )
    return CustomerAccount(customer_id, tuple(owed), tuple((one, free[one.id]) for one in paid), day)


def customer_statement(
    conn: Connection, customer_id: int, ends_on: date, starts_on: date | None = None
) -> Statement:
    """Everything on a customer's account up to a day, with the balance after each line. Three statements."""
    return statement(customer_id, _events(conn, customer_id), ends_on, starts_on)


def _events(conn: Connection, customer_id: int) -> list[AccountLine]:
    found = []
    number = func.coalesce(job.c.number, literal(""))
    papers = (
        select(
            invoice.c.id, invoice.c.kind, invoice.c.number, invoice.c.issued_on, invoice.c.due_on,
            invoice.c.net_cents + invoice.c.tax_cents, number, invoice.c.payer_reference,
        )
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .where(invoice.c.customer_id == customer_id, invoice.c.issued_on.is_not(None))
    )  # fmt: skip
    for row_id, kind, own, issued_on, due_on, cents, of_job, _ in conn.execute(papers):
        credit = kind == "credit_note"
        words = f"{INVOICE_KINDS[kind]} {own}"
        found.append(
            AccountLine(
                issued_on, "credit_note" if credit else "invoice", words, cents, row_id, of_job,
                None if credit else due_on,
            )
        )  # fmt: skip
    money = (
        select(
            payment.c.id, payment.c.kind, payment.c.means, payment.c.received_on, payment.c.amount_cents,
            payment.c.payer, payment.c.reference, number,
        )
        .outerjoin(job, job.c.id == payment.c.job_id)
        .where(payment.c.customer_id == customer_id)
    )  # fmt: skip
    for row_id, kind, means, day, cents, payer, reference, of_job in conn.execute(money):
        words = ", ".join(
            part
            for part in (f"{PAYMENT_KINDS[kind]}, {MEANS[means].lower()}", reference, f"from {payer}" if payer else "")
            if part
        )
        found.append(AccountLine(day, kind, words, -cents, row_id, of_job))
    debts = (
        select(
            bad_debt.c.id, bad_debt.c.day, bad_debt.c.net_cents + bad_debt.c.tax_cents, bad_debt.c.reason,
            invoice.c.number, number,
        )
        .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .where(invoice.c.customer_id == customer_id)
    )  # fmt: skip
    for row_id, day, cents, reason, own, of_job in conn.execute(debts):
        found.append(AccountLine(day, "bad_debt", f"Written off, invoice {own}: {reason}", -cents, row_id, of_job))
    return found
