"""Which payment settles which invoice: matched by hand or as offered, taken back, freed by a credit."""

from __future__ import annotations

from datetime import date

from db.commands.billing.checks import issued_of, kept_payment, some_amount
from db.commands.billing.job_days import refresh_job_days
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.open_items import free_cents, free_of, open_cents, settled_by_payment
from db.tables import payment, settlement
from domain.billing.records import Invoice, Payment
from domain.money import format_money


def match_payment(edit: Edit, payment_id: int, invoice_id: int, on: date, amount_cents: int | None = None) -> None:
    """Settle an invoice with a payment: with so much of it, or with as much as both allow.

    It counts from the day on which both are there, or from `on` when that is later.

    Raises:
        Refused: another customer's, a draft, nothing left of one of the two, or more than that.
    """
    paid, owed = kept_payment(edit, payment_id), issued_of(edit, invoice_id)
    if paid.customer_id != owed.customer_id:
        raise Refused(
            f"{owed.name} is for another customer than this payment.",
            "Enter the payment with that customer; who really paid is noted as its payer.",
        )
    left, owing = free_cents(edit.conn, paid.id), open_cents(edit.conn, owed.id)
    amount = min(left, owing) if amount_cents is None else amount_cents
    if owing <= 0:
        raise Refused(f"{owed.name} is settled already.", "Choose another invoice.")
    if left <= 0:
        raise Refused("Nothing is left of this payment.", "Take it off another invoice first.")
    some_amount(amount, "What is matched")
    if amount > min(left, owing):
        raise Refused(
            f"{format_money(left)} is left of the payment, and {format_money(owing)} of {owed.name} is open.",
            "Match the smaller of the two, or less.",
        )
    settle(edit, owed.id, _first_day(paid, owed, on), amount, payment_id=paid.id)
    refresh_job_days(edit, owed.job_id)


def unmatch_payment(edit: Edit, payment_id: int, invoice_id: int, on: date) -> None:
    """Take a payment off an invoice: the invoice is open again, the payment is the customer's credit."""
    paid, owed = kept_payment(edit, payment_id), issued_of(edit, invoice_id)
    matched = dict(settled_by_payment(edit.conn, owed.id)).get(paid.id, 0)
    if matched <= 0:
        raise Refused(f"This payment does not settle {owed.name}.", "There is nothing to take back.")
    settle(edit, owed.id, _first_day(paid, owed, on), -matched, payment_id=paid.id)
    refresh_job_days(edit, owed.job_id)


def apply_credit(edit: Edit, invoice_id: int, on: date) -> int:
    """Settle an invoice with what is left of the customer's payments, the oldest first; return the cents used."""
    owed = issued_of(edit, invoice_id)
    start = owing = open_cents(edit.conn, owed.id)
    for payment_id in free_of(edit.conn, payment.c.customer_id == owed.customer_id):
        if owing <= 0:
            break
        match_payment(edit, payment_id, invoice_id, on)
        owing = open_cents(edit.conn, owed.id)
    if start == owing:
        raise Refused("The customer has no credit for this invoice.", "Enter the payment when it comes.")
    return start - owing


def settle(
    edit: Edit, invoice_id: int, on: date, amount_cents: int, *,
    payment_id: int | None = None, credit_id: int | None = None, bad_debt_id: int | None = None,
) -> None:  # fmt: skip
    """Note that so much of an invoice is settled by one of the three; nothing is noted for nothing."""
    if amount_cents:
        edit.add(
            settlement, invoice_id=invoice_id, settled_on=on, amount_cents=amount_cents, payment_id=payment_id,
            credit_id=credit_id, bad_debt_id=bad_debt_id,
        )  # fmt: skip


def free_up(edit: Edit, invoice_id: int, wanted_cents: int, on: date) -> None:
    """Take payments off an invoice, the last first, until so much of it is open again."""
    for payment_id, matched in settled_by_payment(edit.conn, invoice_id):
        if wanted_cents <= 0:
            return
        part = min(matched, wanted_cents)
        settle(edit, invoice_id, on, -part, payment_id=payment_id)
        wanted_cents -= part


def _first_day(paid: Payment, owed: Invoice, on: date) -> date:
    return max(paid.received_on, owed.issued_on or on, on)
