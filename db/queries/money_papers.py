"""What the papers about money say: an invoice, a receipt, a statement of account, a payment reminder."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, func, select

from db.queries.billing.accounts import aging_at, customer_account, customer_statement
from db.queries.billing.contracts import job_contract, job_invoiced
from db.queries.billing.open_items import free_cents, open_cents
from db.queries.firm import firm
from db.queries.papers import own_texts
from db.records import fetch_all, fetch_one
from db.tables import customer, invoice, invoice_line, job, job_type, party, payment, property_, settlement
from domain.billing.drafting import amounts_of
from domain.billing.records import Invoice, InvoiceLine, Payment
from domain.jobs import Job
from domain.papers.money import About, MoneyPaper, invoice_paper, receipt_paper, reminder_paper, statement_paper
from domain.people import Customer, Property


def invoice_said(conn: Connection, invoice_id: int) -> MoneyPaper:
    """What an invoice, a credit note or a draft says. Raises LookupError when there is none."""
    kept = fetch_one(conn, Invoice, invoice, invoice_id)
    lines = fetch_all(
        conn, InvoiceLine, invoice_line, invoice_line.c.invoice_id == invoice_id,
        order=(invoice_line.c.position, invoice_line.c.id),
    )  # fmt: skip
    if kept.issued:
        tax, taxable = kept.tax_cents or 0, kept.taxable_cents or 0
    else:
        contract = so_far = None
        if kept.kind == "final" and kept.job_id is not None:
            contract, so_far = job_contract(conn, kept.job_id), job_invoiced(conn, kept.job_id)
        amounts = amounts_of(kept.kind, lines, kept.tax_treatment, kept.tax_percent, contract, so_far)
        tax, taxable = amounts.tax_cents, amounts.taxable_cents
    credited = conn.execute(
        select(invoice.c.number, invoice.c.net_cents + invoice.c.tax_cents).where(invoice.c.id == kept.credits_id)
    ).first() or ("", 0)
    payer = conn.execute(select(party.c.name).where(party.c.id == kept.payer_id)).scalar()
    still = open_cents(conn, invoice_id) if kept.issued and kept.kind != "credit_note" else None
    return invoice_paper(
        _about(conn, kept.customer_id, kept.job_id), kept, lines, tax_cents=tax, taxable_cents=taxable,
        credited_number=credited[0] or "", credited_cents=credited[1] or 0, payer=payer or "", open_cents=still,
    )  # fmt: skip


def receipt_said(conn: Connection, payment_id: int) -> MoneyPaper:
    """What a payment's receipt says, or the confirmation of a refund or a returned check."""
    kept = fetch_one(conn, Payment, payment, payment_id)
    matched = conn.execute(
        select(invoice.c.number, func.sum(settlement.c.amount_cents))
        .join(invoice, invoice.c.id == settlement.c.invoice_id)
        .where(settlement.c.payment_id == payment_id)
        .group_by(invoice.c.id)
        .having(func.sum(settlement.c.amount_cents) != 0)
        .order_by(invoice.c.id)
    )
    rest = free_cents(conn, payment_id) if kept.kind == "payment" else 0
    return receipt_paper(
        _about(conn, kept.customer_id, kept.job_id), kept, [(number, int(cents)) for number, cents in matched], rest
    )


def statement_said(
    conn: Connection, customer_id: int, ends_on: date, starts_on: date | None = None
) -> MoneyPaper:
    """What a customer's statement of account says."""
    account = customer_statement(conn, customer_id, ends_on, starts_on)
    age = next((row for row in aging_at(conn, ends_on).rows if row.customer_id == customer_id), None)
    return statement_paper(_about(conn, customer_id, None), account, age)


def reminder_said(conn: Connection, customer_id: int, today: date) -> MoneyPaper | None:
    """What a polite letter about overdue invoices says; None when nothing is overdue."""
    account = customer_account(conn, customer_id, today)
    overdue = [one for one in account.open_invoices if one.days_overdue(today) > 0]
    if not overdue:
        return None
    owed = sum(one.open_cents for one in overdue)
    return reminder_paper(_about(conn, customer_id, None), overdue, min(account.credit_cents, owed), today)


def _about(conn: Connection, customer_id: int, job_id: int | None) -> About:
    who = fetch_one(conn, Customer, customer, customer_id)
    last_billed = (
        select(invoice.c.bill_to)
        .where(invoice.c.customer_id == customer_id, invoice.c.issued_on.is_not(None))
        .order_by(invoice.c.id.desc())
        .limit(1)
    )
    billed = conn.execute(last_billed).scalar() or f"{who.name}\n{who.billing_address}"
    lines = tuple(line.strip() for line in billed.splitlines() if line.strip())
    about = About(firm(conn), own_texts(conn), lines)
    if job_id is None:
        return about
    of_job = fetch_one(conn, Job, job, job_id)
    house = fetch_one(conn, Property, property_, of_job.property_id)
    town = " ".join(part for part in (f"{house.town}," if house.town else "", house.region, house.postcode) if part)
    work = conn.execute(select(job_type.c.name).where(job_type.c.id == of_job.job_type_id)).scalar() or ""
    house_lines = tuple(line for line in (house.street, town.strip().rstrip(","), work) if line)
    return About(about.firm, about.own, about.customer_lines, house_lines, of_job.number)
