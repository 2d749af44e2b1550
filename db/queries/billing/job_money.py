"""All about the money of one job, for its Money section."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, func, or_, select

from db.queries.billing.contracts import job_contract, job_invoices
from db.queries.billing.open_items import free_of, open_invoices
from db.queries.billing.payment_rows import payment_rows
from db.records import fetch_all, fetch_one
from db.tables import bad_debt, customer, invoice, invoice_line, job, party, payment, quote, settlement
from domain.billing.contract import Contract
from domain.billing.drafting import amounts_of, final_lines, same_as_drafted
from domain.billing.invoiced import Invoiced, invoiced
from domain.billing.job_money import Draft, InvoiceRow, JobMoney, LooseMoney
from domain.billing.records import Invoice, InvoiceLine
from domain.jobs import Job, Party


def job_money(conn: Connection, job_id: int) -> JobMoney:
    """Contract, invoices, draft and payments of a job, in a fixed number of statements.

    Raises:
        LookupError: there is no such job.
    """
    of_job = fetch_one(conn, Job, job, job_id)
    contract = job_contract(conn, job_id)
    invoices, lines = job_invoices(conn, job_id)
    so_far = invoiced(invoices, lines)
    owed = open_invoices(conn, invoice.c.job_id == job_id)
    open_of = {one.id: one.open_cents for one in owed}
    lost = _written_off(conn, invoice.c.job_id == job_id)
    draft = next((one for one in invoices if not one.issued), None)
    settling = (
        select(settlement.c.payment_id)
        .join(invoice, invoice.c.id == settlement.c.invoice_id)
        .where(invoice.c.job_id == job_id, settlement.c.payment_id.is_not(None))
    )
    return JobMoney(
        job=of_job,
        customer=conn.execute(select(customer.c.name).where(customer.c.id == of_job.customer_id)).scalar_one(),
        contract=contract,
        so_far=so_far,
        draft=None if draft is None else _draft(draft, lines, contract, so_far),
        invoices=tuple(
            InvoiceRow(one, open_of.get(one.id, 0), lost.get(one.id, 0)) for one in invoices if one.issued
        ),
        open_invoices=tuple(owed),
        payments=tuple(
            payment_rows(
                conn,
                or_(payment.c.job_id == job_id, payment.c.id.in_(settling), payment.c.takes_back_id.in_(settling)),
            )
        ),
        credit_cents=sum(free_of(conn, payment.c.customer_id == of_job.customer_id).values()),
        parties=tuple(fetch_all(conn, Party, party, party.c.job_id == job_id)),
        open_orders=conn.execute(
            select(func.count()).where(
                quote.c.job_id == job_id, quote.c.kind == "change_order", quote.c.accepted_on.is_(None),
                quote.c.declined_on.is_(None),
            )
        ).scalar_one(),
    )


def loose_money(conn: Connection, customer_id: int) -> LooseMoney:
    """A customer's invoices without a job, and the draft of one; five statements."""
    mine = (invoice.c.customer_id == customer_id, invoice.c.job_id.is_(None))
    invoices = fetch_all(conn, Invoice, invoice, *mine)
    open_of = {one.id: one.open_cents for one in open_invoices(conn, *mine)}
    lost = _written_off(conn, *mine)
    draft = next((one for one in invoices if not one.issued), None)
    lines = fetch_all(
        conn, InvoiceLine, invoice_line, invoice_line.c.invoice_id == (draft.id if draft else 0),
        order=(invoice_line.c.position, invoice_line.c.id),
    )  # fmt: skip
    return LooseMoney(
        customer_id,
        None if draft is None else _draft(draft, lines, None, Invoiced(())),
        tuple(InvoiceRow(one, open_of.get(one.id, 0), lost.get(one.id, 0)) for one in invoices if one.issued),
        sum(free_of(conn, payment.c.customer_id == customer_id).values()),
    )


def _draft(one: Invoice, lines: list[InvoiceLine], contract: Contract | None, so_far: Invoiced) -> Draft:
    lines = [line for line in lines if line.invoice_id == one.id]
    amounts = amounts_of(one.kind, lines, one.tax_treatment, one.tax_percent, contract, so_far)
    stale = one.kind == "final" and contract is not None and not same_as_drafted(lines, final_lines(contract, so_far))
    return Draft(one, tuple(lines), amounts, stale)


def _written_off(conn: Connection, *where: Any) -> dict[int, int]:
    rows = conn.execute(
        select(bad_debt.c.invoice_id, func.sum(bad_debt.c.net_cents + bad_debt.c.tax_cents))
        .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
        .where(*where)
        .group_by(bad_debt.c.invoice_id)
    )
    return {row[0]: row[1] for row in rows}
