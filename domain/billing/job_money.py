"""The money of one job at a glance: agreed, invoiced, settled, open, and what comes next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from domain.billing.amounts import Amounts
from domain.billing.contract import Contract
from domain.billing.invoiced import Invoiced
from domain.billing.matching import OpenInvoice
from domain.billing.records import Invoice, InvoiceLine, Payment
from domain.dates import format_day_short
from domain.jobs import Job, Party
from domain.money import format_money


@dataclass(frozen=True, slots=True)
class Draft:
    """The job's draft: the invoice, its lines, what it comes to, and whether what was agreed has changed since."""

    invoice: Invoice
    lines: tuple[InvoiceLine, ...]
    amounts: Amounts
    stale: bool


@dataclass(frozen=True, slots=True)
class InvoiceRow:
    """An issued invoice or credit note with what is open of it."""

    invoice: Invoice
    open_cents: int
    written_off_cents: int

    def words(self, today: date) -> str:
        """Where it stands: ``settled``, ``due in 4 days``, ``12 days overdue``."""
        if self.invoice.kind == "credit_note":
            return "given up" if self.invoice.gives_up else "taken back"
        if self.open_cents == 0:
            return "written off" if self.written_off_cents == self.invoice.total_cents else "settled"
        due_on = self.invoice.due_on
        return overdue_words((today - due_on).days) if due_on else "open"

    def overdue(self, today: date) -> bool:
        """Open past its due day."""
        due_on = self.invoice.due_on
        return self.open_cents > 0 and due_on is not None and due_on < today


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """Money that came or went, with what is left of it and which invoices it settles (number, cents)."""

    payment: Payment
    left_cents: int
    settles: tuple[tuple[str, int], ...]
    customer: str = ""
    job_number: str = ""
    went_back: str = ""  # "", refund or returned: what happened to it later


@dataclass(frozen=True, slots=True)
class LooseMoney:
    """A customer's invoices that belong to no job."""

    customer_id: int
    draft: Draft | None
    invoices: tuple[InvoiceRow, ...]
    credit_cents: int  # left of all the customer's payments

    @property
    def open_cents(self) -> int:
        """What is open of them."""
        return sum(row.open_cents for row in self.invoices)


@dataclass(frozen=True, slots=True)
class JobMoney:
    """All that the Money section of a job shows."""

    job: Job
    customer: str
    contract: Contract | None
    so_far: Invoiced
    draft: Draft | None
    invoices: tuple[InvoiceRow, ...]
    open_invoices: tuple[OpenInvoice, ...]
    payments: tuple[PaymentRow, ...]
    credit_cents: int  # left of all the customer's payments
    parties: tuple[Party, ...]
    open_orders: int = 0  # change orders that are drafts or wait for an answer

    @property
    def agreed_cents(self) -> int:
        """The contract's total, tax included."""
        return self.contract.total_cents if self.contract else 0

    @property
    def invoiced_cents(self) -> int:
        """All invoices less credit notes, tax included."""
        return sum(row.invoice.total_cents for row in self.invoices)

    @property
    def open_cents(self) -> int:
        """What is open of the job's invoices."""
        return sum(one.open_cents for one in self.open_invoices)

    @property
    def written_off_cents(self) -> int:
        """Bad debts."""
        return sum(row.written_off_cents for row in self.invoices)

    @property
    def paid_cents(self) -> int:
        """What payments have settled."""
        return self.invoiced_cents - self.open_cents - self.written_off_cents

    @property
    def payer(self) -> tuple[str, str]:
        """Who pays the open invoices when not the customer, and the reference: the closing's escrow; else empty."""
        names = {one.id: one.name for one in self.parties}
        for row in self.invoices:
            if row.open_cents > 0 and row.invoice.payer_id is not None:
                return names.get(row.invoice.payer_id, ""), row.invoice.payer_reference
        return "", ""

    @property
    def left_cents(self) -> int:
        """Agreed and not invoiced yet."""
        return self.agreed_cents - self.so_far.total_cents if self.contract else 0

    @property
    def deposit_due_cents(self) -> int:
        """The part of the agreed deposit that was not invoiced yet."""
        if self.contract is None or self.so_far.final:
            return 0
        asked = sum(one.deposit_cents for one in self.so_far.standing)
        return max(self.contract.deposit_cents - asked, 0)

    @property
    def next_step(self) -> str:
        """What comes next: agree, draft, by_hand, over, deposit, work, final, payment or done."""
        if self.contract is None:
            return "agree"
        if self.draft is not None:
            return "draft"
        if not self.invoices and self.job.invoiced_on is not None:
            return "by_hand"
        complete = self.so_far.complete(self.contract)
        if not complete and self.left_cents < 0:
            return "over"
        if not complete and self.job.installed_on is not None:
            return "final"
        if self.deposit_due_cents:
            return "deposit"
        if self.open_cents > 0:
            return "payment"
        return "done" if complete else "work"

    def step_words(self, today: date) -> tuple[str, str]:
        """The next step as a notice says it: its tone, and a sentence."""
        late = [row for row in self.invoices if row.overdue(today)]
        owed = format_money(self.open_cents)
        words = {
            "agree": ("info", "Nothing was agreed yet. Once a proposal is accepted, deposit and invoices start here."),
            "draft": ("info", "A draft is open: look it over, then issue it. Nobody owes it before that."),
            "by_hand": ("info", _by_hand(self.job)),
            "over": (
                "caution",
                f"{format_money(-self.left_cents)} more is invoiced than is agreed now. Credit the last invoice by"
                " that much, as invoiced wrongly.",
            ),
            "deposit": ("info", f"A deposit of {format_money(self.deposit_due_cents)} was agreed and is not invoiced."),
            "final": ("info", f"The work stands; {format_money(self.left_cents)} is left to invoice."),
            "payment": ("caution" if late else "info", f"{owed} is open{_late(late, today, self.open_cents)}."),
            "work": ("info", "The final invoice follows when the work stands (its day is on Facts, Alt+0)."),
            "done": ("good", "Everything that was agreed is invoiced and settled."),
        }
        return words[self.next_step]


def _by_hand(job: Job) -> str:
    if job.invoiced_on is None:
        return ""
    paid = f", paid on {format_day_short(job.paid_on)}" if job.paid_on else ""
    return f"Noted by hand as invoiced on {format_day_short(job.invoiced_on)}{paid}; no invoice was written here."


def _late(late: list[InvoiceRow], today: date, owed_cents: int) -> str:
    if not late:
        return ", nothing of it overdue"
    days = max((today - row.invoice.due_on).days for row in late if row.invoice.due_on)
    overdue = sum(row.open_cents for row in late)
    part = "all of it" if overdue == owed_cents else f"{format_money(overdue)} of it"
    return f"; {part} is overdue, the oldest by {_days(days)}"


def _days(days: int) -> str:
    return f"{days} day{'' if days == 1 else 's'}"


def overdue_words(days: int) -> str:
    """``due today``, ``3 days overdue``, ``due in 4 days``."""
    if days == 0:
        return "due today"
    return f"{_days(days)} overdue" if days > 0 else f"due in {_days(-days)}"
