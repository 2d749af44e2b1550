"""What was bought lately, each purchase beside the price the list had that day; and remembered supplier sheets."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Connection, Date, Select, bindparam, select

from db.records import columns_of
from db.tables import item, item_price, job, purchase, supplier, supplier_sheet
from domain.buying import Purchase
from domain.money import line_cents
from domain.price_import import RememberedSheet

LAST_PURCHASES = 2000
"""So many purchases say what is usual."""


@dataclass(frozen=True, slots=True)
class PurchaseRow:
    """A purchase with its names."""

    purchase: Purchase
    supplier: str
    code: str
    job_number: str
    pack: Decimal  # units in what one buys
    list_cost: Decimal | None  # dollars for one unit on the price list that day

    @property
    def cents(self) -> int:
        """What was paid."""
        return line_cents(self.purchase.quantity, self.purchase.unit_cost)

    @property
    def differs(self) -> bool:
        """True when the price list says another price."""
        return self.list_cost is not None and self.list_cost != self.purchase.unit_cost


def purchases_since(conn: Connection, since: date) -> list[PurchaseRow]:
    """Purchases from a day on, the newest first; one statement."""
    width = len(Purchase.__slots__)
    return [
        PurchaseRow(Purchase(*row[:width]), row[width] or "", row[width + 1] or "", row[width + 2] or "",
                    row[width + 3] or Decimal(1), row[width + 4])
        for row in conn.execute(_since(), {"since": since})
    ]  # fmt: skip


def usual_quantities(conn: Connection) -> dict[int, Decimal]:
    """For each item how much of it is bought at a time: the median of its last purchases; one statement."""
    bought: dict[int, list[Decimal]] = {}
    query = select(purchase.c.item_id, purchase.c.quantity).where(purchase.c.item_id.is_not(None))
    for item_id, quantity in conn.execute(query.order_by(purchase.c.id.desc()).limit(LAST_PURCHASES)):
        bought.setdefault(item_id, []).append(quantity)
    return {item_id: sorted(amounts)[len(amounts) // 2] for item_id, amounts in bought.items()}


@cache
def _since() -> Select[Any]:
    price = (
        select(item_price.c.unit_cost)
        .where(item_price.c.item_id == purchase.c.item_id, item_price.c.starts_on <= purchase.c.day)
        .order_by(item_price.c.starts_on.desc())
        .limit(1)
        .correlate(purchase)
        .scalar_subquery()
    )
    return (
        select(
            *columns_of(purchase, Purchase), supplier.c.name, item.c.code, job.c.number, item.c.pack_quantity, price
        )
        .outerjoin(supplier, supplier.c.id == purchase.c.supplier_id)
        .outerjoin(item, item.c.id == purchase.c.item_id)
        .outerjoin(job, job.c.id == purchase.c.job_id)
        .where(purchase.c.day >= bindparam("since", type_=Date))
        .order_by(purchase.c.day.desc(), purchase.c.id.desc())
    )


def paid_cents(rows: Iterable[PurchaseRow]) -> int:
    """What was paid for all of these."""
    return sum(row.cents for row in rows)


def remembered_sheets(conn: Connection) -> list[RememberedSheet]:
    """How suppliers' sheets were read before, the newest first."""
    query = (
        select(supplier_sheet.c.headings, supplier_sheet.c.columns, supplier.c.name, supplier_sheet.c.used_on)
        .outerjoin(supplier, supplier.c.id == supplier_sheet.c.supplier_id)
        .order_by(supplier_sheet.c.used_on.desc(), supplier_sheet.c.id.desc())
    )
    return [
        RememberedSheet(tuple(json.loads(headings)), dict(json.loads(columns)), name or "", used_on)
        for headings, columns, name, used_on in conn.execute(query)
    ]
