"""The truck as it is on a day: every item with its last count, what came and went since, and its reorder point."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Connection, Date, Select, bindparam, case, func, not_, or_, select, type_coerce

from db.records import columns_of
from db.tables import item, item_price, material_use, purchase, stock_count, stock_rule, supplier
from domain.buying import StockRow
from domain.price_list import ITEM_CLASSES, Item

_ON = bindparam("on", type_=Date)
_KIND_ORDER = {kind: place for place, kind in enumerate(ITEM_CLASSES)}
_NONE = Decimal(0)


def truck(conn: Connection, on: date) -> list[StockRow]:
    """Every item, archived ones too, by kind and code, with what the truck has of it; one statement.

    A count holds for all that was entered for its day before it; what is entered for that day afterwards, and all of
    later days, is added and taken off. Log entries from a receipt never touch the truck.
    """
    width = len(Item.__slots__)
    rows = []
    for row in conn.execute(_truck(), {"on": on}):
        name, cost, counted, counted_on, bought, used, odd, reorder_at, fill_to = row[width:]
        rows.append(
            StockRow(
                Item(*row[:width]), name or "", cost, counted, counted_on, bought or _NONE, used or _NONE, odd or 0,
                reorder_at, fill_to,
            )
        )  # fmt: skip
    return rows


@cache  # putting the statement together takes longer than SQLite takes to run it
def _truck() -> Select[Any]:
    ranked = select(
        stock_count,
        func.row_number()
        .over(partition_by=stock_count.c.item_id, order_by=(stock_count.c.counted_on.desc(), stock_count.c.id.desc()))
        .label("rank"),
    ).where(stock_count.c.counted_on <= _ON).subquery()  # fmt: skip
    last = select(ranked).where(ranked.c.rank == 1).cte("last_count")
    price = (
        select(item_price.c.unit_cost)
        .where(item_price.c.item_id == item.c.id, item_price.c.starts_on <= _ON)
        .order_by(item_price.c.starts_on.desc())
        .limit(1)
        .correlate(item)
        .scalar_subquery()
    )
    # Asked item by item, so that each looks up only its own rows since its own count. Nearly all uses are in the item's
    # unit and found by it; the few in another, or in the same written otherwise, lie before and behind it in the index.
    bought = _since_count(
        func.sum(purchase.c.quantity), purchase, last, last.c.last_purchase_id, purchase.c.onto_truck
    )
    taken, stock = func.sum(material_use.c.quantity), material_use.c.source == "stock"
    same_word = func.lower(material_use.c.unit) == func.lower(item.c.unit)

    def uses(total: Any, *where: Any) -> Any:
        return _since_count(total, material_use, last, last.c.last_use_id, stock, *where)

    beside = (material_use.c.unit < item.c.unit, material_use.c.unit > item.c.unit)
    of_unit = [uses(taken, material_use.c.unit == item.c.unit), *(uses(taken, side, same_word) for side in beside)]
    summed: Any = sum((func.coalesce(one, 0) for one in of_unit[1:]), func.coalesce(of_unit[0], 0))
    used = type_coerce(summed, material_use.c.quantity.type)
    odd = uses(func.count(), beside[0], not_(same_word)) + uses(func.count(), beside[1], not_(same_word))
    return (
        select(
            *columns_of(item, Item), supplier.c.name, price, last.c.quantity, last.c.counted_on, bought, used,
            odd, stock_rule.c.reorder_at, stock_rule.c.fill_to,
        )
        .outerjoin(supplier, supplier.c.id == item.c.supplier_id)
        .outerjoin(last, last.c.item_id == item.c.id)
        .outerjoin(stock_rule, stock_rule.c.item_id == item.c.id)
        .order_by(case(_KIND_ORDER, value=item.c.item_class, else_=99), item.c.code)
    )  # fmt: skip


def _since_count(total: Any, table: Any, last: Any, newest_before: Any, *where: Any) -> Any:
    """A sum over the rows of an item that came after its last count."""
    later = or_(table.c.day > last.c.counted_on, table.c.id > newest_before)
    return (
        select(total)
        .where(table.c.item_id == last.c.item_id, table.c.day >= last.c.counted_on, table.c.day <= _ON, later, *where)
        .correlate(last, item)
        .scalar_subquery()
    )
