"""A paper as it was issued, as stored and as a list shows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class IssuedPaper:
    id: int
    kind: str  # a key of PAPER_KINDS
    number: str
    title: str
    issued_on: date
    issued_at: str  # ISO 8601 with offset
    sent_to: str
    customer_id: int | None
    job_id: int | None
    quote_id: int | None
    invoice_id: int | None
    payment_id: int | None
    pages: int
    sha256: str


@dataclass(frozen=True, slots=True)
class PaperRow:
    """An issued paper as a list shows it."""

    id: int
    kind: str
    number: str
    title: str
    issued_on: date
    sent_to: str
    customer: str
    job_number: str
    job_id: int | None
    pages: int
