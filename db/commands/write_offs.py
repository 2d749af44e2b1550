"""What the owner gives up after the price was agreed: money written off, with the reason."""

from __future__ import annotations

from datetime import date

from db.commands.checks import count_where, needed
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import bad_debt, invoice, job, price_adjustment
from domain.actuals import PriceAdjustment
from domain.jobs import Job
from domain.log_entry import day_problem

WRITE_OFF = "write_off"


def write_off(
    edit: Edit, job_id: int, day: date, amount_cents: int, reason: str, *, today: date | None = None
) -> int:
    """Note money of the agreed price that will not be paid and return the entry's id; the amount is positive.

    Raises:
        Refused: a day before the job was opened or after today, no amount, no reason. A closed job is none:
            money that never comes is known late.
    """
    if problem := day_problem(day, fetch_one(edit.conn, Job, job, job_id).opened_on, today):
        raise Refused(problem, "Change the day.")
    if amount_cents <= 0:
        raise Refused("A write-off is more than nothing.", "Type the amount that will not be paid.")
    reason = needed(reason, "Say in a few words why it is written off; it is looked at when margins are.")
    return edit.add(
        price_adjustment, job_id=job_id, day=day, kind=WRITE_OFF, amount_cents=amount_cents, reason=reason
    )


def remove_write_off(edit: Edit, entry_id: int) -> None:
    """Take a write-off back.

    Raises:
        Refused: it belongs to a credit note, a discount or a bad debt.
    """
    linked = (invoice.c.write_off_id, bad_debt.c.write_off_id)
    if any(count_where(edit.conn, column.table, column == entry_id) for column in linked):
        raise Refused(
            "This write-off belongs to an invoice: a credit note, a discount or a bad debt.",
            "It is put right on the job's Money section.",
        )
    edit.remove(price_adjustment, fetch_one(edit.conn, PriceAdjustment, price_adjustment, entry_id).id)
