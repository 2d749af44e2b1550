"""What merging two customers would change."""

from __future__ import annotations

from sqlalchemy import Connection, Table, func, select

from db.records import fetch_all, fetch_one
from db.tables import contact, customer, invoice, job, paper, payment, property_
from domain.merging import CUSTOMER_RULES, MergePlan
from domain.people import Contact, Customer
from domain.words import phone_digits


def merge_plan(conn: Connection, kept_id: int, other_id: int) -> MergePlan:
    """What of the other goes to the kept one, in eleven statements or fewer.

    Raises:
        LookupError: one of them is not there.
    """
    kept, other = (fetch_one(conn, Customer, customer, one) for one in (kept_id, other_id))
    new, same = sorted_contacts(conn, kept_id, other_id)

    def count(table: Table) -> int:
        return int(conn.execute(select(func.count()).where(table.c.customer_id == other_id)).scalar_one())

    after = {name: rule(kept, other) for name, rule in CUSTOMER_RULES.items()}
    note, billing = str(after["note"]), str(after["billing_address"])
    return MergePlan(
        kept_name=kept.name, other_name=other.name, properties=count(property_), jobs=count(job), contacts=len(new),
        same_contacts=len(same), invoices=count(invoice), payments=count(payment), papers=count(paper), note=note,
        note_grows=note != kept.note.strip(), billing_taken=billing != kept.billing_address, after=after,
    )  # fmt: skip


def sorted_contacts(
    conn: Connection, kept_id: int, other_id: int
) -> tuple[list[Contact], list[tuple[Contact, Contact]]]:
    """The other's phones and mails: those the kept one lacks, and those it has, each beside the kept one's own."""
    had = {_reached(one): one for one in fetch_all(conn, Contact, contact, contact.c.customer_id == kept_id)}
    new: list[Contact] = []
    same: list[tuple[Contact, Contact]] = []
    for one in fetch_all(conn, Contact, contact, contact.c.customer_id == other_id):
        if (kept := had.get(_reached(one))) is None:
            new.append(one)
        else:
            same.append((kept, one))
    return new, same


def _reached(one: Contact) -> tuple[str, str]:
    return one.kind, phone_digits(one.value) if one.kind == "phone" else one.value.strip().casefold()
