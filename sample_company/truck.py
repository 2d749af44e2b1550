"""The truck of the sample company: what was counted, when it is filled up, and what was bought lately."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from sqlalchemy import select

from db.commands.buying import buy, count_item, set_reorder
from db.edit import Edit
from db.tables import item
from sample_company.books import Books
from sample_company.read import rows


def load_truck(edit: Edit, books: Books, evening: date) -> None:
    """Enter truck.csv and purchases.csv, day by day; a purchase without a price was at the price list's."""
    ids = {row.code: row.id for row in edit.conn.execute(select(item.c.id, item.c.code))}
    deeds = [(date.fromisoformat(row["counted_on"]), 0, row) for row in rows("truck.csv")]
    deeds += [(date.fromisoformat(row["day"]), 1, row) for row in rows("purchases.csv")]
    for day, is_purchase, row in sorted(deeds, key=lambda deed: deed[:2]):
        code, quantity = row["code"], Decimal(row["quantity"])
        if is_purchase:
            paid = Decimal(row["unit_cost"]) if row["unit_cost"] else books.price(code, day)
            buy(edit, day, ids[code], quantity, paid, evening, receipt=row["receipt"])
        else:
            count_item(edit, ids[code], quantity, day, evening)
            set_reorder(edit, ids[code], Decimal(row["reorder_at"]), Decimal(row["fill_to"]))
