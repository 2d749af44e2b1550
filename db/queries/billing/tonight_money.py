"""What Tonight says about money: overdue, finished and not invoiced, deposits to ask for, payments not matched."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, and_, bindparam, exists, func, or_, select

from db.queries.billing.open_items import open_invoices
from db.queries.billing.payment_list import Unmatched, unmatched
from db.queries.tonight import Band, JobName
from db.tables import bad_debt, customer, invoice, job, job_type, price_adjustment, property_, quote
from domain.billing.matching import OpenInvoice

SHOWN = 4


@dataclass(frozen=True, slots=True)
class OverdueInvoice:
    """An open invoice past its due day."""

    invoice: OpenInvoice
    customer: str
    job_number: str


@dataclass(frozen=True, slots=True)
class ToInvoice:
    """A job whose work stands or that was closed, without a final invoice; or whose deposit was not asked for."""

    name: JobName
    since: date  # the work stood or the job was closed, or the proposal was accepted
    cents: int  # what was agreed before tax, or the deposit
    closed: bool = False
    credited: bool = False  # a final invoice stands, and a part of it was credited as invoiced wrongly


@dataclass(frozen=True, slots=True)
class MoneyTonight:
    """All of it, each band with its count."""

    overdue: Band[OverdueInvoice]
    overdue_cents: int
    finished: Band[ToInvoice]
    deposits: Band[ToInvoice]
    unmatched: Unmatched

    @property
    def to_do(self) -> int:
        """How many things wait."""
        bands = self.overdue.total + self.finished.total + self.deposits.total
        return bands + (1 if self.unmatched.count else 0)


def money_tonight(conn: Connection, today: date, shown: int = SHOWN) -> MoneyTonight:
    """What waits about money, in six statements however large the company is."""
    late = open_invoices(conn, invoice.c.due_on < today)
    names = _names(conn, late[:shown])
    return MoneyTonight(
        overdue=Band(tuple(OverdueInvoice(one, *names[one.id]) for one in late[:shown]), len(late)),
        overdue_cents=sum(one.open_cents for one in late),
        finished=_together(_band(conn, _credited(), shown, credited=True), _band(conn, _finished(), shown), shown),
        deposits=_band(conn, _deposits(), shown),
        unmatched=unmatched(conn),
    )


def _names(conn: Connection, late: list[OpenInvoice]) -> dict[int, tuple[str, str]]:
    rows = conn.execute(
        select(invoice.c.id, customer.c.name, func.coalesce(job.c.number, ""))
        .join(customer, customer.c.id == invoice.c.customer_id)
        .outerjoin(job, job.c.id == invoice.c.job_id)
        .where(invoice.c.id.in_([one.id for one in late]))
    )
    return {row[0]: (row[1], row[2]) for row in rows}


def _together(first: Band[ToInvoice], second: Band[ToInvoice], shown: int) -> Band[ToInvoice]:
    return Band((*first.rows, *second.rows)[:shown], first.total + second.total)


def _band(conn: Connection, query: Select[Any], shown: int, *, credited: bool = False) -> Band[ToInvoice]:
    rows = conn.execute(query, {"shown": shown}).all()
    made = tuple(ToInvoice(JobName(*row[:5]), row[5], row[6] or 0, bool(row[7]), credited) for row in rows)
    return Band(made, int(rows[0][8]) if rows else 0)


def _named(since: Any, cents: Any, invoiced: bool = False) -> Select[Any]:
    what = func.coalesce(func.nullif(job.c.title, ""), job_type.c.name)
    return (
        select(
            job.c.id, job.c.number, customer.c.name, what, property_.c.street, since, cents,
            job.c.closed_on.is_not(None), func.count().over(),
        )
        .select_from(job)
        .join(customer, customer.c.id == job.c.customer_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(quote, quote.c.job_id == job.c.id)
        .where(
            job.c.cancelled_on.is_(None), job.c.invoiced_on.is_not(None) if invoiced else job.c.invoiced_on.is_(None),
            quote.c.kind == "proposal", quote.c.accepted_on.is_not(None),
        )
        .order_by(since, job.c.id)
        .limit(bindparam("shown"))
    )  # fmt: skip


@cache
def _finished() -> Select[Any]:
    """Closing a job does not pay for it: it is named until it is invoiced or written off."""
    agreed = quote.c.price_cents - quote.c.goodwill_cents + _orders
    return _named(func.coalesce(job.c.installed_on, job.c.closed_on), agreed).where(
        or_(job.c.installed_on.is_not(None), job.c.closed_on.is_not(None)), agreed > _written_off
    )


def _sum_of_job(table: Any, cents: Any, *where: Any) -> Any:
    return select(func.coalesce(func.sum(cents), 0)).where(table.c.job_id == job.c.id, *where).scalar_subquery()


_order = quote.alias("change_order")
_orders = _sum_of_job(
    _order, _order.c.price_cents - _order.c.goodwill_cents,
    _order.c.kind == "change_order", _order.c.accepted_on.is_not(None),
)  # fmt: skip
_written_off = _sum_of_job(price_adjustment, price_adjustment.c.amount_cents)


@cache
def _credited() -> Select[Any]:
    """Invoiced, and of it credited what was invoiced wrongly: what was agreed is still to be asked for."""
    agreed = quote.c.price_cents - quote.c.goodwill_cents + _orders
    note = invoice.c
    wrongly = exists().where(
        note.job_id == job.c.id, note.kind == "credit_note", note.issued_on.is_not(None), note.write_off_id.is_(None)
    )
    stands = _sum_of_job(invoice, note.net_cents, note.issued_on.is_not(None))
    of_job = bad_debt.join(invoice, note.id == bad_debt.c.invoice_id)
    lost = (
        select(func.coalesce(func.sum(bad_debt.c.net_cents), 0))
        .select_from(of_job)
        .where(note.job_id == job.c.id)
        .correlate(job)
        .scalar_subquery()
    )
    left = agreed - _written_off - (stands - lost)
    return _named(job.c.invoiced_on, left, invoiced=True).where(wrongly, left > 0)


@cache
def _deposits() -> Select[Any]:
    kinds = invoice.c.kind.in_(("deposit", "progress"))
    asked = exists().where(and_(invoice.c.job_id == job.c.id, kinds, invoice.c.issued_on.is_not(None)))
    return _named(quote.c.accepted_on, quote.c.deposit_cents).where(
        job.c.installed_on.is_(None), job.c.closed_on.is_(None), quote.c.deposit_cents > 0, ~asked
    )
