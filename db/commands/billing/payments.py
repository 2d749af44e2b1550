"""Money that comes in and goes back: payments, refunds, returned checks, receipts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlalchemy import select

from db.commands.billing.checks import free_number, kept_payment, possible_day, some_amount
from db.commands.billing.job_days import refresh_job_days
from db.commands.billing.matching import match_payment, settle
from db.commands.checks import count_where, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.open_items import free_cents, open_invoices
from db.queries.billing.same_payment import same_payments
from db.records import fetch_one
from db.tables import customer, invoice, job, paper, payment, settlement
from domain.billing.matching import offer_matches
from domain.billing.numbers import RECEIPTS
from domain.billing.records import MEANS, Payment
from domain.dates import format_day_short
from domain.jobs import Job
from domain.money import format_money
from domain.people import Customer

_TEXTS = {"means", "payer", "reference", "note"}


class PaidTwice(Refused):
    """It looks like a payment that is entered already: a question, answered with `twice=True`."""


def take_payment(
    edit: Edit, customer_id: int, received_on: date, amount_cents: int, means: str, *, job_id: int | None = None,
    payer: str = "", reference: str = "", note: str = "", matches: Mapping[int, int] | None = None,
    twice: bool = False, today: date | None = None,
) -> int:  # fmt: skip
    """Enter money that came in and return the payment's id; what settles nothing is the customer's credit.

    Args:
        means: a key of `domain.billing.records.MEANS`.
        job_id: the job it is for; then only invoices of that job are offered.
        payer: who really paid, when not the customer: the closing's escrow.
        reference: check, escrow or transfer number.
        matches: cents by invoice id; None: as `domain.billing.matching.offer_matches` offers; {}: nothing.
        twice: it is entered although it looks like one that is there.

    Raises:
        PaidTwice: the same amount of the same customer, of the same reference or about the same day, is there.
        Refused: no amount, a day to come, means that are none, a job of another customer, or a match that cannot be.
    """
    some_amount(amount_cents, "A payment")
    _check_means(means)
    whom = fetch_one(edit.conn, Customer, customer, customer_id)
    possible_day(received_on, None, "", today)
    if job_id is not None:
        of_job = fetch_one(edit.conn, Job, job, job_id)
        if of_job.customer_id != customer_id:
            raise Refused(f"Job {of_job.number} is another customer's.", f"Choose a job of {whom.name}.")
    if not twice and (known := same_payments(edit.conn, customer_id, amount_cents, received_on, reference)):
        raise PaidTwice(
            f"{format_money(amount_cents)} of {whom.name} is entered already, received"
            f" {format_day_short(known[0].received_on)}"
            f"{', reference ' + known[0].reference if known[0].reference else ''}.",
            "Enter it again only if it really came twice.",
        )
    payment_id = edit.add(
        payment, customer_id=customer_id, job_id=job_id, received_on=received_on, kind="payment", means=means,
        amount_cents=amount_cents, payer=payer.strip(), reference=reference.strip(), note=note.strip(),
    )  # fmt: skip
    if matches is None:
        of = (invoice.c.customer_id == customer_id,) if job_id is None else (invoice.c.job_id == job_id,)
        offered = offer_matches(amount_cents, reference, open_invoices(edit.conn, *of))
        matches = {one.invoice_id: one.amount_cents for one in offered}
    for invoice_id, cents in matches.items():
        if cents:
            match_payment(edit, payment_id, invoice_id, received_on, cents)
    return payment_id


def change_payment(edit: Edit, payment_id: int, **values: Any) -> None:
    """Change means, payer, reference or note. An amount or a day that is wrong: remove it and enter it anew."""
    only(values, _TEXTS)
    if "means" in values:
        _check_means(values["means"])
    edit.change(payment, payment_id, **tidied(values))


def remove_payment(edit: Edit, payment_id: int) -> None:
    """Take out a payment, refund or return entered by mistake; what it settled is open again. Undo brings it back.

    Raises:
        Refused: a receipt or other paper was issued for it, or money of it went back.
    """
    kept = fetch_one(edit.conn, Payment, payment, payment_id)
    if kept.number or count_where(edit.conn, paper, paper.c.payment_id == payment_id):
        raise Refused(
            "A receipt was handed out for this payment.", "Enter a refund or a returned check instead."
        )
    if count_where(edit.conn, payment, payment.c.takes_back_id == payment_id):
        raise Refused("Money of this payment went back.", "Remove the refund or the return first.")
    if kept.kind == "returned":
        raise Refused(
            "What the returned check had settled is open again.", "Enter the money as a new payment when it comes."
        )
    jobs = _jobs_settled(edit, payment_id)
    edit.remove_where(settlement, settlement.c.payment_id == payment_id)
    edit.remove(payment, payment_id)
    for job_id in jobs:
        refresh_job_days(edit, job_id)


def refund_payment(
    edit: Edit, payment_id: int, on: date, amount_cents: int | None = None, *, means: str = "check",
    reference: str = "", note: str = "", today: date | None = None,
) -> int:  # fmt: skip
    """Give back what is left of a payment, or part of it, and return the refund's id.

    Raises:
        Refused: nothing is left of it (credit the invoice or take the payment off first), or less than that.
    """
    kept = kept_payment(edit, payment_id)
    possible_day(on, kept.received_on, "the payment came on", today)
    _check_means(means)
    left = free_cents(edit.conn, payment_id)
    amount = left if amount_cents is None else amount_cents
    if left <= 0:
        raise Refused(
            "All of this payment settles invoices.", "Credit the invoice first; then the money can be given back."
        )
    some_amount(amount, "A refund")
    if amount > left:
        raise Refused(f"{format_money(left)} is left of this payment.", "Give back that or less.")
    return edit.add(
        payment, customer_id=kept.customer_id, job_id=kept.job_id, received_on=on, kind="refund", means=means,
        amount_cents=-amount, payer=kept.payer, reference=reference.strip(), takes_back_id=payment_id,
        note=note.strip(),
    )  # fmt: skip


def return_payment(
    edit: Edit, payment_id: int, on: date, *, reference: str = "", note: str = "", today: date | None = None
) -> int:
    """Note that a payment came back from the bank: what it had settled is open again; return the entry's id.

    Raises:
        Refused: it came back already, or part of it was refunded.
    """
    kept = kept_payment(edit, payment_id)
    possible_day(on, kept.received_on, "the payment came on", today)
    backs = edit.conn.execute(select(payment.c.kind).where(payment.c.takes_back_id == payment_id)).scalars().all()
    if "returned" in backs:
        raise Refused("This payment has come back already.", "Enter the money as a new payment when it comes.")
    if backs:
        raise Refused(
            "Part of this payment was refunded.", "Remove the refund first if that money never left the bank."
        )
    for invoice_id, matched in _settled_by(edit, payment_id).items():
        settle(edit, invoice_id, on, -matched, payment_id=payment_id)
    returned = edit.add(
        payment, customer_id=kept.customer_id, job_id=kept.job_id, received_on=on, kind="returned", means=kept.means,
        amount_cents=-kept.amount_cents, payer=kept.payer, reference=reference.strip() or kept.reference,
        takes_back_id=payment_id, note=note.strip(),
    )  # fmt: skip
    for job_id in _jobs_settled(edit, payment_id):
        refresh_job_days(edit, job_id)
    return returned


def number_receipt(edit: Edit, payment_id: int, on: date) -> str:
    """Give a payment its receipt's number, once, and return it. Never undone, so numbers run without a gap."""
    kept = kept_payment(edit, payment_id)
    if kept.number:
        return kept.number
    number = free_number(edit, payment.c.number, RECEIPTS, on)
    edit.change(payment, payment_id, number=number)
    edit.make_final()
    return number


def _check_means(means: str) -> None:
    if means not in MEANS:
        raise Refused(f"“{means}” is no way to pay.", f"Choose one of {', '.join(MEANS.values())}.")


def _settled_by(edit: Edit, payment_id: int) -> dict[int, int]:
    """Cents by invoice that this payment settles."""
    found: dict[int, int] = {}
    rows = edit.conn.execute(
        select(settlement.c.invoice_id, settlement.c.amount_cents).where(settlement.c.payment_id == payment_id)
    )
    for invoice_id, cents in rows:
        found[invoice_id] = found.get(invoice_id, 0) + cents
    return {invoice_id: cents for invoice_id, cents in found.items() if cents}


def _jobs_settled(edit: Edit, payment_id: int) -> list[int]:
    """The jobs whose invoices this payment has to do with."""
    rows = edit.conn.execute(
        select(invoice.c.job_id)
        .join(settlement, settlement.c.invoice_id == invoice.c.id)
        .where(settlement.c.payment_id == payment_id, invoice.c.job_id.is_not(None))
        .distinct()
    )
    return [row[0] for row in rows]
