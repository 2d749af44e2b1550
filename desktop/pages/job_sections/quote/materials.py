"""The materials on a quote: item by code or name, net quantity, waste, reason, unit cost, cost."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from db.commands.quotes import add_material, change_material
from db.edit import Edit
from desktop.pages.job_sections.quote.line_card import LineCard
from desktop.widgets.table import Column
from domain.dates import format_day_short
from domain.money import format_money, format_unit_cost, line_cents
from domain.quoting.doubts import costs_nothing
from domain.quoting.lines import MaterialLine
from domain.quoting.typed import Values, blank_material, material_then, material_values
from domain.units import format_percent, format_quantity
from domain.unlikely import percent_doubt, price_doubt, quantity_doubt


class MaterialsCard(LineCard):
    """Material lines."""

    kind, first, word = "material", "item", "material"

    def columns(self) -> list[Column]:
        return [
            Column("item", "Item", stretch=2, editable=True, tooltip="Type a code, or any part of a name"),
            Column("net", "Net", "right", width=80, editable=True),
            Column("waste", "Waste", "right", width=68, editable=True),
            Column("quantity", "With waste", "right", width=94),
            Column("reason", "Reason", stretch=1, editable=True),
            Column("unit_cost", "Unit cost", "right", width=90, editable=True),
            Column("cost", "Cost", "right", width=88),
        ]

    def texts(self) -> dict[str, Callable[[MaterialLine], Any]]:
        return {
            "item": lambda line: line.description or "Add material: type a code or a name",
            "net": lambda line: format_quantity(line.net_quantity, line.unit) if line.description else "",
            "waste": lambda line: format_percent(line.waste_percent) if line.description else "",
            "quantity": lambda line: self._with_waste(self.shown(line)),
            "unit_cost": self._unit_cost,
            "cost": lambda line: self._cost(self.shown(line)),
        }

    def tones(self) -> dict[str, Callable[[MaterialLine], str]]:
        return {
            "item": lambda line: "" if line.id else "ink_faint",
            "quantity": lambda _: "ink_soft",
            "unit_cost": lambda line: "over" if line.description and not line.unit_cost else "",
            "cost": lambda line: "over" if line.description and costs_nothing(self.shown(line)) else "",
        }

    def tips(self) -> dict[str, Callable[[MaterialLine], str]]:
        return {"item": self._about}

    def choices(self) -> dict[str, Callable[[MaterialLine], list[str]]]:
        return {"item": lambda _: self.editing.page.picks.item_labels if self.editing.page else []}

    def doubt(self, line: MaterialLine, key: str) -> str:
        if key == "net":
            return quantity_doubt(line.net_quantity, line.unit, line.description, unit_cost=line.unit_cost)
        if key == "waste":
            return percent_doubt(line.waste_percent, Decimal(50))
        priced = self.editing.page.picks.item(line.item_id) if self.editing.page else None
        if key == "unit_cost":
            return price_doubt(line.unit_cost, priced.unit_cost if priced else None)
        return ""

    def lines(self) -> list[MaterialLine]:
        return [line for line in self.editing.document.materials if line.option_id == self.editing.option_id]

    def blank(self) -> MaterialLine:
        return blank_material(self.editing.quote, self.editing.option_id)

    def values(self, line: MaterialLine, key: str, text: str) -> Values:
        assert self.editing.page is not None
        return material_values(key, text, line.unit, self.editing.page.picks)

    def then(self, line: MaterialLine, values: Values) -> MaterialLine:
        assert self.editing.page is not None
        return material_then(line, values, self.editing.page.picks)

    def add_line(self, edit: Edit, line: MaterialLine) -> int:
        free_words = line.description if line.item_id is None else None
        return add_material(
            edit, line.quote_id, line.item_id, line.net_quantity, description=free_words, option_id=line.option_id,
            on=self.editing.desk.today(),
        )  # fmt: skip

    def change_line(self, edit: Edit, line_id: int, values: Values) -> None:
        change_material(edit, line_id, on=self.editing.desk.today(), **values)

    def named(self, line: MaterialLine) -> str:
        return line.description

    def _with_waste(self, line: MaterialLine) -> str:
        return format_quantity(line.quantity, line.unit) if line.description else ""

    def _cost(self, line: MaterialLine) -> str:
        return format_money(line_cents(line.quantity, line.unit_cost)) if line.description else ""

    def _unit_cost(self, line: MaterialLine) -> str:
        if not line.description:
            return ""
        return format_unit_cost(line.unit_cost) if line.unit_cost else "no price"

    def _about(self, line: MaterialLine) -> str:
        priced = self.editing.page.picks.item(line.item_id) if self.editing.page else None
        if priced is None:
            return "Not on the price list" if line.description else ""
        day = f"price of {format_day_short(priced.priced_on)}" if priced.priced_on else "no price yet"
        pack = f"sold by {format_quantity(priced.item.pack_quantity, priced.item.unit)}"
        return "  ·  ".join(part for part in (priced.item.code, priced.supplier, pack, day) if part)
