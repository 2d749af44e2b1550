"""The price list with the prices of a day, its suppliers, and the history of one item's price."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Select, case, func, select

from db.records import columns_of, fetch_all
from db.tables import item, item_price, job_type_item, material_line, material_use, supplier
from domain.price_list import ITEM_CLASSES, Item, ItemPrice, PricedItem, Supplier
from domain.words import fold, matches, search_text

_KIND_ORDER = {kind: place for place, kind in enumerate(ITEM_CLASSES)}


@dataclass(frozen=True, slots=True)
class PriceRow:
    """An item as the price list shows it on one day."""

    item: Item
    supplier: str
    unit_cost: Decimal | None  # None: no price at all
    priced_on: date | None  # later than the day asked for: the first price begins only then
    previous_cost: Decimal | None  # the price before the one in force
    previous_on: date | None
    next_on: date | None  # a price that has been entered ahead

    @property
    def cost_change(self) -> Decimal | None:
        """How much dearer one unit has become, negative for cheaper; None without an earlier price."""
        if self.unit_cost is None or self.previous_cost is None:
            return None
        return self.unit_cost - self.previous_cost


def price_list(conn: Connection, on: date, search: str = "", archived: bool = False) -> list[PriceRow]:
    """Items with the price in force on a day and the one before it, by kind and code, in one statement.

    Before an item's first price that first one is shown, for lack of better. `search` looks through code, name,
    kind and supplier.
    """
    rows = [_price_row(row) for row in conn.execute(_priced(on, archived))]
    if not fold(search).strip():
        return rows
    return [row for row in rows if matches(search, _searched(row))]


def priced_items(conn: Connection, on: date, archived: bool = False) -> list[PricedItem]:
    """The same as the domain needs it."""
    return [
        PricedItem(row.item, row.unit_cost, row.priced_on, row.supplier)
        for row in price_list(conn, on, archived=archived)
    ]


def item_prices(conn: Connection, item_id: int) -> list[ItemPrice]:
    """All prices of an item, newest first."""
    return fetch_all(
        conn, ItemPrice, item_price, item_price.c.item_id == item_id, order=(item_price.c.starts_on.desc(),)
    )


def suppliers(conn: Connection, archived: bool = False) -> list[Supplier]:
    """Suppliers by name; with `archived` those too."""
    where = () if archived else (supplier.c.archived.is_(False),)
    return fetch_all(conn, Supplier, supplier, *where, order=(supplier.c.archived, func.lower(supplier.c.name)))


def supplier_item_counts(conn: Connection) -> dict[int, int]:
    """How many items come from each supplier; those with none are left out."""
    counted = (
        select(item.c.supplier_id, func.count()).where(item.c.supplier_id.is_not(None)).group_by(item.c.supplier_id)
    )
    return {row[0]: row[1] for row in conn.execute(counted)}


def item_uses(conn: Connection, item_id: int) -> tuple[int, int]:
    """How often an item stands in quotes and logs, and among usual lines."""
    done = sum(
        conn.execute(select(func.count()).select_from(table).where(table.c.item_id == item_id)).scalar_one()
        for table in (material_line, material_use)
    )
    usual = conn.execute(
        select(func.count()).select_from(job_type_item).where(job_type_item.c.item_id == item_id)
    ).scalar_one()
    return done, usual


def _priced(on: date, archived: bool) -> Select[Any]:
    """Each item with its prices ranked: those begun by the day newest first, then those to come soonest first."""
    begun = item_price.c.starts_on <= on
    ranked = select(
        item_price.c.item_id,
        item_price.c.starts_on,
        item_price.c.unit_cost,
        func.row_number()
        .over(
            partition_by=item_price.c.item_id,
            order_by=(
                case((begun, 0), else_=1),
                case((begun, item_price.c.starts_on)).desc(),
                item_price.c.starts_on,
            ),
        )
        .label("rank"),
    ).subquery()
    now, before = ranked.alias("now"), ranked.alias("before")
    coming = (
        select(item_price.c.item_id, func.min(item_price.c.starts_on).label("starts_on"))
        .where(item_price.c.starts_on > on)
        .group_by(item_price.c.item_id)
        .subquery()
    )
    query = (
        select(
            *columns_of(item, Item), supplier.c.name, now.c.unit_cost, now.c.starts_on, before.c.unit_cost,
            before.c.starts_on, coming.c.starts_on,
        )
        .outerjoin(supplier, supplier.c.id == item.c.supplier_id)
        .outerjoin(now, (now.c.item_id == item.c.id) & (now.c.rank == 1))
        .outerjoin(before, (before.c.item_id == item.c.id) & (before.c.rank == 2) & (before.c.starts_on <= on))
        .outerjoin(coming, coming.c.item_id == item.c.id)
        .order_by(item.c.archived, case(_KIND_ORDER, value=item.c.item_class, else_=99), item.c.code)
    )  # fmt: skip
    return query if archived else query.where(item.c.archived.is_(False))


def _price_row(row: Any) -> PriceRow:
    values = tuple(row)
    width = len(Item.__slots__)
    name, cost, priced_on, previous, previous_on, next_on = values[width:]
    return PriceRow(
        Item(*values[:width]), name or "", cost, priced_on, previous, previous_on,
        next_on if next_on != priced_on else None,
    )  # fmt: skip


def _searched(row: PriceRow) -> str:
    return search_text(row.item.code, row.item.name, row.item.item_class, row.supplier)
