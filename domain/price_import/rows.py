"""The rows of a price file, cut into named fields by the columns the owner agreed to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from domain.price_import.columns import FIELDS

FORMULA = "\x00formula"
"""Stands in a cell that holds a formula whose value was not saved in the file."""

MERGED = "\x00merged"
"""Stands in a cell that is merged with another one and so has no value of its own."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line of a file: its number as a spreadsheet shows it, and its cells as text."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ImportRow:
    """One line of a price file, each field as it was typed; a field without a column is empty."""

    number: int
    code: str = ""
    name: str = ""
    item_class: str = ""
    unit: str = ""
    pack_quantity: str = ""
    unit_cost: str = ""
    pack_cost: str = ""
    supplier: str = ""
    waste_percent: str = ""


def read_rows(lines: Iterable[SheetRow], columns: Mapping[str, int]) -> list[ImportRow]:
    """The lines as fields; lines with nothing in any of the columns are passed over."""
    rows = []
    for line in lines:
        fields = {field: _cell(line.cells, columns.get(field)) for field in FIELDS}
        if any(value not in ("", MERGED) for value in fields.values()):
            rows.append(ImportRow(line.number, **fields))
    return rows


def _cell(cells: Sequence[str], number: int | None) -> str:
    return cells[number].strip() if number is not None and number < len(cells) else ""
