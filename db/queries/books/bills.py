"""Suppliers' bills with what is open of them, and what is in a log but on no bill, or the other way round."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, Subquery, func, literal, or_, select

from db.queries.exact import amount_cents
from db.records import fetch, fetch_all, fetch_one
from db.tables import bill, bill_line, bill_payment, item, job, material_use, other_cost, supplier
from domain.bills import FOR_A_JOB, Bill, BillLine, BillPayment, OpenBill, Payables, payables

NEWEST = 400
"""So many bills a list shows."""


def paid_of_bills(day: date | None = None) -> Subquery:
    """A row a bill: how much of it is paid or set off, up to a day."""
    query = select(bill_payment.c.bill_id.label("of"), func.sum(bill_payment.c.amount_cents).label("cents"))
    if day is not None:
        query = query.where(bill_payment.c.paid_on <= day)
    return query.group_by(bill_payment.c.bill_id).subquery("paid")


def open_bills(conn: Connection, *where: Any, day: date | None = None, settled_too: bool = False) -> list[OpenBill]:
    """Bills with what is open of them on a day (None: by all that is entered), the oldest due first. One statement."""
    paid = paid_of_bills(day)
    total = bill.c.net_cents + bill.c.tax_cents
    rest = total - func.coalesce(paid.c.cents, 0)
    due = func.coalesce(bill.c.due_on, bill.c.billed_on, type_=bill.c.due_on.type)
    query = (
        select(
            bill.c.id, bill.c.supplier_id, supplier.c.name, bill.c.kind, bill.c.number, bill.c.billed_on, due, total,
            rest,
        )
        .join(supplier, supplier.c.id == bill.c.supplier_id)
        .outerjoin(paid, paid.c.of == bill.c.id)
        .where(*where)
        .order_by(due, bill.c.id)
    )
    if day is not None:
        query = query.where(bill.c.billed_on <= day)
    if not settled_too:
        query = query.where(rest != 0)
    return fetch(conn, OpenBill, query)


def payables_at(conn: Connection, day: date) -> Payables:
    """What is owed to every supplier on a day, by age."""
    return payables(day, open_bills(conn, day=day))


def owed_to_suppliers(conn: Connection) -> int:
    """The balance of `payables_at` by all that is entered, sooner: bills less what was paid. Two statements."""
    billed = conn.execute(select(func.sum(bill.c.net_cents + bill.c.tax_cents))).scalar() or 0
    paid = conn.execute(select(func.sum(bill_payment.c.amount_cents))).scalar() or 0
    return int(billed) - int(paid)


def open_of_bill(conn: Connection, bill_id: int) -> int:
    """What is open of one bill; below nothing for a credit."""
    total = select(bill.c.net_cents + bill.c.tax_cents).where(bill.c.id == bill_id).scalar_subquery()
    paid = (
        select(func.coalesce(func.sum(bill_payment.c.amount_cents), 0))
        .where(bill_payment.c.bill_id == bill_id)
        .scalar_subquery()
    )
    return int(conn.execute(select(total - paid)).scalar_one())


@dataclass(frozen=True, slots=True)
class BillRow:
    """A bill as the list shows it."""

    id: int
    supplier_id: int
    supplier: str
    kind: str
    number: str
    billed_on: date
    due_on: date | None
    total_cents: int
    open_cents: int
    to_log: int  # lines for a job that its log does not have
    attachment_id: int | None
    note: str


def bill_rows(conn: Connection, *, words: str = "", which: str = "all") -> list[BillRow]:
    """The newest bills, or those that are open or have lines to log; one statement.

    Args:
        words: part of a supplier's name or a number.
        which: all | open | to_log.
    """
    paid = (
        select(func.coalesce(func.sum(bill_payment.c.amount_cents), 0))
        .where(bill_payment.c.bill_id == bill.c.id)
        .correlate(bill)
        .scalar_subquery()
    )
    to_log = (
        select(func.count())
        .select_from(bill_line)
        .where(bill_line.c.bill_id == bill.c.id, *_not_logged())
        .correlate(bill)
        .scalar_subquery()
    )
    total = bill.c.net_cents + bill.c.tax_cents
    query = select(
        bill.c.id, bill.c.supplier_id, supplier.c.name, bill.c.kind, bill.c.number, bill.c.billed_on, bill.c.due_on,
        total, total - paid, to_log, bill.c.attachment_id, bill.c.note,
    ).join(supplier, supplier.c.id == bill.c.supplier_id)  # fmt: skip
    if words.strip():
        like = f"%{words.strip()}%"
        query = query.where(or_(supplier.c.name.ilike(like), bill.c.number.ilike(like)))
    if which == "open":
        query = query.where(total != paid)
    if which == "to_log":
        query = query.where(bill.c.id.in_(select(bill_line.c.bill_id).where(*_not_logged())))
    return fetch(conn, BillRow, query.order_by(bill.c.billed_on.desc(), bill.c.id.desc()).limit(NEWEST))


def _not_logged() -> tuple[Any, ...]:
    line = bill_line.c
    return (
        line.job_id.is_not(None), line.kind.in_(FOR_A_JOB), line.net_cents > 0, line.material_use_id.is_(None),
        line.other_cost_id.is_(None),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WholeBill:
    """One bill with its lines and payments."""

    bill: Bill
    supplier: str
    lines: tuple[BillLine, ...]
    payments: tuple[BillPayment, ...]
    jobs: dict[int, str]  # number by id, of the lines' jobs

    @property
    def open_cents(self) -> int:
        return self.bill.total_cents - sum(one.amount_cents for one in self.payments)


def whole_bill(conn: Connection, bill_id: int) -> WholeBill:
    """One bill. Raises LookupError when there is none."""
    kept = fetch_one(conn, Bill, bill, bill_id)
    lines = fetch_all(
        conn, BillLine, bill_line, bill_line.c.bill_id == bill_id, order=(bill_line.c.position, bill_line.c.id)
    )
    paid = fetch_all(
        conn, BillPayment, bill_payment, bill_payment.c.bill_id == bill_id,
        order=(bill_payment.c.paid_on, bill_payment.c.id),
    )  # fmt: skip
    ids = {line.job_id for line in lines if line.job_id is not None}
    numbers = {row[0]: row[1] for row in conn.execute(select(job.c.id, job.c.number).where(job.c.id.in_(ids)))}
    name = conn.execute(select(supplier.c.name).where(supplier.c.id == kept.supplier_id)).scalar_one()
    return WholeBill(kept, name, tuple(lines), tuple(paid), numbers)


@dataclass(frozen=True, slots=True)
class LoggedUnbilled:
    """An entry of a job's log that was bought for it, and that no bill has."""

    table: str  # material_use | other_cost
    id: int
    job_id: int
    job: str
    day: date
    kind: str  # as a bill line's
    words: str
    receipt: str
    cents: int


def logged_without_bill(conn: Connection, *where_job: Any, limit: int | None = NEWEST) -> list[LoggedUnbilled]:
    """What the logs say was bought for jobs and no bill has: receipts, subcontractors, permits, equipment."""
    use, cost = material_use.c, other_cost.c
    used = (
        select(
            literal("material_use").label("from"), use.id.label("id"), use.job_id.label("job_id"),
            job.c.number.label("number"), use.day.label("day"), literal("materials").label("kind"),
            func.coalesce(item.c.name, use.description).label("words"), use.receipt.label("receipt"),
            amount_cents(use.quantity, use.unit_cost).label("cents"),
        )
        .select_from(material_use)
        .join(job, job.c.id == use.job_id)
        .outerjoin(item, item.c.id == use.item_id)
        .where(
            use.source == "receipt", *where_job,
            use.id.not_in(select(bill_line.c.material_use_id).where(bill_line.c.material_use_id.is_not(None))),
        )
    )  # fmt: skip
    paid = (
        select(
            literal("other_cost"), cost.id, cost.job_id, job.c.number, cost.day, cost.kind, cost.description,
            literal(""), amount_cents(cost.quantity, cost.unit_cost),
        )
        .select_from(other_cost)
        .join(job, job.c.id == cost.job_id)
        .where(
            cost.kind.in_(FOR_A_JOB), *where_job,
            cost.id.not_in(select(bill_line.c.other_cost_id).where(bill_line.c.other_cost_id.is_not(None))),
        )
    )  # fmt: skip
    both = used.union_all(paid).subquery("both")
    query = select(both).order_by(both.c.day.desc(), both.c.id.desc())
    return fetch(conn, LoggedUnbilled, query if limit is None else query.limit(limit))
