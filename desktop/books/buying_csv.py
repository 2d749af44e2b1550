"""The pull sheet and the shopping list as plain csv: one row a thing; dollars with a point, UTF-8, comma-separated."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from desktop.books.csv_file import write_rows
from domain.buying import PullSheet, ShoppingList
from domain.money import format_money

_PULL_HEADS = ("code", "item", "unit", "needed", "pack", "packs to load", "from truck", "bought already", "buy first",
               "packs to buy", "supplier")  # fmt: skip
_SHOPPING_HEADS = ("supplier", "code", "item", "why", "packs", "pack", "unit", "quantity", "price of a unit",
                   "expected cost")  # fmt: skip


def write_pull_sheet_csv(sheet: PullSheet, path: Path) -> Path:
    """Write one row a material, and behind it a column for each job. Raises OSError."""
    rows = [
        [
            line.code, line.description, line.unit, _plain(line.need),
            _plain(line.pack), str(line.packs), _plain(line.from_truck), _plain(line.aside), _plain(line.to_buy),
            str(line.packs_to_buy), line.supplier, *(_plain(line.share(job.job_id)) for job in sheet.jobs),
        ]
        for line in sheet.lines
    ]  # fmt: skip
    return write_rows(path, (*_PULL_HEADS, *(f"for {job.number}" for job in sheet.jobs)), rows)


def write_shopping_list_csv(shopping: ShoppingList, path: Path) -> Path:
    """Write one row a thing to buy, by supplier; what has no price has no cost. Raises OSError."""
    rows = [
        [
            line.supplier, line.code, line.description, shopping.why(line),
            str(line.packs) if line.for_truck else "", _plain(line.pack), line.unit, _plain(line.quantity),
            "" if line.unit_cost is None else _plain(line.unit_cost),
            "" if line.cost_cents is None else format_money(line.cost_cents, symbol=False).replace(",", ""),
        ]
        for line in shopping.lines
    ]  # fmt: skip
    return write_rows(path, _SHOPPING_HEADS, rows)


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
