"""Hostile text in every text column of a company file, found by walking the schema, not by a list."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

from sqlalchemy import String

from db.tables import METADATA

TAG = '<img src="http://h.example/i.png">'
PLANTED = (
    f'=HYPERLINK("http://h.example/") &S & {TAG} &lt;b&gt; [*] _x001B_ ../%s'
    "\x1b[31m\x07\x0b\x85\u2028\u202e\u2066\ufeff\x01\r\nBEGIN:VEVENT\r\nEND:VCALENDAR\r\n"
)
"""Stands before what each column holds: a formula, shortcuts, a tag, an entity, escapes, ends of lines, turns."""

CODES = {
    "action": {"made_at"},
    "air_plan": {"method"},
    "attachment": {"file_name", "sha256"},
    "bill": {"kind"},
    "bill_line": {"kind"},
    "bill_payment": {"means"},
    "change": {"table_name", "before", "after"},
    "check_answer": {"point_key", "answer"},
    "check_point": {"point_key", "phase"},
    "closed_month": {"month", "figures"},
    "company": {"unit_system", "radon_unit", "tax_treatment", "logo_sha256"},
    "contact": {"kind"},
    "correction": {"table_name"},
    "customer": {"kind"},
    "defect": {"outcome", "answer"},
    "exposure": {"level_from"},
    "fan_curve": {"points"},
    "invoice": {"kind", "tax_treatment"},
    "invoice_line": {"kind"},
    "item": {"item_class", "costed_by"},
    "labour_line": {"crew", "takeoff_key"},
    "labour_task": {"role"},
    "ledger_account": {"role"},
    "library_proposal": {"evidence"},
    "logo_file": {"sha256"},
    "material_line": {"takeoff_key"},
    "material_use": {"source"},
    "other_cost": {"kind"},
    "other_line": {"kind"},
    "own_standard": {"standard_key", "value"},
    "paper": {"kind", "issued_at", "sha256"},
    "paper_file": {"sha256"},
    "row_sums": {"table_name"},
    "paper_text": {"kind", "part"},
    "party": {"role"},
    "payment": {"kind", "means"},
    "person": {"role"},
    "photo": {"file_name"},
    "price_adjustment": {"kind"},
    "property": {"storeys"},
    "quote": {"kind", "pricing", "tax_treatment"},
    "quote_sketch": {"details"},
    "radon_test": {"purpose", "closed_house", "placed_by"},
    "route": {"status", "words"},
    "site_reading": {"kind"},
    "supplier_sheet": {"headings", "columns"},
    "takeoff_choice": {"name", "value"},
    "takeoff_extra": {"item_class"},
    "takeoff_item": {"line_key"},
    "takeoff_override": {"line_key"},
    "takeoff_part": {"kind", "details"},
    "takeoff_task": {"driver_key"},
    "timer": {"started_at"},
    "visit": {"kind"},
}
"""Columns that hold a word of the program's, a day or a structure: a person cannot type into them."""

_NEVER_LEAVES = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")


def harm_in(text: str) -> list[str]:
    """What of a text would command a terminal, end a line unseen or turn its direction."""
    return [repr(found) for found in _NEVER_LEAVES.findall(text)]


def word_columns() -> list[tuple[str, str]]:
    """Table and column of all text a person can type."""
    return [
        (table.name, column.name)
        for table in METADATA.sorted_tables
        for column in table.columns
        if isinstance(column.type, String) and column.name not in CODES.get(table.name, set())
    ]


def plant(path: Path) -> int:
    """Put the hostile text into every row of every such column; returns how many cells there were."""
    cells = 0
    with sqlite3.connect(path) as conn:
        for table, column in word_columns():
            words = f'UPDATE "{table}" SET "{column}" = ? || "{column}" WHERE "{column}" IS NOT NULL'
            cells += conn.execute(words, (PLANTED,)).rowcount
    conn.close()
    return cells
