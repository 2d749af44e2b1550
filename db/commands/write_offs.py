"""What the owner gives up after the price was agreed: money written off, with the reason."""

from __future__ import annotations

from datetime import date

from db.commands.checks import needed
from db.commands.log_checks import loggable_job, remove_entry
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import price_adjustment
from domain.actuals import PriceAdjustment

WRITE_OFF = "write_off"


def write_off(
    edit: Edit, job_id: int, day: date, amount_cents: int, reason: str, *, today: date | None = None
) -> int:
    """Note money of the agreed price that will not be paid and return the entry's id; the amount is positive.

    Raises:
        Refused: closed job, a day before it was opened or after today, no amount, no reason.
    """
    loggable_job(edit, job_id, day, today)
    if amount_cents <= 0:
        raise Refused("A write-off is more than nothing.", "Type the amount that will not be paid.")
    reason = needed(reason, "Say in a few words why it is written off; it is looked at when margins are.")
    return edit.add(
        price_adjustment, job_id=job_id, day=day, kind=WRITE_OFF, amount_cents=amount_cents, reason=reason
    )


def remove_write_off(edit: Edit, entry_id: int) -> None:
    """Take a write-off back."""
    remove_entry(edit, price_adjustment, fetch_one(edit.conn, PriceAdjustment, price_adjustment, entry_id))
