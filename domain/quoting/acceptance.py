"""Taking back a noted acceptance: what stands in the way, and what follows, said before it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from domain.dates import format_day_short
from domain.money import format_money


@dataclass(frozen=True, slots=True)
class AcceptedQuote:
    """An accepted quote with what hangs on its acceptance."""

    name: str  # "Version 2", "Change order 1"
    job_number: str
    is_order: bool
    closed_on: date | None
    orders: int  # proposals: change orders on the job that are not declined
    invoices: tuple[str, ...]  # invoices with a line of this quote; "a draft" for one without a number
    net_price_cents: int
    options: int  # chosen with it
    logged_minutes: int
    scheduled_on: date | None
    cleared_entries: int  # orders: log entries that count as quoted since its acceptance

    def hindrance(self) -> tuple[str, str]:
        """(why not, what to do first); empty when nothing is in the way."""
        if self.closed_on:
            return (f"Job {self.job_number} was closed on {format_day_short(self.closed_on)}.", "Reopen it first.")
        if self.invoices:
            return (
                f"{self.name} is on invoice {', '.join(self.invoices)}.",
                "Credit what was issued and delete drafts, then take the acceptance back.",
            )
        if self.orders:
            many = "A change order stands" if self.orders == 1 else f"{self.orders} change orders stand"
            return (f"{many} on {self.name}.", "Take back or delete what changes it first.")
        return ("", "")

    def words(self) -> tuple[str, ...]:
        """What follows, in sentences for the owner."""
        said = [f"{self.name} counts as sent again: it can be accepted, declined or revised."]
        if self.is_order:
            said.append(f"The agreed price changes by {format_money(-self.net_price_cents)}.")
            if self.cleared_entries:
                entries = "1 log entry counts" if self.cleared_entries == 1 else f"{self.cleared_entries} entries count"
                said.append(f"{entries} as not quoted again.")
            return tuple(said)
        said.append(f"Job {self.job_number} has no agreed price then and is not in Margins.")
        if self.options:
            said.append("The chosen options are open again.")
        if self.logged_minutes:
            said.append("What was logged stays, compared with no quote.")
        if self.scheduled_on:
            said.append(f"The work day, {format_day_short(self.scheduled_on)}, stays booked.")
        return tuple(said)
