"""What hangs on the acceptance of a quote."""

from __future__ import annotations

import json

from sqlalchemy import Connection, func, select

from db.queries.quotes import quote_document
from db.records import fetch_one
from db.tables import change, hours_entry, invoice, invoice_line, job, material_use, other_cost, quote
from domain.jobs import Job
from domain.quoting.acceptance import AcceptedQuote
from domain.quoting.price import build_price
from domain.quoting.state import quote_name

_ENTRIES = {table.name: table for table in (hours_entry, material_use, other_cost)}


def accepted_quote(conn: Connection, quote_id: int) -> AcceptedQuote:
    """An accepted quote with what hangs on it, in a fixed number of statements.

    Raises:
        LookupError: there is no such quote.
    """
    document = quote_document(conn, quote_id)
    header = document.quote
    of_job = fetch_one(conn, Job, job, header.job_id)
    order = header.kind == "change_order"
    orders = select(func.count()).where(
        quote.c.job_id == header.job_id, quote.c.kind == "change_order", quote.c.declined_on.is_(None)
    )
    numbers = (
        select(invoice.c.number)
        .where(invoice.c.id.in_(select(invoice_line.c.invoice_id).where(invoice_line.c.quote_id == quote_id)))
        .where(invoice.c.kind != "credit_note")
        .where(invoice.c.id.not_in(select(invoice.c.credits_id).where(invoice.c.credits_id.is_not(None))))
        .order_by(invoice.c.id)
    )
    minutes = select(func.coalesce(func.sum(hours_entry.c.minutes), 0)).where(hours_entry.c.job_id == header.job_id)
    return AcceptedQuote(
        name=quote_name(header), job_number=of_job.number, is_order=order, closed_on=of_job.closed_on,
        orders=0 if order else int(conn.execute(orders).scalar_one()),
        invoices=tuple(number or "a draft" for number in conn.execute(numbers).scalars()),
        net_price_cents=build_price(document).together.net_price_cents,
        options=sum(option.chosen for option in document.options),
        logged_minutes=int(conn.execute(minutes).scalar_one()),
        scheduled_on=of_job.scheduled_on,
        cleared_entries=len(cleared_by(conn, quote_id)) if order else 0,
    )  # fmt: skip


def cleared_by(conn: Connection, quote_id: int) -> list[tuple[str, int]]:
    """(table, row) of the log entries whose mark “not quoted” the acceptance of this change order took away.

    Read from the journal; entries that are gone or marked again since are left out.
    """
    steps = conn.execute(
        select(change.c.action_id, change.c.after)
        .where(change.c.table_name == "quote", change.c.row_id == quote_id, change.c.after.is_not(None))
        .order_by(change.c.id.desc())
    )
    accepting = [row.action_id for row in steps if json.loads(row.after).get("accepted_on")]
    if not accepting:
        return []
    rows = conn.execute(
        select(change.c.table_name, change.c.row_id, change.c.before, change.c.after).where(
            change.c.action_id == accepting[0], change.c.table_name.in_(_ENTRIES)
        )
    ).all()
    marked = [
        (row.table_name, int(row.row_id)) for row in rows
        if row.before and row.after and json.loads(row.before)["unquoted"] and not json.loads(row.after)["unquoted"]
    ]  # fmt: skip
    standing = {
        (name, row_id)
        for name, table in _ENTRIES.items()
        for row_id in conn.execute(
            select(table.c.id).where(
                table.c.unquoted.is_(False), table.c.id.in_([key for of, key in marked if of == name])
            )
        ).scalars()
    }
    return [entry for entry in marked if entry in standing]
