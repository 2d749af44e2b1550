"""What issuing and crediting share: an invoice's lines, and money given up in the job's margin."""

from __future__ import annotations

from datetime import date

from db.edit import Edit
from db.records import fetch_all
from db.tables import invoice_line, price_adjustment
from domain.billing.records import InvoiceLine

WRITE_OFF = "write_off"


def lines_of(edit: Edit, invoice_id: int) -> list[InvoiceLine]:
    """The lines of an invoice in their order."""
    return fetch_all(
        edit.conn, InvoiceLine, invoice_line, invoice_line.c.invoice_id == invoice_id,
        order=(invoice_line.c.position, invoice_line.c.id),
    )  # fmt: skip


def give_up(edit: Edit, job_id: int, on: date, net_cents: int, reason: str) -> int:
    """Write the net part of what is given up off the job's margin and return the entry's id.

    Below nothing where a discount comes back. Unlike a write-off of the log it may come after the job is closed.
    """
    return edit.add(
        price_adjustment, job_id=job_id, day=on, kind=WRITE_OFF, amount_cents=net_cents, reason=reason
    )
