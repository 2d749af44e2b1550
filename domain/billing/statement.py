"""A statement of account: what was invoiced and what came, day by day, with the balance after each line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date


@dataclass(frozen=True, slots=True)
class AccountLine:
    """One event of a customer's account.

    Attributes:
        kind: invoice | credit_note | payment | refund | returned | bad_debt.
        words: what it is, e.g. "Final invoice I26-0004".
        amount_cents: what the customer owes more (positive) or less (negative).
        balance_cents: what is owed after it; filled in by `statement`.
        due_on: of an invoice.
        row_id: the invoice, payment or bad debt.
    """

    day: date
    kind: str
    words: str
    amount_cents: int
    row_id: int
    job: str = ""
    due_on: date | None = None
    balance_cents: int = 0


@dataclass(frozen=True, slots=True)
class Statement:
    """A customer's account from one day to another."""

    customer_id: int
    starts_on: date | None  # None: from the first line
    ends_on: date
    opening_cents: int
    lines: tuple[AccountLine, ...]

    @property
    def closing_cents(self) -> int:
        """What is owed at the end; below nothing: the customer has a credit."""
        return self.lines[-1].balance_cents if self.lines else self.opening_cents


_ORDER = {"invoice": 0, "credit_note": 1, "payment": 2, "returned": 3, "refund": 4, "bad_debt": 5}


def statement(
    customer_id: int, events: Iterable[AccountLine], ends_on: date, starts_on: date | None = None
) -> Statement:
    """Put a customer's events in order and add them up; those before `starts_on` make the opening balance."""
    known = [one for one in events if one.day <= ends_on]
    known.sort(key=lambda one: (one.day, _ORDER.get(one.kind, 9), one.row_id))
    opening = sum(one.amount_cents for one in known if starts_on is not None and one.day < starts_on)
    balance, lines = opening, []
    for one in known:
        if starts_on is not None and one.day < starts_on:
            continue
        balance += one.amount_cents
        lines.append(replace(one, balance_cents=balance))
    return Statement(customer_id, starts_on, ends_on, opening, tuple(lines))
