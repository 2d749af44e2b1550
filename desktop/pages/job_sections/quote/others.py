"""Other direct costs on a quote: permit, subcontractor, equipment, travel by miles, anything else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from db.commands.quotes import add_other, change_other
from db.edit import Edit
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.line_card import LineCard
from desktop.widgets.table import Column
from domain.money import format_money, format_unit_cost, line_cents
from domain.quoting.doubts import costs_nothing
from domain.quoting.lines import OtherLine
from domain.quoting.typed import OTHER_WORDS, Values, blank_other, other_then, other_values
from domain.units import format_quantity
from domain.unlikely import amount_doubt, price_doubt, quantity_doubt


class OthersCard(LineCard):
    """Lines that are neither work nor material."""

    kind, first, word = "other", "kind", "cost"

    def __init__(self, editing: QuoteEditing, title: str, note: str) -> None:
        super().__init__(editing, title, note)
        self.table.after_first = lambda line: "quantity" if line.kind == "travel" else "unit_cost"

    def columns(self) -> list[Column]:
        return [
            Column("kind", "Kind", width=150, editable=True,
                   tooltip="Permit, subcontractor, equipment, travel; anything else: other dumpster"),
            Column("description", "What", stretch=2, editable=True),
            Column("quantity", "Quantity", "right", width=96, editable=True),
            Column("unit", "Unit", width=76, editable=True),
            Column("unit_cost", "Unit cost", "right", width=96, editable=True),
            Column("cost", "Cost", "right", width=96),
        ]  # fmt: skip

    def texts(self) -> dict[str, Callable[[OtherLine], Any]]:
        return {
            "kind": lambda line: OTHER_WORDS.get(line.kind, "Add a cost"),
            "quantity": lambda line: format_quantity(line.quantity) if line.kind else "",
            "unit": lambda line: line.unit if line.kind else "",
            "unit_cost": lambda line: (format_unit_cost(line.unit_cost) if line.unit_cost else "no price")
            if line.kind
            else "",
            "cost": lambda line: self._cost(self.shown(line)),
        }

    def tones(self) -> dict[str, Callable[[OtherLine], str]]:
        return {
            "kind": lambda line: "" if line.id else "ink_faint",
            "unit_cost": lambda line: "over" if line.kind and not self.shown(line).unit_cost else "",
            "cost": lambda line: "over" if line.kind and costs_nothing(self.shown(line)) else "",
        }

    def tips(self) -> dict[str, Callable[[OtherLine], str]]:
        words = "The firm's cost of a mile, from the Firm page"
        return {"unit_cost": lambda line: words if line.unit == "mile" else ""}

    def choices(self) -> dict[str, Callable[[OtherLine], list[str]]]:
        return {"kind": lambda _: list(OTHER_WORDS.values())}

    def doubt(self, line: OtherLine, key: str) -> str:
        if key == "quantity":
            return quantity_doubt(line.quantity, line.unit)
        if key == "unit_cost":
            known = self.editing.quote.mile_cost if line.kind == "travel" else None
            return price_doubt(line.unit_cost, known, "a mile costs") or amount_doubt(int(line.unit_cost * 100))
        return ""

    def lines(self) -> list[OtherLine]:
        return [line for line in self.editing.document.others if line.option_id == self.editing.option_id]

    def blank(self) -> OtherLine:
        return blank_other(self.editing.quote, self.editing.option_id)

    def values(self, line: OtherLine, key: str, text: str) -> Values:
        return other_values(key, text, line.unit)

    def then(self, line: OtherLine, values: Values) -> OtherLine:
        return other_then(line, values, self.editing.quote)

    def add_line(self, edit: Edit, line: OtherLine) -> int:
        return add_other(
            edit, line.quote_id, line.kind, line.quantity, description=line.description, option_id=line.option_id
        )

    def change_line(self, edit: Edit, line_id: int, values: Values) -> None:
        change_other(edit, line_id, **values)

    def _cost(self, line: OtherLine) -> str:
        return format_money(line_cents(line.quantity, line.unit_cost)) if line.kind else ""

    def named(self, line: OtherLine) -> str:
        return line.description or OTHER_WORDS.get(line.kind, "cost").lower()
