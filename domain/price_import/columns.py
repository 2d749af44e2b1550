"""Which column of a file is what: the heading line is looked for and its words are compared."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from domain.words import fold

FIELD_NAMES = {
    "code": "Code",
    "name": "Name",
    "item_class": "Kind",
    "unit": "Unit",
    "pack_quantity": "Units in a pack",
    "unit_cost": "Price of one unit",
    "pack_cost": "Price of a pack",
    "supplier": "Supplier",
    "waste_percent": "Waste %",
}
FIELDS = tuple(FIELD_NAMES)

_HEADINGS = {
    "code": "code|item code|item no|item number|item|article|article no|article number|part|part no|part number"
    "|sku|product code|product no|number|no|ref|reference",
    "name": "name|description|item name|item description|product|product name|product description|text|title",
    "item_class": "kind|class|category|group|type|item class|product group",
    "unit": "unit|uom|unit of measure|measure|sold by|um",
    "pack_quantity": "pack|pack size|pack quantity|pack qty|qty per pack|quantity per pack|units in a pack|case"
    "|case qty|package|per pack|length",
    "unit_cost": "price|unit price|unit cost|cost|price of one unit|net price|your price|price each|each|rate"
    "|dollars|usd|list price|new price",
    "pack_cost": "pack price|price of a pack|price per pack|case price|package price|pack cost",
    "supplier": "supplier|vendor|source|bought from|seller|dealer",
    "waste_percent": "waste|waste %|waste percent|allowance",
}
_KNOWN = {words: field for field, listed in _HEADINGS.items() for words in listed.split("|")}
_LOOKED_AT = 25


def _plain(heading: str) -> str:
    """The heading in lower case, letters and single spaces only."""
    without_notes = re.sub(r"\(.*?\)|\[.*?\]", " ", fold(heading))
    return " ".join(re.sub(r"[^a-z%]+", " ", without_notes).split())


def guess_columns(header: Sequence[str]) -> dict[str, int]:
    """Field name -> column number, as far as the headings say; no column and no field twice."""
    found: dict[str, int] = {}
    for number, heading in enumerate(header):
        field = _KNOWN.get(_plain(heading))
        if field is not None and field not in found:
            found[field] = number
    return found


def find_header(lines: Iterable[Sequence[str]]) -> int | None:
    """Index of the line of headings: the one of the first lines in which most columns are known, at least two."""
    best: tuple[int, int] | None = None
    for index, cells in enumerate(lines):
        if index >= _LOOKED_AT:
            break
        known = len(guess_columns(cells))
        if known >= 2 and (best is None or known > best[0]):
            best = (known, index)
    return None if best is None else best[1]


def missing_columns(columns: Mapping[str, int]) -> str:
    """What still has to be said before a file can be read, as a sentence; empty when nothing."""
    if "code" not in columns:
        return "Say which column holds the code: by it an item is recognized."
    if "unit_cost" not in columns and "pack_cost" not in columns:
        return "Say which column holds the price, of one unit or of a pack."
    if "unit_cost" not in columns and "pack_quantity" not in columns:
        return "A price for the pack needs the column that says how many units are in one."
    return ""


def decimal_comma_used(amounts: Iterable[str]) -> bool:
    """True when the amounts of a column read 1.234,50 rather than 1,234.50; in doubt they read the second way."""
    comma = point = 0
    for amount in amounts:
        text = re.sub(r"[^0-9.,]", "", amount)
        if re.fullmatch(r"[0-9]{1,3}(?:\.[0-9]{3})*,[0-9]{1,2}|[0-9]+,(?:[0-9]{1,2}|[0-9]{4})", text):
            comma += 1
        elif re.fullmatch(r"[0-9]{1,3}(?:,[0-9]{3})*\.[0-9]{1,4}|[0-9]+\.[0-9]{1,4}", text):
            point += 1
    return comma > point
