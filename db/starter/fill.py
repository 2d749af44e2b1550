"""Writes the starting library into a new, empty company.

How conditions lengthen tasks (`factors.csv`, common practice, no source) was read for sense: somebody else's pipework
lengthens nothing on the ground of a crawl space (clearing it, laying and sealing a membrane), and a low crawl space or
a finished basement nothing on setting a fan, which stands outside the rooms people live in and the space beneath them.
A firm that began with the earlier list keeps its own values.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from db.edit import Edit
from db.starter.files import settings, table_rows, usual_link
from db.tables import (
    access_condition,
    cause,
    company,
    item,
    item_price,
    job_type,
    job_type_item,
    job_type_task,
    labour_task,
    lead_source,
    mile_cost,
    overhead_basis,
    overhead_item,
    person,
    person_cost,
    supplier,
    task_factor,
)
from domain.money import parse_money
from domain.standards import STANDARDS, standard_on


def fill_new_company(edit: Edit, name: str, owner_name: str, on: date) -> None:
    """Write the firm, its owner, costs, library and price list; prices and costs start on `on`.

    Every number is common practice without a source, unless its file says otherwise, and the owner's to change.
    """
    fill_settings(edit, name, owner_name, on)
    tasks = _write_tasks(edit)
    items = _write_price_list(edit, on)
    _write_job_types(edit, tasks, items)
    lists = settings("lists.toml")
    for table, names in ((cause, lists["causes"]), (lead_source, lists["lead_sources"])):
        edit.add_many(table, [{"name": entry, "position": place} for place, entry in enumerate(names, 1)])


def fill_settings(edit: Edit, name: str, owner_name: str, on: date) -> None:
    """Write the firm, its owner and costs only, for a company whose lists come from elsewhere."""
    _write_firm(edit, name, owner_name)
    _write_costs(edit, owner_name, on)


def _write_firm(edit: Edit, name: str, owner_name: str) -> None:
    starting = settings("company.toml")
    values = dict(starting["defaults"])
    for percent in ("margin_percent", "deposit_percent", "tax_percent"):
        values[percent] = Decimal(values[percent])
    values["minimum_charge_cents"] = parse_money(values.pop("minimum_charge"))
    values["rounding_cents"] = parse_money(values.pop("rounding"))
    texts = {field: text.strip() for field, text in starting["texts"].items()}
    edit.add(company, id=1, name=name.strip(), owner_name=owner_name.strip(), **values, **texts)


def _write_costs(edit: Edit, owner_name: str, on: date) -> None:
    starting = settings("company.toml")
    cost = starting["owner_cost"]
    owner = edit.add(person, name=owner_name.strip() or "Owner", role="owner")
    edit.add(
        person_cost,
        person_id=owner,
        starts_on=on,
        wage_cents=parse_money(cost["wage"]),
        paid_hours=cost["paid_hours"],
        billable_hours=cost["billable_hours"],
        workers_comp_percent=Decimal(cost["workers_comp_percent"]),
        state_unemployment_percent=Decimal(cost["state_unemployment_percent"]),
        state_unemployment_base_cents=parse_money(cost["state_unemployment_base"]),
        other_cents_per_year=parse_money(cost["other_per_year"]),
    )
    overhead = starting["overhead"]
    for entry in overhead["item"]:
        edit.add(overhead_item, name=entry["name"], cents_per_month=parse_money(entry["per_month"]), starts_on=on)
    edit.add(
        overhead_basis, starts_on=on, billable_minutes_per_month=overhead["billable_hours_per_month"] * 60
    )
    now = standard_on("mileage_rate", on)
    later = [row for row in STANDARDS if row.key == "mileage_rate" and row.starts_on > on]
    for row in (now, *later):
        edit.add(mile_cost, starts_on=row.starts_on, unit_cost=row.value)


def _write_tasks(edit: Edit) -> dict[str, int]:
    conditions = {
        row["name"]: edit.add(access_condition, name=row["name"], position=place, caution=row["caution"])
        for place, row in enumerate(table_rows("conditions.csv"), 1)
    }
    tasks = {
        row["name"]: edit.add(
            labour_task,
            name=row["name"],
            position=place,
            unit=row["unit"],
            standard_minutes=Decimal(row["minutes"]),
            role=row["role"],
            caution=row["caution"],
        )
        for place, row in enumerate(table_rows("tasks.csv"), 1)
    }
    for row in table_rows("factors.csv"):
        for condition, condition_id in conditions.items():
            if row[condition]:
                edit.add(
                    task_factor,
                    task_id=tasks[row["task"]],
                    condition_id=condition_id,
                    factor_percent=Decimal(row[condition]),
                )
    return tasks


def _write_price_list(edit: Edit, on: date) -> dict[str, int]:
    suppliers = {
        row["name"]: edit.add(supplier, name=row["name"], phone=row["phone"]) for row in table_rows("suppliers.csv")
    }
    items: dict[str, int] = {}
    for row in table_rows("items.csv"):
        items[row["code"]] = edit.add(
            item,
            code=row["code"],
            name=row["name"],
            item_class=row["class"],
            unit=row["unit"],
            pack_quantity=Decimal(row["pack"]),
            supplier_id=suppliers[row["supplier"]],
            waste_percent=Decimal(row["waste"]),
            costed_by=row["costed_by"],
        )
        edit.add(item_price, item_id=items[row["code"]], starts_on=on, unit_cost=Decimal(row["unit_cost"]))
    return items


def _write_job_types(edit: Edit, tasks: dict[str, int], items: dict[str, int]) -> None:
    for place, entry in enumerate(settings("job_types.toml")["job_type"], 1):
        type_id = edit.add(
            job_type, name=entry["name"], position=place, scope_text=entry["scope_text"].strip()
        )
        for line, (task, quantity) in enumerate(entry["tasks"], 1):
            edit.add(
                job_type_task, job_type_id=type_id, task_id=tasks[task], quantity=Decimal(str(quantity)), position=line,
                stands_for=usual_link("task", task, entry["name"]),
            )  # fmt: skip
        for line, (code, quantity) in enumerate(entry["items"], 1):
            edit.add(
                job_type_item, job_type_id=type_id, item_id=items[code], quantity=Decimal(str(quantity)), position=line,
                stands_for=usual_link("item", code, entry["name"]),
            )  # fmt: skip
