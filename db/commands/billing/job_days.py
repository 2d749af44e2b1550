"""The job's days of invoice and payment, kept in step with its invoices."""

from __future__ import annotations

from datetime import date

from sqlalchemy import func, select

from db.edit import Edit
from db.queries.billing.contracts import job_invoiced
from db.queries.billing.open_items import open_invoices
from db.tables import invoice, job, settlement


def refresh_job_days(edit: Edit, job_id: int | None) -> None:
    """Set or clear the job's days: invoiced is the day of the last final invoice that stands, paid the day on which
    nothing of any of its invoices was open any more. A job without issued invoices keeps what was noted by hand.
    """
    if job_id is None:
        return
    so_far = job_invoiced(edit.conn, job_id)
    if not so_far.standing:
        return
    finals = [one.invoice_id for one in so_far.standing if one.kind == "final" and not one.gone]
    invoiced_on: date | None = None
    if finals:
        newest = select(func.max(invoice.c.issued_on)).where(invoice.c.id.in_(finals))
        invoiced_on = edit.conn.execute(newest).scalar()
    paid_on: date | None = None
    if invoiced_on is not None and not open_invoices(edit.conn, invoice.c.job_id == job_id):
        last = (
            select(func.max(settlement.c.settled_on))
            .join(invoice, invoice.c.id == settlement.c.invoice_id)
            .where(invoice.c.job_id == job_id)
        )
        settled = edit.conn.execute(last).scalar()
        paid_on = invoiced_on if settled is None else max(settled, invoiced_on)
    edit.change(job, job_id, invoiced_on=invoiced_on, paid_on=paid_on)
