"""The firm on its first day: its name and terms, who works there, what hours, months, miles and materials cost."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands import firm as commands
from db.commands.library import add_cause, add_lead_source, change_job_type
from db.commands.price_list import set_price
from db.edit import Edit
from db.tables import cause, item, job_type, lead_source, overhead_item, person, person_cost
from domain.money import cents_of
from sample_company.read import read_toml, rows
from sample_company.run_tasks import count_the_foot_alone


def found(edit: Edit, told: dict[str, Any], evening: date) -> None:
    """Turn a freshly made company into the one of firm.toml and prices.csv."""
    commands.change_firm(edit, **told["firm"])
    commands.pin_evening(edit, evening)
    _hours(edit, told)
    _months(edit, told)
    _lists(edit, told)
    count_the_foot_alone(edit)
    ids = {row.code: row.id for row in edit.conn.execute(select(item.c.id, item.c.code))}
    for row in rows("prices.csv"):
        set_price(edit, ids[row["code"]], date.fromisoformat(row["starts_on"]), _exact(row["unit_cost"]))


def add_helper(edit: Edit, name: str, costs: list[dict[str, Any]]) -> int:
    """Someone who works by the hour, with the costs of the years."""
    person_id = commands.add_person(edit, name)
    for cost in costs:
        commands.add_person_cost(edit, person_id, cost["from"], **_cost(cost))
    return person_id


def _hours(edit: Edit, told: dict[str, Any]) -> None:
    owner = edit.conn.execute(select(person.c.id).where(person.c.role == "owner")).scalar_one()
    first = edit.conn.execute(select(person_cost.c.id).where(person_cost.c.person_id == owner)).scalar_one()
    begun, *later = told["owner_cost"]
    commands.change_person_cost(edit, first, starts_on=begun["from"], **_cost(begun))
    for cost in later:
        commands.add_person_cost(edit, owner, cost["from"], **_cost(cost))
    for helper in told["helper"]:
        add_helper(edit, helper["name"], helper["cost"])


def _cost(told: dict[str, Any]) -> dict[str, Any]:
    money = {"wage": "wage_cents", "state_unemployment_base": "state_unemployment_base_cents",
             "other_per_year": "other_cents_per_year"}  # fmt: skip
    return {
        money.get(name, name): cents_of(_exact(value)) if name in money else value
        for name, value in told.items()
        if name != "from"
    }


def _months(edit: Edit, told: dict[str, Any]) -> None:
    for usual in edit.conn.execute(select(overhead_item.c.id)).scalars().all():
        commands.remove_overhead_item(edit, usual)
    for entry in told["overhead"]:
        commands.add_overhead_item(
            edit, entry["name"], cents_of(_exact(entry["per_month"])), entry["from"], entry.get("until")
        )
    for basis in told["billable_hours"]:
        commands.set_overhead_basis(edit, basis["from"], basis["per_month"] * 60)


def _lists(edit: Edit, told: dict[str, Any]) -> None:
    types = {row.name: row.id for row in edit.conn.execute(select(job_type.c.id, job_type.c.name))}
    for name, percent in told["margins"].items():
        change_job_type(edit, types[name], margin_percent=_exact(percent))
    for table, add, names in ((cause, add_cause, told["causes"]), (lead_source, add_lead_source, told["leads"])):
        known = set(edit.conn.execute(select(table.c.name)).scalars())
        for name in names:
            if name not in known:
                add(edit, name)


def the_firm() -> dict[str, Any]:
    """What firm.toml says."""
    return read_toml("firm.toml")


def _exact(value: int | str | Decimal) -> Decimal:
    return Decimal(value)
