"""How old what customers owe is: open amounts by days past the due day, with each customer's credit beside them.

Current, 1-30, 31-60, 61-90 and over 90 days: common practice, no source. Age runs from the due day, not from the
day of the invoice; an invoice that is due today is current.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from domain.billing.matching import OpenInvoice

BUCKETS = ("current", "1-30 days", "31-60 days", "61-90 days", "over 90 days")
_LAST_DAYS = (0, 30, 60, 90)


def bucket_of(days_overdue: int) -> int:
    """The place in BUCKETS of an amount so many days past its due day."""
    return sum(days_overdue > last for last in _LAST_DAYS)


@dataclass(frozen=True, slots=True)
class AgingRow:
    """What one customer owes, by age.

    Attributes:
        buckets: cents in the order of BUCKETS.
        credit_cents: payments not matched to an invoice yet, as a positive amount.
        oldest_days: days past due of the oldest open invoice; 0 or less when nothing is overdue.
    """

    customer_id: int
    customer: str
    buckets: tuple[int, int, int, int, int]
    credit_cents: int
    oldest_days: int

    @property
    def open_cents(self) -> int:
        """All that is open on invoices."""
        return sum(self.buckets)

    @property
    def overdue_cents(self) -> int:
        """What is past its due day."""
        return sum(self.buckets[1:])

    @property
    def balance_cents(self) -> int:
        """What the customer owes, less what is there as credit."""
        return self.open_cents - self.credit_cents


@dataclass(frozen=True, slots=True)
class Aging:
    """All customers who owe or have a credit on a day, the oldest debt first, and the sums."""

    day: date
    rows: tuple[AgingRow, ...]

    @property
    def buckets(self) -> tuple[int, ...]:
        """The sum of each column."""
        return tuple(sum(row.buckets[place] for row in self.rows) for place in range(len(BUCKETS)))

    @property
    def open_cents(self) -> int:
        """All that is open."""
        return sum(row.open_cents for row in self.rows)

    @property
    def overdue_cents(self) -> int:
        """All that is past its due day."""
        return sum(row.overdue_cents for row in self.rows)

    @property
    def credit_cents(self) -> int:
        """All that is there as credit."""
        return sum(row.credit_cents for row in self.rows)

    @property
    def balance_cents(self) -> int:
        """The receivables of the books: open less credits."""
        return self.open_cents - self.credit_cents


def aging(
    day: date, invoices: Iterable[OpenInvoice], credits: Mapping[int, int], names: Mapping[int, str]
) -> Aging:
    """Sort open invoices into buckets, a row a customer.

    Args:
        credits: unmatched cents by customer id.
        names: the customers' names by id.
    """
    sums: dict[int, list[int]] = {}
    oldest: dict[int, int] = {}
    for one in invoices:
        if one.open_cents == 0:
            continue
        late = one.days_overdue(day)
        sums.setdefault(one.customer_id, [0] * len(BUCKETS))[bucket_of(late)] += one.open_cents
        oldest[one.customer_id] = max(oldest.get(one.customer_id, late), late)
    owing = {*sums, *(customer_id for customer_id, cents in credits.items() if cents)}
    rows = [
        AgingRow(
            one, names.get(one, ""), _five(sums.get(one, [0] * len(BUCKETS))), credits.get(one, 0), oldest.get(one, 0)
        )
        for one in owing
    ]
    rows.sort(key=lambda row: (-row.oldest_days, -row.open_cents, row.customer, row.customer_id))
    return Aging(day, tuple(rows))


def _five(sums: list[int]) -> tuple[int, int, int, int, int]:
    first, second, third, fourth, fifth = sums
    return first, second, third, fourth, fifth
