"""What the owner does with the truck and what is bought: count, set reorder points, tick off, correct, take back."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from db.commands.checks import count_where, needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import bill_line, item, material_use, purchase, stock_count, stock_rule, supplier, supplier_sheet
from domain.buying import Purchase, ShoppingLine, count_problem, rule_problem
from domain.dates import format_day
from domain.price_list import Item

LARGEST_COST = Decimal(100_000)
_PURCHASE_FIELDS = {"day", "supplier_id", "description", "quantity", "unit_cost", "receipt", "note", "tax_cents"}


def count_item(edit: Edit, item_id: int, quantity: Decimal, counted_on: date, today: date) -> int:
    """Say how much of an item lies on the truck now, and return the count's id.

    What is entered afterwards for that day, and all of later days, is added to it and taken off it.

    Raises:
        Refused: less than nothing, or a day to come.
    """
    if problem := count_problem(quantity):
        raise Refused(problem)
    if counted_on > today:
        raise Refused(f"{format_day(counted_on)} is still to come.", "A count holds for a day that has been.")
    fetch_one(edit.conn, Item, item, item_id)
    newest = [
        int(edit.conn.execute(select(func.coalesce(func.max(table.c.id), 0))).scalar_one())
        for table in (material_use, purchase)
    ]
    return edit.add(
        stock_count, item_id=item_id, counted_on=counted_on, quantity=quantity, last_use_id=newest[0],
        last_purchase_id=newest[1],
    )  # fmt: skip


def set_reorder(edit: Edit, item_id: int, reorder_at: Decimal, fill_to: Decimal) -> None:
    """Say at which quantity an item is to be bought again, and up to which.

    Raises:
        Refused: the level to fill to is not above the reorder point, or one of them is no quantity of a truck.
    """
    if problem := rule_problem(reorder_at, fill_to):
        raise Refused(problem)
    known = edit.conn.execute(select(stock_rule.c.id).where(stock_rule.c.item_id == item_id)).scalar()
    if known is None:
        edit.add(stock_rule, item_id=item_id, reorder_at=reorder_at, fill_to=fill_to)
    else:
        edit.change(stock_rule, int(known), reorder_at=reorder_at, fill_to=fill_to)


def clear_reorder(edit: Edit, item_id: int) -> None:
    """No longer watch an item; its counts stay."""
    edit.remove_where(stock_rule, stock_rule.c.item_id == item_id)


def take_off_truck(edit: Edit, item_id: int) -> None:
    """No longer keep an item on the truck: its counts and reorder point go, purchases and the log stay."""
    clear_reorder(edit, item_id)
    edit.remove_where(stock_count, stock_count.c.item_id == item_id)


def tick_off(
    edit: Edit, line: ShoppingLine, day: date, today: date, *, unit_cost: Decimal | None = None,
    packs: int | None = None, receipt: str = "",
) -> list[int]:  # fmt: skip
    """Note that a line of the shopping list was bought and return the purchases' ids.

    It goes onto the truck. What the truck cannot keep (not on the price list, or in another unit) is bought straight
    for the jobs, a purchase each.

    Args:
        unit_cost: dollars paid for one unit; None: as expected.
        packs: how many packs; None: as many as listed. Not for what goes straight to the jobs.
    """
    paid = line.unit_cost if unit_cost is None else unit_cost
    if paid is None:
        raise Refused(f"There is no price for {line.description}.", "Type what was paid for one.")
    if line.for_truck and line.item_id is not None:
        quantity = line.quantity if packs is None else packs * line.pack
        return [buy(edit, day, line.item_id, quantity, paid, today, supplier_id=line.supplier_id, receipt=receipt)]
    return [
        buy(
            edit, day, line.item_id, quantity, paid, today, description=line.description, unit=line.unit,
            supplier_id=line.supplier_id, receipt=receipt, job_id=job_id,
        )
        for job_id, quantity in line.shares
    ]  # fmt: skip


def buy(
    edit: Edit, day: date, item_id: int | None, quantity: Decimal, unit_cost: Decimal, today: date, *,
    description: str = "", unit: str = "", supplier_id: int | None = None, receipt: str = "",
    job_id: int | None = None, note: str = "",
) -> int:  # fmt: skip
    """Note one purchase and return its id.

    Args:
        item_id: of the price list; None for anything else, then `description` says what.
        quantity: in the item's unit, or in `unit`.
        unit_cost: dollars paid for one unit.
        job_id: bought straight for this job; None: onto the truck.

    The first purchase of an item that was never counted says that there was none of it before.

    Raises:
        Refused: nothing bought, no price, a day to come, no words for what it was.
    """
    _possible(quantity, unit_cost, day, today)
    onto_truck = job_id is None and item_id is not None
    if item_id is None:
        description = needed(description, "Say what was bought.")
    else:
        listed = fetch_one(edit.conn, Item, item, item_id)
        description, unit = description or listed.name, unit or listed.unit
        if supplier_id is None:
            supplier_id = listed.supplier_id
        if onto_truck and not count_where(edit.conn, stock_count, stock_count.c.item_id == item_id):
            count_item(edit, item_id, Decimal(0), day, today)
    return edit.add(
        purchase, day=day, supplier_id=supplier_id, item_id=item_id, description=description.strip(),
        quantity=quantity, unit=unit.strip(), unit_cost=unit_cost, receipt=receipt.strip(), job_id=job_id,
        onto_truck=onto_truck, note=note.strip(),
    )  # fmt: skip


def change_purchase(edit: Edit, purchase_id: int, today: date, **values: Any) -> None:
    """Correct day, supplier_id, description, quantity, unit_cost, receipt, note or tax_cents of a purchase."""
    only(values, _PURCHASE_FIELDS)
    kept = fetch_one(edit.conn, Purchase, purchase, purchase_id)
    wanted = tidied(values)
    _possible(
        wanted.get("quantity", kept.quantity), wanted.get("unit_cost", kept.unit_cost),
        wanted.get("day", kept.day), today,
    )  # fmt: skip
    if "description" in wanted:
        needed(wanted["description"], "Say what was bought.")
    edit.change(purchase, purchase_id, **wanted)


def send_purchase(edit: Edit, purchase_id: int, job_id: int | None, today: date) -> None:
    """A purchase was for this job, or (None) went onto the truck after all. The log is not touched."""
    kept = fetch_one(edit.conn, Purchase, purchase, purchase_id)
    onto_truck = job_id is None and kept.item_id is not None
    if onto_truck and not count_where(edit.conn, stock_count, stock_count.c.item_id == kept.item_id):
        count_item(edit, int(kept.item_id or 0), Decimal(0), kept.day, today)
    edit.change(purchase, purchase_id, job_id=job_id, onto_truck=onto_truck)


def remove_purchase(edit: Edit, purchase_id: int) -> None:
    """Take a purchase back, as if it had not been ticked off; a bill it was matched to stays, without the match."""
    matched = select(bill_line.c.id).where(bill_line.c.purchase_id == purchase_id)
    for line_id in edit.conn.execute(matched).scalars().all():
        edit.change(bill_line, line_id, purchase_id=None)
    edit.remove(purchase, purchase_id)


def remember_sheet(
    edit: Edit, headings: Sequence[str], columns: Mapping[str, str], used_on: date, supplier_name: str = ""
) -> None:
    """Keep how a supplier's sheet was read (our field -> heading), to recognise it next time by its headings."""
    if not columns:
        return
    supplier_id = edit.conn.execute(select(supplier.c.id).where(supplier.c.name == supplier_name)).scalar()
    values: dict[str, Any] = {
        "headings": json.dumps(list(headings), ensure_ascii=False),
        "columns": json.dumps(dict(columns), ensure_ascii=False, sort_keys=True),
        "used_on": used_on,
        "supplier_id": supplier_id,
    }
    same = sorted(headings)
    for row in edit.conn.execute(select(supplier_sheet.c.id, supplier_sheet.c.headings)):
        if sorted(json.loads(row.headings)) == same:
            edit.change(supplier_sheet, int(row.id), **values)
            return
    edit.add(supplier_sheet, **values)


def _possible(quantity: Decimal, unit_cost: Decimal, day: date, today: date) -> None:
    """Refuse what cannot have been bought."""
    if quantity <= 0:
        raise Refused("Buy more than nothing, or leave it on the list.", "Type how many.")
    if problem := count_problem(quantity):
        raise Refused(problem)
    if unit_cost <= 0:
        raise Refused("A price of nothing cannot be right.", "Type what was paid, from the receipt.")
    if unit_cost > LARGEST_COST:
        raise Refused("That is dearer than anything one buys by the piece.", "Check the price.")
    if day > today:
        raise Refused(f"{format_day(day)} is still to come.", "A purchase has a day that has been.")
