"""What the owner does with customers, their phones and mails, and their properties."""

from __future__ import annotations

from datetime import date
from typing import Any

from db.commands.checks import count_where, needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import contact, customer, invoice, job, payment, property_
from domain.people import Customer, Property
from domain.words import phone_digits

KINDS = ("person", "firm")
CONTACT_KINDS = ("phone", "mail")
EARLIEST_YEAR, LATEST_YEAR = 1600, 2199


def add_customer(
    edit: Edit, name: str, on: date, *, kind: str = "person", billing_address: str = "", note: str = ""
) -> int:
    """Add a customer and return the id. `on` is the day the customer came."""
    return edit.add(
        customer, name=_name(name), created_on=on, kind=_kind(kind, KINDS),
        billing_address=billing_address.strip(), note=note.strip(),
    )


def change_customer(edit: Edit, customer_id: int, **values: Any) -> None:
    """Change name, kind, billing_address, note or created_on."""
    only(values, {"name", "kind", "billing_address", "note", "created_on"})
    if "name" in values:
        values["name"] = _name(values["name"])
    if "kind" in values:
        _kind(values["kind"], KINDS)
    edit.change(customer, customer_id, **tidied(values))


def archive_customer(edit: Edit, customer_id: int, on: date) -> None:
    """Put a customer away: no longer in lists, all history kept."""
    edit.change(customer, customer_id, archived_on=on)


def restore_customer(edit: Edit, customer_id: int) -> None:
    """Bring an archived customer back."""
    edit.change(customer, customer_id, archived_on=None)


def delete_customer(edit: Edit, customer_id: int) -> None:
    """Delete a customer who never had a job, with phones, mails and properties.

    Raises:
        Refused: there are jobs, invoices or payments; archiving is offered.
    """
    kept = fetch_one(edit.conn, Customer, customer, customer_id)
    jobs = count_where(edit.conn, job, job.c.customer_id == customer_id)
    if jobs:
        counted = "1 job" if jobs == 1 else f"{jobs} jobs"
        raise Refused(
            f"{kept.name} has {counted}, and removing it would tear holes in their quotes and margins.",
            "Archive the customer instead: it leaves the lists and its history stays.",
        )
    if count_where(edit.conn, invoice, invoice.c.customer_id == customer_id) or count_where(
        edit.conn, payment, payment.c.customer_id == customer_id
    ):
        raise Refused(
            f"{kept.name} has invoices or payments, and the books need to know whose they are.",
            "Archive the customer instead: it leaves the lists and its account stays.",
        )
    edit.remove_where(contact, contact.c.customer_id == customer_id)
    edit.remove_where(property_, property_.c.customer_id == customer_id)
    edit.remove(customer, customer_id)


def add_contact(edit: Edit, customer_id: int, kind: str, value: str, label: str = "") -> int:
    """Add a phone or a mail (kind "phone" or "mail") and return its id."""
    _kind(kind, CONTACT_KINDS)
    return edit.add(
        contact, customer_id=customer_id, kind=kind, value=_reachable(kind, value), label=label.strip()
    )


def change_contact(edit: Edit, contact_id: int, *, value: str | None = None, label: str | None = None) -> None:
    """Change a phone or mail, or what it is called (home, work, evenings)."""
    values: dict[str, Any] = {}
    if value is not None:
        kind = edit.conn.execute(contact.select().where(contact.c.id == contact_id)).one().kind
        values["value"] = _reachable(kind, value)
    if label is not None:
        values["label"] = label.strip()
    if values:
        edit.change(contact, contact_id, **values)


def remove_contact(edit: Edit, contact_id: int) -> None:
    """Take a phone or mail away."""
    edit.remove(contact, contact_id)


def add_property(
    edit: Edit, customer_id: int, street: str, *, town: str = "", region: str = "", postcode: str = "",
    year_built: int | None = None, storeys: str = "", slab: bool = False, basement: bool = False,
    crawl_space: bool = False, existing_system: bool = False, existing_by: str = "", note: str = "",
) -> int:  # fmt: skip
    """Add a house of a customer and return its id; existing_by is who put the existing system in."""
    return edit.add(
        property_, customer_id=customer_id, street=_street(street), town=town.strip(), region=region.strip(),
        postcode=postcode.strip(), year_built=_year(year_built), storeys=storeys.strip(), slab=slab,
        basement=basement, crawl_space=crawl_space, existing_system=existing_system,
        existing_by=existing_by.strip(), note=note.strip(),
    )  # fmt: skip


def change_property(edit: Edit, property_id: int, **values: Any) -> None:
    """Change any field of a property but its customer."""
    only(values, {column.name for column in property_.columns} - {"id", "customer_id", "archived_on"})
    if "street" in values:
        values["street"] = _street(values["street"])
    if "year_built" in values:
        _year(values["year_built"])
    edit.change(property_, property_id, **tidied(values))


def archive_property(edit: Edit, property_id: int, on: date) -> None:
    """Put a property away: no longer offered for new jobs, its jobs are kept."""
    edit.change(property_, property_id, archived_on=on)


def restore_property(edit: Edit, property_id: int) -> None:
    """Offer an archived property for new jobs again."""
    edit.change(property_, property_id, archived_on=None)


def delete_property(edit: Edit, property_id: int) -> None:
    """Delete a property no job was ever opened for.

    Raises:
        Refused: there are jobs at it; archiving is offered.
    """
    kept = fetch_one(edit.conn, Property, property_, property_id)
    if count_where(edit.conn, job, job.c.property_id == property_id):
        raise Refused(
            f"There are jobs at {kept.street}, and they would lose their address.",
            "Archive the property instead: it is no longer offered, and its jobs stay whole.",
        )
    edit.remove(property_, property_id)


def _name(name: str) -> str:
    return needed(name, "A customer needs a name. Type the person's or the firm's name first.")


def _street(street: str) -> str:
    return needed(street, "A property needs at least its street and number.")


def _kind(kind: str, allowed: tuple[str, ...]) -> str:
    if kind not in allowed:
        raise Refused(f"“{kind}” is not one of {', '.join(allowed)}.")
    return kind


def _year(year: int | None) -> int | None:
    if year is not None and not EARLIEST_YEAR <= year <= LATEST_YEAR:
        raise Refused(f"{year} cannot be the year a house was built. Type four digits, for example 1962.")
    return year


def _reachable(kind: str, value: str) -> str:
    value = value.strip()
    if kind == "phone" and len(phone_digits(value)) < 7:
        raise Refused(f"“{value}” is too short for a phone number. Type all its digits, with the area code.")
    if kind == "mail":
        name, at, place = value.partition("@")
        if not name or not at or "." not in place.strip(".") or " " in value:
            raise Refused(f"“{value}” is not an email address. It looks like name@example.com.")
    return value
