"""What the billing commands share: drafts and issued invoices, possible days, amounts above nothing, numbers."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Column, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import invoice, payment
from domain.billing.numbers import next_number, series
from domain.billing.records import Invoice, Payment
from domain.dates import format_day_short


def kept_invoice(edit: Edit, invoice_id: int) -> Invoice:
    """The invoice. Raises LookupError when there is none."""
    return fetch_one(edit.conn, Invoice, invoice, invoice_id)


def draft_of(edit: Edit, invoice_id: int) -> Invoice:
    """The invoice, when it may still change.

    Raises:
        Refused: it is issued.
    """
    kept = kept_invoice(edit, invoice_id)
    if kept.issued:
        raise Refused(
            f"{kept.name} is issued, and an issued invoice never changes.",
            "Credit it, in part or whole, and write a new one.",
        )
    return kept


def issued_of(edit: Edit, invoice_id: int) -> Invoice:
    """The invoice, when it is issued and no credit note.

    Raises:
        Refused: a draft, or a credit note.
    """
    kept = kept_invoice(edit, invoice_id)
    if not kept.issued:
        raise Refused("This invoice is a draft; nobody owes it yet.", "Issue it first.")
    if kept.kind == "credit_note":
        raise Refused(f"{kept.name} is a credit note and settles the invoice it credits.", "Choose an invoice.")
    return kept


def kept_payment(edit: Edit, payment_id: int) -> Payment:
    """The payment, when it is money that came in.

    Raises:
        Refused: a refund or a returned check.
    """
    kept = fetch_one(edit.conn, Payment, payment, payment_id)
    if kept.kind != "payment":
        raise Refused("That is money that went back.", "Choose the payment it belongs to.")
    return kept


def possible_day(day: date, earliest: date | None, what: str, today: date | None) -> None:
    """Refuse a day after today, or before what must come first; `what` names that: "the invoice is of".

    Raises:
        Refused: the day cannot be right.
    """
    if today is not None and day > today:
        raise Refused(f"{format_day_short(day)} has not come yet.", "Change the day.")
    if earliest is not None and day < earliest:
        raise Refused(
            f"{format_day_short(day)} is too early: {what} {format_day_short(earliest)}.",
            "Correct whichever of the two days is wrong.",
        )


def some_amount(cents: int, what: str) -> None:
    """Refuse nothing and less than nothing.

    Raises:
        Refused: the amount is not above nothing.
    """
    if cents <= 0:
        raise Refused(f"{what} is more than nothing.", "Type the amount without a minus.")


def free_number(edit: Edit, column: Column[str], letter: str, on: date) -> str:
    """The next number of a series, without a gap: asked inside the action, which alone can write."""
    used = edit.conn.execute(select(column).where(column.like(f"{series(letter, on)}%"))).scalars()
    return next_number((str(number) for number in used), letter, on)
