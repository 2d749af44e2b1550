"""Writes what a price file brings, whole or not at all."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select

from db.commands.price_list import add_supplier
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import item, item_price, supplier
from domain.price_import import ImportPlan
from domain.price_list import usual_costing
from domain.words import fold


def apply_import(edit: Edit, plan: ImportPlan) -> int:
    """Write a whole import plan and return how many rows were brought in.

    Raises:
        Refused: the price list has changed since the plan was made; nothing is written.
    """
    codes = {fold(row.code): row.id for row in edit.conn.execute(select(item.c.id, item.c.code))}
    suppliers = {fold(row.name): row.id for row in edit.conn.execute(select(supplier.c.id, supplier.c.name))}
    prices = {
        row.item_id: row.id
        for row in edit.conn.execute(
            select(item_price.c.item_id, item_price.c.id).where(item_price.c.starts_on == plan.on)
        )
    }
    _refuse_outdated(plan, codes)
    for name in plan.new_suppliers:
        if fold(name) not in suppliers:
            suppliers[fold(name)] = add_supplier(edit, name)
    _write_new(edit, plan, suppliers)
    for change in plan.changed:
        values: dict[str, Any] = dict(change.values)
        if "supplier" in values:
            values["supplier_id"] = suppliers[fold(values.pop("supplier"))]
        if values:
            edit.change(item, change.item_id, **values)
        if change.unit_cost is None:
            continue
        if change.item_id in prices:
            edit.change(item_price, prices[change.item_id], unit_cost=change.unit_cost)
        else:
            edit.add(item_price, item_id=change.item_id, starts_on=plan.on, unit_cost=change.unit_cost)
    return plan.writes


def _refuse_outdated(plan: ImportPlan, codes: dict[str, int]) -> None:
    gone = {change.item_id for change in plan.changed} - set(codes.values())
    if gone or any(fold(new.code) in codes for new in plan.added):
        raise Refused("The price list has changed since this preview was made.", "Read the file again.")


def _write_new(edit: Edit, plan: ImportPlan, suppliers: dict[str, int]) -> None:
    for new in plan.added:
        item_id = edit.add(
            item,
            code=new.code,
            name=new.name,
            item_class=new.item_class,
            unit=new.unit,
            pack_quantity=new.pack_quantity,
            supplier_id=suppliers[fold(new.supplier)] if new.supplier else None,
            waste_percent=new.waste_percent,
            costed_by=usual_costing(new.item_class, new.unit),
        )
        edit.add(item_price, item_id=item_id, starts_on=plan.on, unit_cost=new.unit_cost)
