"""Which invoices a payment settles: an offer the owner can change, exact to the cent."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from domain.words import fold


@dataclass(frozen=True, slots=True)
class OpenInvoice:
    """An issued invoice with what is still open of it, in cents, on some day."""

    id: int
    kind: str
    number: str
    customer_id: int
    job_id: int | None
    issued_on: date
    due_on: date
    payer_reference: str
    total_cents: int
    open_cents: int

    def days_overdue(self, day: date) -> int:
        """Days past its due day; below nothing before it."""
        return (day - self.due_on).days


@dataclass(frozen=True, slots=True)
class Match:
    """So much of a payment for an invoice, and why it is offered."""

    invoice_id: int
    amount_cents: int
    why: str


def offer_matches(amount_cents: int, reference: str, invoices: Sequence[OpenInvoice]) -> list[Match]:
    """Offer what a payment settles.

    In this order: an invoice whose number or payer's reference stands in the payment's reference; the one whose open
    amount it is, when only one has it; else the oldest due first. What is left over stays the customer's credit.
    """
    open_ones = sorted((one for one in invoices if one.open_cents > 0), key=lambda one: (one.due_on, one.id))
    named = [one for one in open_ones if _named(one, reference)]
    same = [one for one in open_ones if one.open_cents == amount_cents]
    if named:
        first, why = named, "its reference"
    elif len(same) == 1:
        first, why = same, "the same amount"
    else:
        first, why = [], ""
    rest = [one for one in open_ones if one not in first]
    offered, left = [], amount_cents
    for one in (*first, *rest):
        part = min(left, one.open_cents)
        if part > 0:
            offered.append(Match(one.id, part, why if one in first else "the oldest open"))
            left -= part
    return offered


def _named(one: OpenInvoice, reference: str) -> bool:
    words = bare_reference(reference)
    known = (bare_reference(text) for text in (one.number, one.payer_reference))
    return any(len(text) > 2 and text in words for text in known)


def bare_reference(text: str) -> str:
    """Letters and digits only, in lower case: ``# HS-2207`` and ``hs 2207`` are the same reference."""
    return "".join(letter for letter in fold(text) if letter.isalnum())


def owed_cents(invoices: Iterable[OpenInvoice]) -> int:
    """What is open of some invoices, in cents."""
    return sum(one.open_cents for one in invoices)


def left_over_cents(amount_cents: int, matches: Iterable[Match]) -> int:
    """What is left of a payment, in cents, once it has settled what is offered: the customer's credit."""
    return amount_cents - sum(one.amount_cents for one in matches)
