"""All about the money of one job, for its Money section."""

from __future__ import annotations

from sqlalchemy import Connection, func, or_, select

from db.queries.billing.contracts import job_contract, job_invoices
from db.queries.billing.open_items import free_of, open_invoices
from db.queries.billing.payment_rows import payment_rows
from db.records import fetch_all, fetch_one
from db.tables import bad_debt, customer, invoice, job, party, payment, settlement
from domain.billing.contract import Contract
from domain.billing.drafting import amounts_of, final_lines, same_as_drafted
from domain.billing.invoiced import Invoiced, invoiced
from domain.billing.job_money import Draft, InvoiceRow, JobMoney
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
    lost = _written_off(conn, job_id)
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
    )


def _draft(one: Invoice, lines: list[InvoiceLine], contract: Contract | None, so_far: Invoiced) -> Draft:
    lines = [line for line in lines if line.invoice_id == one.id]
    amounts = amounts_of(one.kind, lines, one.tax_treatment, one.tax_percent, contract, so_far)
    stale = one.kind == "final" and contract is not None and not same_as_drafted(lines, final_lines(contract, so_far))
    return Draft(one, tuple(lines), amounts, stale)


def _written_off(conn: Connection, job_id: int) -> dict[int, int]:
    rows = conn.execute(
        select(bad_debt.c.invoice_id, func.sum(bad_debt.c.net_cents + bad_debt.c.tax_cents))
        .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
        .where(invoice.c.job_id == job_id)
        .group_by(bad_debt.c.invoice_id)
    )
    return {row[0]: row[1] for row in rows}
