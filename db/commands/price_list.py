"""What the owner does with suppliers, items and their dated prices."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Table, select

from db.commands.checks import count_where, needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import (
    bill,
    item,
    item_price,
    job_type_item,
    material_line,
    material_use,
    purchase,
    stock_count,
    stock_rule,
    supplier,
    supplier_sheet,
    visit,
)
from domain.money import format_unit_cost
from domain.price_list import COSTED_BY, ITEM_CLASSES, WHOLE, Item, ItemPrice, Supplier, usual_costing
from domain.words import fold

_ITEM_FIELDS = {column.name for column in item.columns} - {"id", "archived"}


def add_supplier(edit: Edit, name: str, phone: str = "") -> int:
    """Add a supplier and return the id."""
    return edit.add(supplier, name=_free_supplier(edit, name, 0), phone=phone.strip())


def change_supplier(edit: Edit, supplier_id: int, **values: Any) -> None:
    """Change name, phone, mail, address, subcontractor or tax_form_on."""
    only(values, {"name", "phone", "mail", "address", "subcontractor", "tax_form_on"})
    if "name" in values:
        values["name"] = _free_supplier(edit, values["name"], supplier_id)
    edit.change(supplier, supplier_id, **tidied(values))


def archive_supplier(edit: Edit, supplier_id: int) -> None:
    """No longer offer a supplier; its items stay."""
    edit.change(supplier, supplier_id, archived=True)


def restore_supplier(edit: Edit, supplier_id: int) -> None:
    """Offer a supplier again."""
    edit.change(supplier, supplier_id, archived=False)


def delete_supplier(edit: Edit, supplier_id: int) -> None:
    """Delete a supplier no item comes from."""
    kept = fetch_one(edit.conn, Supplier, supplier, supplier_id)
    items = count_where(edit.conn, item, item.c.supplier_id == supplier_id)
    if items:
        counted = "1 item comes" if items == 1 else f"{items} items come"
        raise Refused(f"{counted} from {kept.name}.", "Archive the supplier instead, or give the items another one.")
    if count_where(edit.conn, purchase, purchase.c.supplier_id == supplier_id):
        raise Refused(f"Things were bought from {kept.name}.", "Archive the supplier instead; what was bought stays.")
    if any(count_where(edit.conn, table, table.c.supplier_id == supplier_id) for table in (bill, visit)):
        raise Refused(f"{kept.name} has bills or visits.", "Archive the supplier instead; they stay.")
    edit.remove_where(supplier_sheet, supplier_sheet.c.supplier_id == supplier_id)
    edit.remove(supplier, supplier_id)


def add_item(
    edit: Edit, code: str, name: str, unit: str, unit_cost: Decimal, starts_on: date, *, item_class: str = "other",
    pack_quantity: Decimal = Decimal(1), supplier_id: int | None = None, waste_percent: Decimal = Decimal(0),
    costed_by: str | None = None,
) -> int:  # fmt: skip
    """Add an item with its first price (dollars for one unit) and return its id.

    ``costed_by``: see `domain.price_list.COSTED_BY`; None for what is usual for its kind and unit.
    """
    values: dict[str, Any] = {
        "code": code, "name": name, "unit": unit, "item_class": item_class, "pack_quantity": pack_quantity,
        "supplier_id": supplier_id, "waste_percent": waste_percent,
        "costed_by": usual_costing(item_class, unit.strip()) if costed_by is None else costed_by,
    }  # fmt: skip
    _check_item(edit, values, 0)
    item_id = edit.add(item, **tidied(values))
    set_price(edit, item_id, starts_on, unit_cost)
    return item_id


def change_item(edit: Edit, item_id: int, **values: Any) -> None:
    """Change code, name, item_class, unit, pack_quantity, supplier_id, waste_percent or costed_by.

    Lines written keep theirs.
    """
    only(values, _ITEM_FIELDS)
    _check_item(edit, values, item_id)
    if "unit" in values:
        _keep_unit(edit, item_id, values["unit"])
    edit.change(item, item_id, **tidied(values))


def archive_item(edit: Edit, item_id: int) -> None:
    """No longer offer an item; quotes and logs with it stay."""
    edit.change(item, item_id, archived=True)


def restore_item(edit: Edit, item_id: int) -> None:
    """Offer an item again."""
    edit.change(item, item_id, archived=False)


def delete_item(edit: Edit, item_id: int) -> None:
    """Delete an item never quoted or used, with its prices and usual lines.

    Raises:
        Refused: it is part of quotes or logs; archiving is offered.
    """
    kept = fetch_one(edit.conn, Item, item, item_id)
    used = sum(
        count_where(edit.conn, table, table.c.item_id == item_id) for table in (material_line, material_use, purchase)
    )
    if used:
        times = "once" if used == 1 else f"{used} times"
        raise Refused(
            f"“{kept.name}” is used {times} in quotes, logs and purchases.",
            "Archive it instead: it is no longer offered, and what was quoted and used stays.",
        )
    edit.remove_where(item_price, item_price.c.item_id == item_id)
    for table in (job_type_item, stock_count, stock_rule):
        edit.remove_where(table, table.c.item_id == item_id)
    edit.remove(item, item_id)


def set_price(edit: Edit, item_id: int, starts_on: date, unit_cost: Decimal) -> int:
    """What one unit costs from a day on, in dollars; the same day again corrects it. Earlier days keep theirs."""
    if unit_cost <= 0:
        raise Refused(
            f"{format_unit_cost(unit_cost)} is no price.", "Type what one unit costs, or archive what is not bought."
        )
    known = edit.conn.execute(
        select(item_price.c.id).where(item_price.c.item_id == item_id, item_price.c.starts_on == starts_on)
    ).scalar()
    if known is None:
        return edit.add(item_price, item_id=item_id, starts_on=starts_on, unit_cost=unit_cost)
    edit.change(item_price, int(known), unit_cost=unit_cost)
    return int(known)


def remove_price(edit: Edit, price_id: int) -> None:
    """Take a dated price away; the one before it counts on."""
    kept = fetch_one(edit.conn, ItemPrice, item_price, price_id)
    if count_where(edit.conn, item_price, item_price.c.item_id == kept.item_id) == 1:
        raise Refused("It is the item's only price.", "Change it instead.")
    edit.remove(item_price, price_id)


def _check_item(edit: Edit, values: dict[str, Any], item_id: int) -> None:
    for name, message in (
        ("code", "An item needs a short code, its own or the supplier's."),
        ("name", "An item needs a name, so that it can be found."),
        ("unit", "Say what is counted: ft, each, tube, roll …"),
    ):
        if name in values:
            needed(values[name], message)
    if "code" in values:
        _check_code(edit, values["code"].strip(), item_id)
    if values.get("item_class", ITEM_CLASSES[0]) not in ITEM_CLASSES:
        raise Refused(f"“{values['item_class']}” is not one of {', '.join(ITEM_CLASSES)}.")
    if values.get("costed_by", WHOLE) not in COSTED_BY:
        raise Refused(f"“{values['costed_by']}” is not one of {', '.join(COSTED_BY.values())}.")
    if values.get("pack_quantity", 1) <= 0:
        raise Refused("A pack holds more than nothing.", "Type 1 for what is sold singly.")
    if not 0 <= values.get("waste_percent", 0) <= 100:
        raise Refused("Waste lies between 0 and 100%.")


def _keep_unit(edit: Edit, item_id: int, unit: str) -> None:
    """Refuse another unit for what the truck counts: its counts would mean something else."""
    kept = fetch_one(edit.conn, Item, item, item_id)
    if unit.strip() != kept.unit and count_where(edit.conn, stock_count, stock_count.c.item_id == item_id):
        raise Refused(
            f"The truck counts “{kept.name}” by the {kept.unit}.", "Take it off the truck stock first, then change it."
        )


def _check_code(edit: Edit, code: str, item_id: int) -> None:
    for row in edit.conn.execute(select(item.c.id, item.c.code, item.c.name, item.c.archived)):
        if row.id != item_id and fold(row.code) == fold(code):
            advice = "Bring it back from the archived ones." if row.archived else "Choose another code."
            raise Refused(f"The code {row.code} belongs to “{row.name}”.", advice)


def _free_supplier(edit: Edit, name: str, supplier_id: int) -> str:
    name = needed(name, "A supplier needs a name.")
    table: Table = supplier
    for row in edit.conn.execute(select(table.c.id, table.c.name, table.c.archived)):
        if row.id != supplier_id and fold(row.name) == fold(name):
            advice = "Bring it back from the archived ones." if row.archived else "Choose another name."
            raise Refused(f"“{row.name}” is among the suppliers already.", advice)
    return name
