"""The ledger: every entry of a period; and the balance of all accounts added up in SQL, the other way to it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import Connection, Select, Subquery, and_, case, func, literal, or_, select, union_all

from db.records import fetch_all
from db.tables import (
    bad_debt,
    bill,
    bill_line,
    bill_payment,
    customer,
    invoice,
    invoice_line,
    job,
    ledger_account,
    payment,
    supplier,
)
from domain.billing.records import INVOICE_KINDS, MEANS, PAYMENT_KINDS
from domain.bills import BILL_KINDS, BILL_MEANS, SET_OFF
from domain.bookkeeping import LedgerAccount
from domain.ledger import (
    ROLES,
    Account,
    LedgerEntry,
    TrialBalance,
    accounts_named,
    entry,
    post_bad_debt,
    post_bill,
    post_bill_payment,
    post_invoice,
    post_payment,
    trial_balance,
)
from domain.ledger.posting import COST_ROLES

_FIRST, _LAST = date(1900, 1, 1), date(2199, 12, 31)


def accounts(conn: Connection) -> dict[str, Account]:
    """Every account by role, with the owner's numbers and names."""
    return accounts_named(fetch_all(conn, LedgerAccount, ledger_account))


def trial(conn: Connection, first: date = _FIRST, last: date = _LAST) -> TrialBalance:
    """The balance of all accounts over a period, both days included; income and costs begin anew with each year. Two
    statements."""
    legs = _legs(last)
    before, within = legs.c.day < first, legs.c.day >= first
    year = [one.key for one in ROLES if one.side in ("income", "cost")]
    stood = and_(before, or_(legs.c.role.not_in(year), legs.c.day >= date(first.year, 1, 1)))
    query = select(
        legs.c.role,
        func.sum(case((stood, legs.c.cents), else_=0)),
        func.sum(case((and_(within, legs.c.cents > 0), legs.c.cents), else_=0)),
        func.sum(case((and_(within, legs.c.cents < 0), -legs.c.cents), else_=0)),
    ).group_by(legs.c.role)
    opening, moved = {}, {}
    for role, stood, debit, credit in conn.execute(query):
        opening[role], moved[role] = stood, (debit, credit)
    return trial_balance(accounts(conn), opening, moved)


def moved_by_month(conn: Connection) -> dict[str, dict[str, int]]:
    """Debits and credits of every account by month: {"2026-11": {"bank debit": 1200, ...}}. One statement."""
    legs = _legs(_LAST)
    month = func.strftime("%Y-%m", legs.c.day)
    query = select(
        month, legs.c.role,
        func.sum(case((legs.c.cents > 0, legs.c.cents), else_=0)),
        func.sum(case((legs.c.cents < 0, -legs.c.cents), else_=0)),
    ).group_by(month, legs.c.role)  # fmt: skip
    found: dict[str, dict[str, int]] = {}
    for key, role, debit, credit in conn.execute(query):
        found.setdefault(key, {}).update({f"{role} debit": debit, f"{role} credit": credit})
    return found


def deposit_parts() -> Subquery:
    """A row an invoice that has a deposit on it: asked for (positive) or taken off (negative)."""
    earlier = invoice.alias("earlier")
    return (
        select(invoice_line.c.invoice_id.label("of"), func.sum(invoice_line.c.net_cents).label("cents"))
        .select_from(invoice_line.outerjoin(earlier, earlier.c.id == invoice_line.c.earlier_id))
        .where(
            or_(invoice_line.c.kind == "deposit", and_(invoice_line.c.kind == "earlier", earlier.c.kind == "deposit"))
        )
        .group_by(invoice_line.c.invoice_id)
        .subquery("deposit_part")
    )


def _legs(last: date) -> Subquery:
    """Every posting up to a day: day, role, cents; as `domain.ledger.posting` has it."""
    deposits = deposit_parts()
    deposit = func.coalesce(deposits.c.cents, 0)
    sold = case((invoice.c.kind == "credit_note", "sales_credits"), else_="sales")
    issued = invoice.c.issued_on
    papers = invoice.outerjoin(deposits, deposits.c.of == invoice.c.id)

    def leg(day: Any, role: Any, cents: Any, source: Any) -> Select[Any]:
        named = literal(role) if isinstance(role, str) else role
        columns = day.label("day"), named.label("role"), cents.label("cents")
        return select(*columns).select_from(source).where(day <= last)

    debt, paid = bad_debt.c, payment.c
    kind = case(*((bill_line.c.kind == one, role) for one, role in COST_ROLES.items()))
    costs = (
        select(bill.c.billed_on, kind, func.sum(bill_line.c.net_cents))
        .select_from(bill_line.join(bill, bill.c.id == bill_line.c.bill_id))
        .where(bill.c.billed_on <= last)
        .group_by(bill.c.id, bill.c.billed_on, bill_line.c.kind)
    )
    moved = bill_payment.c.means != SET_OFF
    return union_all(
        leg(issued, "receivable", invoice.c.net_cents + invoice.c.tax_cents, invoice),
        leg(issued, "customer_deposits", -deposit, papers),
        leg(issued, sold, deposit - invoice.c.net_cents, papers),
        leg(issued, "sales_tax_payable", -invoice.c.tax_cents, invoice),
        leg(paid.received_on, "bank", paid.amount_cents, payment),
        leg(paid.received_on, "receivable", -paid.amount_cents, payment),
        leg(debt.day, "bad_debts", debt.net_cents, bad_debt),
        leg(debt.day, "sales_tax_payable", debt.tax_cents, bad_debt),
        leg(debt.day, "receivable", -debt.net_cents - debt.tax_cents, bad_debt),
        costs,
        leg(bill.c.billed_on, "sales_tax_paid", bill.c.tax_cents, bill),
        leg(bill.c.billed_on, "payable", -bill.c.net_cents - bill.c.tax_cents, bill),
        leg(bill_payment.c.paid_on, "payable", bill_payment.c.amount_cents, bill_payment).where(moved),
        leg(bill_payment.c.paid_on, "bank", -bill_payment.c.amount_cents, bill_payment).where(moved),
    ).subquery("legs")


def ledger_entries(conn: Connection, first: date = _FIRST, last: date = _LAST) -> list[LedgerEntry]:
    """Every entry of a period in order of days, each posted by `domain.ledger.posting`. Six statements."""
    found = [
        *_invoices(conn, first, last),
        *_payments(conn, first, last),
        *_bad_debts(conn, first, last),
        *_bills(conn, first, last),
        *_bill_payments(conn, first, last),
    ]
    order = {"invoice": 0, "payment": 1, "bad_debt": 2, "bill": 3, "bill_payment": 4}
    found.sort(key=lambda one: (one.day, order[one.source], one.source_id))
    return found


def _invoices(conn: Connection, first: date, last: date) -> Iterable[LedgerEntry]:
    deposits = deposit_parts()
    query = (
        select(
            invoice.c.id, invoice.c.issued_on, invoice.c.kind, invoice.c.number, invoice.c.net_cents,
            invoice.c.tax_cents, func.coalesce(deposits.c.cents, 0), customer.c.name, func.coalesce(job.c.number, ""),
        )
        .join(customer, customer.c.id == invoice.c.customer_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .outerjoin(deposits, deposits.c.of == invoice.c.id)
        .where(invoice.c.issued_on.between(first, last))
    )  # fmt: skip
    for row_id, day, kind, number, net, tax, deposit, who, of_job in conn.execute(query):
        pairs = post_invoice(kind, net, tax, deposit)
        yield entry(
            day, "invoice", row_id, pairs, reference=number, words=INVOICE_KINDS[kind], party=who, job=of_job
        )


def _payments(conn: Connection, first: date, last: date) -> Iterable[LedgerEntry]:
    query = (
        select(
            payment.c.id, payment.c.received_on, payment.c.kind, payment.c.means, payment.c.amount_cents,
            payment.c.reference, customer.c.name, func.coalesce(job.c.number, ""),
        )
        .join(customer, customer.c.id == payment.c.customer_id)
        .outerjoin(job, job.c.id == payment.c.job_id)
        .where(payment.c.received_on.between(first, last))
    )  # fmt: skip
    for row_id, day, kind, means, cents, reference, who, of_job in conn.execute(query):
        words = f"{PAYMENT_KINDS[kind]}, {MEANS[means].lower()}"
        yield entry(
            day, "payment", row_id, post_payment(cents), reference=reference, words=words, party=who, job=of_job
        )


def _bad_debts(conn: Connection, first: date, last: date) -> Iterable[LedgerEntry]:
    query = (
        select(
            bad_debt.c.id, bad_debt.c.day, bad_debt.c.net_cents, bad_debt.c.tax_cents, bad_debt.c.reason,
            invoice.c.number, customer.c.name, func.coalesce(job.c.number, ""),
        )
        .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
        .join(customer, customer.c.id == invoice.c.customer_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .where(bad_debt.c.day.between(first, last))
    )  # fmt: skip
    for row_id, day, net, tax, reason, number, who, of_job in conn.execute(query):
        pairs = post_bad_debt(net, tax)
        yield entry(
            day, "bad_debt", row_id, pairs, reference=number, words=f"Bad debt: {reason}", party=who, job=of_job
        )


def _bills(conn: Connection, first: date, last: date) -> Iterable[LedgerEntry]:
    within = bill.c.billed_on.between(first, last)
    lines: dict[int, list[tuple[str, int]]] = {}
    of_jobs: dict[int, set[str]] = {}
    for bill_id, kind, cents, number in conn.execute(
        select(bill_line.c.bill_id, bill_line.c.kind, bill_line.c.net_cents, job.c.number)
        .join(bill, bill.c.id == bill_line.c.bill_id)
        .outerjoin(job, job.c.id == bill_line.c.job_id)
        .where(within)
        .order_by(bill_line.c.bill_id, bill_line.c.position)
    ):
        lines.setdefault(bill_id, []).append((kind, cents))
        if number:
            of_jobs.setdefault(bill_id, set()).add(number)
    query = (
        select(bill.c.id, bill.c.billed_on, bill.c.kind, bill.c.number, bill.c.tax_cents, supplier.c.name)
        .join(supplier, supplier.c.id == bill.c.supplier_id)
        .where(within)
    )
    for row_id, day, kind, number, tax, who in conn.execute(query):
        yield entry(
            day, "bill", row_id, post_bill(lines.get(row_id, ()), tax), reference=number, words=BILL_KINDS[kind],
            party=who, job=", ".join(sorted(of_jobs.get(row_id, ()))),
        )  # fmt: skip


def _bill_payments(conn: Connection, first: date, last: date) -> Iterable[LedgerEntry]:
    query = (
        select(
            bill_payment.c.id, bill_payment.c.paid_on, bill_payment.c.amount_cents, bill_payment.c.means,
            bill_payment.c.reference, bill.c.kind, bill.c.number, supplier.c.name,
        )
        .join(bill, bill.c.id == bill_payment.c.bill_id)
        .join(supplier, supplier.c.id == bill.c.supplier_id)
        .where(bill_payment.c.paid_on.between(first, last), bill_payment.c.means != SET_OFF)
    )  # fmt: skip
    for row_id, day, cents, means, reference, kind, number, who in conn.execute(query):
        words = f"Paid {BILL_KINDS[kind].lower()} {number}".strip() + f", {BILL_MEANS[means].lower()}"
        yield entry(
            day, "bill_payment", row_id, post_bill_payment(cents), reference=reference or number, words=words, party=who
        )
