"""Suppliers' bills, receipts and credits: what they were for, what is owed on them, and how old that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from domain.billing.aging import BUCKETS, bucket_of

BILL_KINDS = {"bill": "Bill", "receipt": "Receipt", "credit": "Credit"}

BILL_LINE_KINDS = {
    "materials": "Materials",
    "truck_stock": "Truck stock",
    "subcontractor": "Subcontractor",
    "permit": "Permit",
    "equipment": "Equipment",
    "overhead": "Overhead",
}
"""What a line of a bill is for, with the words for it."""

FOR_A_JOB = ("materials", "subcontractor", "permit", "equipment")
"""Kinds that can stand in a job's log."""

BILL_MEANS = {
    "check": "Check",
    "card": "Card",
    "cash": "Cash",
    "transfer": "Bank transfer",
    "other": "Other",
}
SET_OFF = "set_off"
"""How a bill is paid by a supplier's credit: no money moves."""


@dataclass(frozen=True, slots=True)
class Bill:
    id: int
    supplier_id: int
    kind: str  # one of BILL_KINDS; a credit has negative amounts
    number: str  # theirs
    billed_on: date
    due_on: date | None
    net_cents: int
    tax_cents: int
    note: str
    attachment_id: int | None

    @property
    def total_cents(self) -> int:
        """What it comes to, tax included."""
        return self.net_cents + self.tax_cents

    @property
    def name(self) -> str:
        """As lists call it: "Bill 4711", "Receipt"."""
        return f"{BILL_KINDS[self.kind]} {self.number}".strip()


@dataclass(frozen=True, slots=True)
class BillLine:
    id: int
    bill_id: int
    position: int
    kind: str  # one of BILL_LINE_KINDS
    description: str
    net_cents: int
    job_id: int | None
    purchase_id: int | None
    material_use_id: int | None
    other_cost_id: int | None

    @property
    def logged(self) -> bool:
        """It stands in its job's log."""
        return self.material_use_id is not None or self.other_cost_id is not None

    @property
    def to_log(self) -> bool:
        """It is for a job, and the job's log does not have it yet."""
        return self.job_id is not None and self.kind in FOR_A_JOB and not self.logged and self.net_cents > 0


@dataclass(frozen=True, slots=True)
class BillPayment:
    id: int
    bill_id: int
    paid_on: date
    amount_cents: int
    means: str  # one of BILL_MEANS, or SET_OFF
    reference: str


@dataclass(frozen=True, slots=True)
class BillLineDraft:
    """A line as it is entered."""

    kind: str
    net_cents: int
    description: str = ""
    job_id: int | None = None
    purchase_id: int | None = None
    material_use_id: int | None = None
    other_cost_id: int | None = None


@dataclass(frozen=True, slots=True)
class OpenBill:
    """A bill, receipt or credit with what is open of it; a credit's open amount is below nothing."""

    id: int
    supplier_id: int
    supplier: str
    kind: str
    number: str
    billed_on: date
    due_on: date
    total_cents: int
    open_cents: int

    def days_overdue(self, day: date) -> int:
        """Days past its due day; below nothing before it."""
        return (day - self.due_on).days


@dataclass(frozen=True, slots=True)
class PayableRow:
    """What is owed to one supplier, by age.

    Attributes:
        buckets: cents in the order of `domain.billing.aging.BUCKETS`.
        credit_cents: credits not set off yet, as a positive amount.
    """

    supplier_id: int
    supplier: str
    buckets: tuple[int, ...]
    credit_cents: int
    oldest_days: int

    @property
    def balance_cents(self) -> int:
        """What is owed, less credits."""
        return sum(self.buckets) - self.credit_cents


@dataclass(frozen=True, slots=True)
class Payables:
    """What is owed to every supplier on a day; the oldest first."""

    day: date
    rows: tuple[PayableRow, ...]

    @property
    def buckets(self) -> tuple[int, ...]:
        """The sum of each column."""
        return tuple(sum(row.buckets[place] for row in self.rows) for place in range(len(BUCKETS)))

    @property
    def credit_cents(self) -> int:
        """All credits that wait."""
        return sum(row.credit_cents for row in self.rows)

    @property
    def balance_cents(self) -> int:
        """The payables of the books."""
        return sum(self.buckets) - self.credit_cents


def payables(day: date, bills: Iterable[OpenBill]) -> Payables:
    """Sort what is open into buckets by days past due, a row a supplier."""
    sums: dict[int, list[int]] = {}
    credits: dict[int, int] = {}
    oldest: dict[int, int] = {}
    names: dict[int, str] = {}
    for one in bills:
        if one.open_cents == 0:
            continue
        names[one.supplier_id] = one.supplier
        row = sums.setdefault(one.supplier_id, [0] * len(BUCKETS))
        if one.open_cents < 0:
            credits[one.supplier_id] = credits.get(one.supplier_id, 0) - one.open_cents
            continue
        late = one.days_overdue(day)
        row[bucket_of(late)] += one.open_cents
        oldest[one.supplier_id] = max(oldest.get(one.supplier_id, late), late)
    rows = [
        PayableRow(one, names[one], tuple(row), credits.get(one, 0), oldest.get(one, 0)) for one, row in sums.items()
    ]
    rows.sort(key=lambda row: (-row.oldest_days, row.supplier, row.supplier_id))
    return Payables(day, tuple(rows))


def bill_problem(kind: str, lines: Iterable[BillLineDraft], tax_cents: int) -> str | None:
    """What is wrong with the amounts of a bill as entered (a credit is entered above nothing too), or None."""
    lines = tuple(lines)
    if kind not in BILL_KINDS:
        return f"“{kind}” is no kind of bill."
    if not lines:
        return "There is nothing on it yet. Type what it was for."
    for line in lines:
        if line.kind not in BILL_LINE_KINDS:
            return f"“{line.kind}” is nothing a bill line can be for."
        if line.net_cents == 0:
            return f"“{line.description or BILL_LINE_KINDS[line.kind]}” comes to nothing. Type its amount."
        if line.job_id is not None and line.kind not in FOR_A_JOB:
            return f"{BILL_LINE_KINDS[line.kind]} belongs to no job. Choose another kind, or leave the job out."
    if sum(line.net_cents for line in lines) <= 0:
        return "Its lines come to nothing or less. What a supplier gives back is entered as a credit."
    if tax_cents < 0:
        return "Sales tax is not less than nothing. Type it as it stands on the paper."
    return None
