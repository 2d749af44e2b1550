"""What bringing in a price file would do, row by row, before anything is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from domain.errors import NotUnderstood
from domain.price_import.reading import Reading, read_row, read_unit
from domain.price_import.rows import FORMULA, MERGED, ImportRow
from domain.price_list import PricedItem
from domain.units import format_percent, format_quantity
from domain.words import fold


@dataclass(frozen=True, slots=True)
class NewItem:
    """A row that becomes a new item with its first price (dollars for one unit)."""

    number: int
    code: str
    name: str
    item_class: str
    unit: str
    pack_quantity: Decimal
    supplier: str
    waste_percent: Decimal
    unit_cost: Decimal


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One field of a known item that the file has otherwise."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ItemChange:
    """A row that changes a known item; unit_cost None: its price stays."""

    number: int
    item_id: int
    code: str
    name: str
    unit: str
    old_cost: Decimal | None
    unit_cost: Decimal | None
    values: tuple[tuple[str, Any], ...]
    fields: tuple[FieldChange, ...]


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """A row that cannot be brought in, and why."""

    number: int
    code: str
    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What the file would do; the refused rows are left out, all the others are written together or not at all."""

    on: date
    added: tuple[NewItem, ...]
    changed: tuple[ItemChange, ...]
    unchanged: tuple[ImportRow, ...]
    refused: tuple[RefusedRow, ...]
    new_suppliers: tuple[str, ...]

    @property
    def writes(self) -> int:
        """How many rows would be brought in."""
        return len(self.added) + len(self.changed)


def plan_import(
    rows: Sequence[ImportRow], existing: Iterable[PricedItem], on: date, decimal_comma: bool = False
) -> ImportPlan:
    """Compare the rows of a file with the price list.

    Args:
        rows: as `read_rows` gives them.
        existing: every item, archived ones too, with its price in force on `on`.
        on: the day from which the file's prices count.
        decimal_comma: amounts read 1.234,50.

    An item is recognised by its code, capitals aside. An empty cell changes nothing. A price of a pack is divided
    by the units in it and rounded half up to a hundredth of a cent.
    """
    known = {fold(priced.item.code): priced for priced in existing}
    lines: dict[str, list[int]] = {}
    for row in rows:
        lines.setdefault(fold(row.code), []).append(row.number)
    added: list[NewItem] = []
    changed: list[ItemChange] = []
    unchanged: list[ImportRow] = []
    refused: list[RefusedRow] = []
    for row in rows:
        try:
            _refuse_code(row, lines[fold(row.code)])
            priced = known.get(fold(row.code))
            read = read_row(row, decimal_comma, priced)
            if priced is None:
                added.append(_new_item(row, read))
            elif (change := _change(row, read, priced)) is not None:
                changed.append(change)
            else:
                unchanged.append(row)
        except NotUnderstood as error:
            refused.append(RefusedRow(row.number, _shown(row.code), _shown(row.name), str(error)))
    return ImportPlan(
        on, tuple(added), tuple(changed), tuple(unchanged), tuple(refused), _new_suppliers(added, changed, known)
    )


def _shown(text: str) -> str:
    return "" if text in (FORMULA, MERGED) else text


def _refuse_code(row: ImportRow, lines: list[int]) -> None:
    if row.code == MERGED:
        raise NotUnderstood("Its code is merged with the cell above. Unmerge the cells and give each row its code.")
    if row.code == FORMULA:
        raise NotUnderstood("Its code is a formula without a saved value. Save the file in a spreadsheet program.")
    if not row.code:
        raise NotUnderstood("It has no code.")
    if len(row.code) > 60:
        raise NotUnderstood("Its code is longer than 60 letters.")
    if len(lines) > 1:
        listed = ", ".join(str(number) for number in lines[:6]) + (" …" if len(lines) > 6 else "")
        raise NotUnderstood(f"The code stands in rows {listed}. Keep one of them.")


def _new_item(row: ImportRow, read: Reading) -> NewItem:
    if read.unit_cost is None:
        raise NotUnderstood("It has no price.")
    if not read.name:
        raise NotUnderstood("It is new and has no name.")
    return NewItem(
        row.number,
        row.code,
        read.name,
        read.item_class or "other",
        read.unit or "each",
        read.pack_quantity or Decimal(1),
        read.supplier,
        read.waste_percent or Decimal(0),
        read.unit_cost,
    )


def _change(row: ImportRow, read: Reading, priced: PricedItem) -> ItemChange | None:
    item = priced.item
    if item.archived:
        raise NotUnderstood("The item is archived. Bring it back on the price list first, if you buy it again.")
    if read.unit and read.unit != read_unit(item.unit):
        raise NotUnderstood(
            f"The price list counts it by the {item.unit}, the file by the {read.unit}. Make the two agree first."
        )
    values: list[tuple[str, Any]] = []
    fields: list[FieldChange] = []

    def compare(key: str, label: str, before: Any, after: Any, show: Callable[[Any], str] = str) -> None:
        if after not in (None, "") and after != before:
            values.append((key, after))
            fields.append(FieldChange(label, show(before), show(after)))

    compare("name", "name", item.name, read.name)
    compare("item_class", "kind", item.item_class, read.item_class if read.class_is_said else "")
    compare("pack_quantity", "pack", item.pack_quantity, read.pack_quantity, format_quantity)
    another = fold(read.supplier) != fold(priced.supplier)
    compare("supplier", "supplier", priced.supplier, read.supplier if another else "")
    compare("waste_percent", "waste", item.waste_percent, read.waste_percent, format_percent)
    cost = read.unit_cost if read.unit_cost != priced.unit_cost else None
    if cost is None and not values:
        return None
    return ItemChange(
        row.number, item.id, item.code, read.name or item.name, item.unit, priced.unit_cost, cost,
        tuple(values), tuple(fields),
    )  # fmt: skip


def _new_suppliers(
    added: Iterable[NewItem], changed: Iterable[ItemChange], known: dict[str, PricedItem]
) -> tuple[str, ...]:
    """Suppliers no item comes from yet, each once; one that is kept without items is found again when writing."""
    have = {fold(priced.supplier) for priced in known.values()}
    named = [new.supplier for new in added]
    named += [str(value) for change in changed for key, value in change.values if key == "supplier"]
    fresh = {fold(name): name for name in reversed(named) if name and fold(name) not in have}
    counted = Counter(fold(name) for name in named)
    return tuple(sorted(fresh.values(), key=lambda name: (-counted[fold(name)], name)))
