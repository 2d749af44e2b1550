"""Invoices with their lines, payments, bad debts and what settles what, as stored."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

INVOICE_KINDS = {
    "deposit": "Deposit invoice",
    "progress": "Progress invoice",
    "final": "Final invoice",
    "other": "Invoice",
    "credit_note": "Credit note",
}
"""Kinds of invoice with their words."""

LINE_KINDS = ("contract", "option", "change_order", "earlier", "discount", "extra", "deposit")

PAYMENT_KINDS = {"payment": "Payment", "refund": "Refund", "returned": "Returned check"}

MEANS = {
    "check": "Check",
    "card": "Card",
    "cash": "Cash",
    "transfer": "Bank transfer",
    "escrow": "Closing escrow",
    "other": "Other",
}
"""How money comes and goes, with the words for it."""


@dataclass(frozen=True, slots=True)
class Invoice:
    id: int
    kind: str  # one of INVOICE_KINDS
    number: str | None  # None: a draft
    customer_id: int
    job_id: int | None
    bill_to: str
    payer_id: int | None
    payer_reference: str
    created_on: date
    issued_on: date | None
    due_on: date | None
    tax_treatment: str
    tax_percent: Decimal
    tax_place: str
    terms_text: str
    note: str
    credits_id: int | None
    reason: str
    net_cents: int | None
    taxable_cents: int | None
    tax_cents: int | None
    write_off_id: int | None

    @property
    def issued(self) -> bool:
        """An issued invoice never changes; it is only credited."""
        return self.issued_on is not None

    @property
    def total_cents(self) -> int:
        """What it asks for, tax included; 0 for a draft, whose amounts stand on its lines."""
        return (self.net_cents or 0) + (self.tax_cents or 0)

    @property
    def gives_up(self) -> bool:
        """A credit note for money that will not be asked for again."""
        return self.kind == "credit_note" and self.write_off_id is not None

    @property
    def name(self) -> str:
        """As lists call it: "Final invoice I26-0004", "Deposit invoice, draft"."""
        words = INVOICE_KINDS[self.kind]
        return f"{words} {self.number}" if self.number else f"{words}, draft"


@dataclass(frozen=True, slots=True)
class InvoiceLine:
    id: int
    invoice_id: int
    position: int
    kind: str  # one of LINE_KINDS
    description: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net_cents: int
    taxable_cents: int
    quote_id: int | None
    earlier_id: int | None

    @property
    def typed(self) -> bool:
        """Written by the owner, not taken from the contract."""
        return self.kind in ("extra", "discount") and self.quote_id is None


@dataclass(frozen=True, slots=True)
class Payment:
    id: int
    customer_id: int
    job_id: int | None
    received_on: date
    kind: str  # one of PAYMENT_KINDS
    means: str  # one of MEANS
    amount_cents: int  # refund and returned: negative
    payer: str
    reference: str
    number: str | None  # the receipt's
    takes_back_id: int | None
    note: str


@dataclass(frozen=True, slots=True)
class BadDebt:
    id: int
    invoice_id: int
    day: date
    net_cents: int
    tax_cents: int
    reason: str
    write_off_id: int | None

    @property
    def amount_cents(self) -> int:
        """All that will not come, tax included."""
        return self.net_cents + self.tax_cents


@dataclass(frozen=True, slots=True)
class Settlement:
    id: int
    invoice_id: int
    settled_on: date
    amount_cents: int
    payment_id: int | None
    credit_id: int | None
    bad_debt_id: int | None
