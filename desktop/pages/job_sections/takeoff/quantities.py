"""The list beside the route, short: what, how many, and its cost; it follows every keystroke."""

from __future__ import annotations

from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.typed_table import TypedTable
from desktop.widgets.table import Column, RowsModel
from domain.job_takeoff.matching import Bought
from domain.money import format_money
from domain.units import format_quantity


class QuantitiesTable(TypedTable):
    """One row a line of the takeoff."""

    def __init__(self, editing: TakeoffEditing) -> None:
        self.editing = editing
        super().__init__(
            RowsModel(
                [
                    Column("what", "To buy, for what is built", stretch=1),
                    Column("quantity", "To buy", "right", width=88),
                    Column("cost", "Cost of use", "right", width=84, tooltip="Of what the job uses"),
                ],
                text={
                    "what": lambda one: one.line.description,
                    "quantity": lambda one: format_quantity(one.line.quantity, one.line.unit),
                    "cost": _cost,
                },
                tone={"cost": lambda one: "over" if one.cost_cents is None and one.how != "none" else "ink_soft"},
                tip={"what": lambda one: one.reason, "quantity": lambda one: one.reason},
                row_id=lambda one: one.line.key,
            ),
            "Quantities",
        )
        self.set_empty("Nothing to buy yet", "Type a proposed route that is built: the list grows with it.")

    def show_quantities(self) -> None:
        """Show the list as it stands now."""
        self.rows_model().set_rows(self.editing.counted.bought)


def _cost(one: Bought) -> str:
    if one.how == "none":
        return ""
    return "no price" if one.cost_cents is None else format_money(one.cost_cents)
