"""What the customer list, a customer's page and the form for a new one show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, func, select

from db.queries.job_rows import job_rows
from db.records import fetch_all, fetch_one
from db.tables import contact, customer, job, property_
from domain.duplicates import KeptCustomer, LikelyDuplicate, Traits, likely_duplicates
from domain.jobs import JobRow
from domain.people import Contact, Customer, CustomerRow, Property
from domain.words import fold, search_for

_BREAK = "\n"

__all__ = [
    "CustomerPage",
    "customer_choices",
    "customer_list",
    "customer_page",
    "duplicates_of",
    "kept_customers",
    "properties_of",
]


@dataclass(frozen=True, slots=True)
class CustomerPage:
    """All that a customer's page shows."""

    customer: Customer
    contacts: list[Contact]
    properties: list[Property]  # archived ones last
    jobs: list[JobRow]  # newest first


def _joined(column: Any, *where: Any) -> Any:
    """All values of a column of the customer's rows, one a line."""
    table = column.table
    texts = select(func.aggregate_strings(column, _BREAK)).where(table.c.customer_id == customer.c.id, *where)
    return texts.correlate(customer).scalar_subquery()


def _counted(*where: Any) -> Any:
    jobs = select(func.count()).select_from(job).where(job.c.customer_id == customer.c.id, *where)
    return jobs.correlate(customer).scalar_subquery()


def customer_list(
    conn: Connection, text: str = "", *, archived: bool = False, limit: int | None = None
) -> list[CustomerRow]:
    """Customers by name with the count of their jobs, in one statement; `archived` shows those put away instead."""
    put_away = customer.c.archived_on.is_not(None) if archived else customer.c.archived_on.is_(None)
    shown = select(customer.c.id).where(put_away)
    if limit is not None and not text.strip():
        shown = shown.order_by(func.lower(customer.c.name), customer.c.id).limit(limit)
    query = select(
        customer.c.id, customer.c.kind, customer.c.name,
        _joined(contact.c.value, contact.c.kind == "phone"),
        _joined(contact.c.value, contact.c.kind == "mail"),
        select(func.aggregate_strings(property_.c.street + ", " + property_.c.town, _BREAK))
        .where(property_.c.customer_id == customer.c.id).correlate(customer).scalar_subquery(),
        _counted(), _counted(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None)), _joined(job.c.number),
    ).where(customer.c.id.in_(shown))  # fmt: skip
    rows = [_customer_row(row, archived) for row in conn.execute(query)]
    if text.strip():
        is_wanted = search_for(text)
        rows = [row for row in rows if is_wanted(row.searched)]
    return sorted(rows, key=lambda row: (fold(row.name), row.id))[:limit]


def _customer_row(row: Any, archived: bool) -> CustomerRow:
    row_id, kind, name, phones, mails, houses, jobs, running, numbers = row
    first_place = (houses or "").partition(_BREAK)[0].removesuffix(", ")
    return CustomerRow(
        row_id, kind, name, archived, (phones or "").partition(_BREAK)[0], first_place, jobs or 0, running or 0,
        phones or "", mails or "", houses or "", numbers or "",
    )  # fmt: skip


def customer_page(conn: Connection, customer_id: int, today: date) -> CustomerPage:
    """One customer with phones, mails, properties and jobs.

    Raises:
        LookupError: there is no such customer.
    """
    return CustomerPage(
        customer=fetch_one(conn, Customer, customer, customer_id),
        contacts=fetch_all(conn, Contact, contact, contact.c.customer_id == customer_id),
        properties=properties_of(conn, customer_id),
        jobs=job_rows(conn, today, job.c.customer_id == customer_id),
    )


def kept_customers(conn: Connection, *, but: int | None = None) -> list[KeptCustomer]:
    """Every customer, archived ones too, with what `domain.duplicates` recognises it by; `but` leaves one out."""
    phones, mails, streets = _texts(conn, contact, "phone"), _texts(conn, contact, "mail"), _texts(conn, property_)
    query = select(customer.c.id, customer.c.name, customer.c.archived_on)
    return [
        KeptCustomer(row_id, put_away is not None, Traits(
            name, tuple(phones.get(row_id, ())), tuple(mails.get(row_id, ())), tuple(streets.get(row_id, ())),
        ))
        for row_id, name, put_away in conn.execute(query)
        if row_id != but
    ]  # fmt: skip


def duplicates_of(conn: Connection, entered: Traits, *, but: int | None = None) -> list[LikelyDuplicate]:
    """Customers who may be the one being entered, likeliest first."""
    return likely_duplicates(entered, kept_customers(conn, but=but))


def _texts(conn: Connection, table: Any, kind: str = "") -> dict[int, list[str]]:
    query = select(table.c.customer_id, table.c.value if kind else table.c.street)
    found: dict[int, list[str]] = {}
    for customer_id, text in conn.execute(query.where(table.c.kind == kind) if kind else query):
        found.setdefault(customer_id, []).append(text)
    return found


def properties_of(conn: Connection, customer_id: int) -> list[Property]:
    """The houses of one customer, archived ones last."""
    return fetch_all(
        conn, Property, property_, property_.c.customer_id == customer_id,
        order=(property_.c.archived_on.is_not(None), property_.c.id),
    )  # fmt: skip


def customer_choices(conn: Connection) -> list[tuple[int, str]]:
    """(id, name with the first street) of every customer in use, by name, for a field to choose from."""
    street = (
        select(func.min(property_.c.street)).where(property_.c.customer_id == customer.c.id)
        .correlate(customer).scalar_subquery()
    )  # fmt: skip
    query = select(customer.c.id, customer.c.name, street).where(customer.c.archived_on.is_(None))
    rows = sorted(conn.execute(query).all(), key=lambda row: (fold(row[1]), row[0]))
    return [(row_id, f"{name}, {where}" if where else name) for row_id, name, where in rows]
