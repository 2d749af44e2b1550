"""What the owner says about the firm: its name, texts and defaults, its people, and what they and a month cost."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Table, select

from db.commands.checks import count_where, needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all, fetch_one
from db.tables import (
    company,
    hours_entry,
    mile_cost,
    overhead_basis,
    overhead_item,
    person,
    person_cost,
    timer,
)
from domain.company_costs.payroll import refuse_impossible
from domain.company_costs.rates import ladder_costs
from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.firm import OverheadEntry, Person, PersonCost
from domain.quoting.lines import TAX_TREATMENTS

ROLES = ("owner", "helper")
_CHOICES = {
    "unit_system": ("us", "metric"),
    "radon_unit": ("pCi/L", "Bq/m3"),
    "tax_treatment": TAX_TREATMENTS,
}
_LIMITS = {
    "margin_percent": (0, Decimal("99.99"), "A target margin lies between 0 and 99%."),
    "deposit_percent": (0, 100, "A deposit lies between nothing and the whole price, 0 to 100%."),
    "tax_percent": (0, 100, "A tax rate lies between 0 and 100%."),
    "minimum_charge_cents": (0, None, "A minimum charge cannot be less than nothing."),
    "rounding_cents": (1, None, "Round to at least one cent, which means no rounding at all."),
    "valid_days": (1, 3650, "A proposal stands for at least a day."),
    "follow_up_days": (1, 3650, "Following up takes at least a day."),
    "capacity_minutes_per_day": (1, 1440, "A working day has between one minute and 24 hours."),
    "invoice_due_days": (0, 3650, "An invoice is due on its own day or later."),
    "electricity_rate": (0, 10, "A kilowatt-hour costs between nothing and $10."),
    "heat_loss_low_cents": (0, 1_000_000, "Heat that is lost costs between nothing and $10,000 a year."),
    "heat_loss_high_cents": (0, 1_000_000, "Heat that is lost costs between nothing and $10,000 a year."),
}
_COST_FIELDS = {column.name for column in person_cost.columns} - {"id", "person_id"}


def change_firm(edit: Edit, **values: Any) -> None:
    """Change any setting of the firm but its id and pinned day."""
    only(values, {column.name for column in company.columns} - {"id", "pinned_today", "logo_sha256"})
    if "name" in values:
        needed(values["name"], "The firm needs a name: it stands at the head of every proposal.")
    for name, choices in _CHOICES.items():
        if name in values and values[name] not in choices:
            raise Refused(f"“{values[name]}” is not one of {', '.join(choices)}.")
    for name, (least, most, message) in _LIMITS.items():
        if name in values and (values[name] < least or (most is not None and values[name] > most)):
            raise Refused(message)
    edit.change(company, 1, **tidied(values))


def pin_evening(edit: Edit, on: date) -> None:
    """Give a made-up company its own evening: the program takes this day for today whenever it is open."""
    edit.change(company, 1, pinned_today=on)


def add_person(edit: Edit, name: str, role: str = "helper") -> int:
    """Add someone who works here and return the id; a firm has one owner."""
    if role not in ROLES:
        raise Refused(f"“{role}” is not one of {', '.join(ROLES)}.")
    if role == "owner" and count_where(edit.conn, person, person.c.role == "owner"):
        raise Refused("The firm has an owner already.", "Add a helper, or change the owner's name.")
    return edit.add(person, name=_person_name(name), role=role)


def change_person(edit: Edit, person_id: int, name: str) -> None:
    """Change someone's name."""
    edit.change(person, person_id, name=_person_name(name))


def archive_person(edit: Edit, person_id: int) -> None:
    """Someone has left: no longer offered in the log, all hours kept."""
    if fetch_one(edit.conn, Person, person, person_id).role == "owner":
        raise Refused("The owner stays: quotes and hours are costed with the owner's hour.")
    edit.change(person, person_id, archived=True)


def restore_person(edit: Edit, person_id: int) -> None:
    """Someone is back."""
    edit.change(person, person_id, archived=False)


def delete_person(edit: Edit, person_id: int) -> None:
    """Delete a helper who never logged an hour, with the dated costs."""
    kept = fetch_one(edit.conn, Person, person, person_id)
    if kept.role == "owner":
        raise Refused("The owner stays: quotes and hours are costed with the owner's hour.")
    if count_where(edit.conn, hours_entry, hours_entry.c.person_id == person_id):
        raise Refused(
            f"{kept.name} has logged hours.", "Archive instead: the hours stay, the name is no longer offered."
        )
    if count_where(edit.conn, timer, timer.c.person_id == person_id):
        raise Refused(f"A timer is running for {kept.name}.", "Stop it first.")
    edit.remove_where(person_cost, person_cost.c.person_id == person_id)
    edit.remove(person, person_id)


def add_person_cost(edit: Edit, person_id: int, starts_on: date, **values: Any) -> int:
    """What a person costs from a day on; fields not named are taken from the cost before it.

    Raises:
        Refused: there is one from that day already, or the numbers cannot be.
    """
    only(values, _COST_FIELDS - {"starts_on"})
    known = fetch_all(
        edit.conn, PersonCost, person_cost, person_cost.c.person_id == person_id, order=(person_cost.c.starts_on,)
    )
    if any(cost.starts_on == starts_on for cost in known):
        raise Refused(f"There is a cost from {format_day_short(starts_on)} already.", "Change that one.")
    before = [cost for cost in known if cost.starts_on < starts_on] or known[:1]
    filled = {name: values.get(name, getattr(before[-1], name) if before else 0) for name in _COST_FIELDS}
    filled["starts_on"] = starts_on
    _check_cost(edit, person_id, filled)
    return edit.add(person_cost, person_id=person_id, **filled)


def change_person_cost(edit: Edit, cost_id: int, **values: Any) -> None:
    """Correct a dated cost."""
    only(values, _COST_FIELDS)
    kept = fetch_one(edit.conn, PersonCost, person_cost, cost_id)
    filled = {name: values.get(name, getattr(kept, name)) for name in _COST_FIELDS}
    if filled["starts_on"] != kept.starts_on and count_where(
        edit.conn,
        person_cost,
        person_cost.c.person_id == kept.person_id,
        person_cost.c.starts_on == filled["starts_on"],
    ):
        raise Refused(f"There is a cost from {format_day_short(filled['starts_on'])} already.", "Choose another day.")
    _check_cost(edit, kept.person_id, filled)
    edit.change(person_cost, cost_id, **values)


def remove_person_cost(edit: Edit, cost_id: int) -> None:
    """Take a dated cost away; the one before it counts on. Hours logged keep the rate they were logged at."""
    kept = fetch_one(edit.conn, PersonCost, person_cost, cost_id)
    if count_where(edit.conn, person_cost, person_cost.c.person_id == kept.person_id) == 1:
        raise Refused("It is the only cost known of this person.", "Change its numbers instead.")
    edit.remove(person_cost, cost_id)


def add_overhead_item(
    edit: Edit, name: str, cents_per_month: int, starts_on: date, ends_on: date | None = None
) -> int:
    """Add a cost of every month, whether or not there is work, and return its id."""
    values = {"name": name, "cents_per_month": cents_per_month, "starts_on": starts_on, "ends_on": ends_on}
    _check_overhead(values)
    return edit.add(overhead_item, **tidied(values))


def change_overhead_item(edit: Edit, item_id: int, **values: Any) -> None:
    """Correct name, cents_per_month, starts_on or ends_on (its last day; None: it goes on)."""
    names = ("name", "cents_per_month", "starts_on", "ends_on")
    only(values, names)
    kept = fetch_one(edit.conn, OverheadEntry, overhead_item, item_id)
    _check_overhead({name: values.get(name, getattr(kept, name)) for name in names})
    edit.change(overhead_item, item_id, **tidied(values))


def end_overhead_item(edit: Edit, item_id: int, ends_on: date) -> None:
    """The cost is paid for the last time on this day; months before keep it."""
    change_overhead_item(edit, item_id, ends_on=ends_on)


def remove_overhead_item(edit: Edit, item_id: int) -> None:
    """Take a cost away as if it had never been; to stop it from a day on, end it instead."""
    edit.remove(overhead_item, item_id)


def set_overhead_basis(edit: Edit, starts_on: date, billable_minutes_per_month: int) -> int:
    """Say how many minutes a month are billable from a day on; the same day again corrects it."""
    if billable_minutes_per_month <= 0:
        raise Refused("Overhead is spread over billable hours, so there must be some.", "Type for example 104 hours.")
    return _set_dated(edit, overhead_basis, starts_on, billable_minutes_per_month=billable_minutes_per_month)


def remove_overhead_basis(edit: Edit, basis_id: int) -> None:
    """Take a dated number of billable hours away; the one before it counts on."""
    _remove_dated(edit, overhead_basis, basis_id)


def set_mile_cost(edit: Edit, starts_on: date, unit_cost: Decimal) -> int:
    """Say what a mile costs from a day on, in dollars; the same day again corrects it."""
    if unit_cost < 0:
        raise Refused("A mile cannot cost less than nothing.")
    return _set_dated(edit, mile_cost, starts_on, unit_cost=unit_cost)


def remove_mile_cost(edit: Edit, mile_id: int) -> None:
    """Take a dated cost of a mile away; the one before it counts on."""
    _remove_dated(edit, mile_cost, mile_id)


def _set_dated(edit: Edit, table: Table, starts_on: date, **values: Any) -> int:
    known = edit.conn.execute(select(table.c.id).where(table.c.starts_on == starts_on)).scalar()
    if known is None:
        return edit.add(table, starts_on=starts_on, **values)
    edit.change(table, int(known), **values)
    return int(known)


def _remove_dated(edit: Edit, table: Table, row_id: int) -> None:
    if count_where(edit.conn, table) == 1:
        raise Refused("It is the only one, and jobs need one.", "Change its number instead.")
    edit.remove(table, row_id)


def _check_cost(edit: Edit, person_id: int, values: dict[str, Any]) -> None:
    role = fetch_one(edit.conn, Person, person, person_id).role
    try:
        refuse_impossible(ladder_costs(role, PersonCost(id=0, person_id=person_id, **values)))
    except NotUnderstood as error:
        raise Refused(str(error)) from error


def _check_overhead(values: dict[str, Any]) -> None:
    needed(values["name"], "Give the cost a name, for example liability insurance.")
    if values["cents_per_month"] < 0:
        raise Refused("A month's cost cannot be less than nothing.")
    if values["ends_on"] and values["ends_on"] < values["starts_on"]:
        raise Refused(
            f"It would end ({format_day_short(values['ends_on'])}) before it begins"
            f" ({format_day_short(values['starts_on'])}).",
            "Correct whichever of the two is wrong.",
        )


def _person_name(name: str) -> str:
    return needed(name, "Whoever works here needs a name, so that hours can be put to it.")
