"""A job's contract and how far it is invoiced: what drafting, issuing and the Money section start from."""

from __future__ import annotations

from sqlalchemy import Connection

from db.queries.quotes import quote_documents
from db.records import fetch_all
from db.tables import invoice, invoice_line, quote
from domain.billing.contract import Contract, contract_of
from domain.billing.invoiced import Invoiced, invoiced
from domain.billing.records import Invoice, InvoiceLine
from domain.quoting.lines import Quote


def job_contract(conn: Connection, job_id: int) -> Contract | None:
    """The accepted proposal with its chosen options and the accepted change orders; None without a proposal."""
    accepted = fetch_all(
        conn, Quote, quote, quote.c.job_id == job_id, quote.c.accepted_on.is_not(None),
        order=(quote.c.version, quote.c.id),
    )  # fmt: skip
    proposals = [one for one in accepted if one.kind == "proposal"]
    if not proposals:
        return None
    orders = [one for one in accepted if one.kind != "proposal"]
    return contract_of(quote_documents(conn, [proposals[-1], *orders]))


def job_invoices(conn: Connection, job_id: int) -> tuple[list[Invoice], list[InvoiceLine]]:
    """Every invoice, credit note and draft of a job in the order they were made, with all their lines."""
    found = fetch_all(conn, Invoice, invoice, invoice.c.job_id == job_id)
    ids = [one.id for one in found]
    lines = fetch_all(
        conn, InvoiceLine, invoice_line, invoice_line.c.invoice_id.in_(ids),
        order=(invoice_line.c.invoice_id, invoice_line.c.position, invoice_line.c.id),
    )  # fmt: skip
    return found, lines


def job_invoiced(conn: Connection, job_id: int) -> Invoiced:
    """What stands of a job's issued invoices."""
    return invoiced(*job_invoices(conn, job_id))
