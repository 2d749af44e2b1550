"""What a row of the journal changed, in words: which thing, which of its values, from what to what."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from domain.dates import format_day_short
from domain.money import format_money, format_unit_cost
from domain.units import format_percent, format_quantity

NOUNS = {
    "hours_entry": "hours",
    "material_use": "material used",
    "other_cost": "other cost",
    "price_adjustment": "write-off",
    "labour_line": "labor line",
    "material_line": "material line",
    "other_line": "cost line",
    "quote_option": "option",
    "invoice_line": "invoice line",
    "bill_line": "bill line",
    "bill_payment": "payment of a bill",
    "radon_test": "radon test",
    "property": "house",
    "closed_month": "closed month",
    "ledger_account": "account",
    "stock_count": "count of the truck",
    "own_standard": "own value",
}
"""Where the table's own name would not do."""

_NAMES = ("number", "name", "title", "description", "month", "words", "purpose", "reason")
_LEFT_OUT = {"id", "position", "sha256", "uid", "sequence"}
_MOST = 6


def noun(table: str) -> str:
    """What a row of a table is called."""
    return NOUNS.get(table, table.replace("_", " "))


def changed_words(table: str, before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> str:
    """One change as a phrase: ``hours of job 17 added: minutes 90``; values as the file has them."""
    row = after or before or {}
    name = next((str(row[key]) for key in _NAMES if row.get(key)), "")
    thing = f"{noun(table)} “{name}”" if name else noun(table)
    if before is None:
        return f"{thing} added{_values(row)}"
    if after is None:
        return f"{thing} removed{_values(row)}"
    changed = [key for key in after if after[key] != before.get(key) and key not in _LEFT_OUT]
    steps = [f"{label(key)} {value(key, before.get(key))} → {value(key, after[key])}" for key in changed[:_MOST]]
    more = f" and {len(changed) - _MOST} more" if len(changed) > _MOST else ""
    return f"{thing}: {'; '.join(steps) or 'put in another place'}{more}"


def label(key: str) -> str:
    """A column's name as one would say it."""
    words = key.removesuffix("_cents").removesuffix("_on").removesuffix("_id").replace("_", " ")
    return words.replace("labour", "labor").replace("licence", "license")


def value(key: str, stored: Any) -> str:
    """A stored value in words; scaled whole numbers are read by what their column is named."""
    if stored is None or stored == "":
        return "nothing"
    if key.endswith("_cents"):
        return format_money(int(stored))
    if key in ("unit_cost", "unit_price", "mile_cost"):
        return format_unit_cost(Decimal(int(stored)).scaleb(-4))
    if key in ("quantity", "net_quantity", "miles", "result", "feet", "pack_quantity", "level"):
        return format_quantity(Decimal(int(stored)).scaleb(-3))
    if key.endswith("_percent"):
        return format_percent(Decimal(int(stored)).scaleb(-3))
    if key.endswith("_on") or key == "day":
        try:
            return format_day_short(date.fromisoformat(str(stored)))
        except ValueError:
            return str(stored)
    text = str(stored)
    return text if len(text) <= 60 else f"{text[:57]}…"


def _values(row: Mapping[str, Any]) -> str:
    """The figures a new or removed row had, the few that say most."""
    shown = [
        f"{label(key)} {value(key, row[key])}"
        for key in ("day", "minutes", "quantity", "unit_cost", "net_cents", "amount_cents", "miles", "price_cents")
        if row.get(key) not in (None, "")
    ]
    return f": {', '.join(shown)}" if shown else ""
