"""A job's contract and how far it is invoiced: what drafting, issuing and the Money section start from."""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, bindparam, select

from db.queries.quotes import quote_documents
from db.records import columns_of, fetch
from db.tables import invoice, invoice_line, quote
from domain.billing.contract import Contract, contract_of
from domain.billing.invoiced import Invoiced, invoiced
from domain.billing.records import Invoice, InvoiceLine
from domain.quoting.lines import Quote


def job_contract(conn: Connection, job_id: int) -> Contract | None:
    """The accepted proposal with its chosen options and the accepted change orders; None without a proposal."""
    accepted = fetch(conn, Quote, _accepted(), {"job_id": job_id})
    proposals = [one for one in accepted if one.kind == "proposal"]
    if not proposals:
        return None
    orders = [one for one in accepted if one.kind != "proposal"]
    return contract_of(quote_documents(conn, [proposals[-1], *orders]))


def job_invoices(conn: Connection, job_id: int) -> tuple[list[Invoice], list[InvoiceLine]]:
    """Every invoice, credit note and draft of a job in the order they were made, with all their lines."""
    found = fetch(conn, Invoice, _of_job(), {"job_id": job_id})
    return found, fetch(conn, InvoiceLine, _lines_of(), {"ids": [one.id for one in found]})


# Put together once: asked of one job after the other, building them takes longer than running them.


@cache
def _accepted() -> Select[Any]:
    rows = select(*columns_of(quote, Quote)).where(
        quote.c.job_id == bindparam("job_id"), quote.c.accepted_on.is_not(None)
    )
    return rows.order_by(quote.c.version, quote.c.id)


@cache
def _of_job() -> Select[Any]:
    rows = select(*columns_of(invoice, Invoice)).where(invoice.c.job_id == bindparam("job_id"))
    return rows.order_by(invoice.c.id)


@cache
def _lines_of() -> Select[Any]:
    line = invoice_line.c
    rows = select(*columns_of(invoice_line, InvoiceLine)).where(
        line.invoice_id.in_(bindparam("ids", expanding=True))
    )
    return rows.order_by(line.invoice_id, line.position, line.id)


def job_invoiced(conn: Connection, job_id: int) -> Invoiced:
    """What stands of a job's issued invoices."""
    return invoiced(*job_invoices(conn, job_id))
