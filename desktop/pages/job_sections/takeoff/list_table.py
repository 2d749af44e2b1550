"""The list to buy: computed and own quantity, what the price list sells for it, cost, and why so much."""

from __future__ import annotations

from typing import Any

from db.commands.takeoff import choose_item, set_override
from desktop.pages.job_sections.quote.lines_table import LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.table import Column, RowsModel
from domain.errors import NotUnderstood
from domain.job_takeoff.choosing import NOT_LISTED, item_typed, items_offered, override_typed
from domain.job_takeoff.list_rows import ListRow, buys_words, list_rows
from domain.money import format_money
from domain.units import format_quantity
from domain.unlikely import quantity_doubt

COLUMNS = [
    Column("class", "Kind", width=92),
    Column("what", "What", width=190, stretch=2),
    Column("computed", "To buy", "right", width=96, tooltip="As computed, in whole packs"),
    Column("own", "Yours", "right", width=86, editable=True, tooltip="Type a quantity of your own; empty: as computed"),
    Column("buys", "Bought as", width=190, stretch=2, editable=True, tooltip="Remembered for every job"),
    Column("used", "Job uses", "right", width=96, tooltip="By this the job is costed; each item says its rule"),
    Column("cost", "Cost of use", "right", width=92, tooltip="Of what the job uses: this goes into the quote"),
    Column("shop", "At the shop", "right", width=92, tooltip="Of all that is bought, in whole sticks and packs"),
    Column("why", "Why so many", width=200, stretch=3),
]


class ListTable(LinesTable):
    """One row a line of the takeoff, by class."""

    def __init__(self, editing: TakeoffEditing) -> None:
        self.editing = editing
        model = RowsModel(
            COLUMNS,
            text={
                "class": lambda row: row.class_words,
                "what": lambda row: row.bought.line.description,
                "computed": lambda row: format_quantity(row.bought.line.computed, row.bought.line.unit),
                "used": lambda row: format_quantity(row.bought.quantity, row.bought.unit),
                "own": _own, "buys": lambda row: buys_words(row.bought), "cost": _cost, "shop": _shop,
                "why": lambda row: row.bought.reason,
            },
            tone={
                "class": lambda _: "ink_soft",
                "computed": lambda row: "ink_faint" if row.bought.line.override is not None else "",
                "buys": lambda row: {"open": "over", "none": "ink_faint"}.get(row.bought.how, ""),
                "cost": lambda row: "over" if _missing(row) else "", "shop": lambda _: "ink_soft",
                "why": lambda _: "ink_soft",
            },
            tip={"why": lambda row: _whole_reason(row), "what": lambda row: row.bought.line.caution,
                 "buys": _about_item},
            row_id=lambda row: row.bought.line.key, setter=self._save, can_edit=_can_edit,
            doubt=lambda row, key: quantity_doubt(row.bought.quantity, row.bought.unit, row.bought.line.description)
            if key == "own" else "",
            choices={"buys": lambda row: items_offered(row.bought.line, editing.kept.picks.items)},
        )  # fmt: skip
        super().__init__(model, "List to buy", "own")
        self.set_empty("Nothing to buy yet", "A proposed route that is built, and what is counted beside it, make it.")

    def show_list(self) -> None:
        """Show the list as it stands."""
        self.rows_model().set_rows(list_rows(self.editing.counted.bought))

    def _save(self, row: ListRow, key: str, text: str) -> str | None:
        line = row.bought.line
        job_id = self.editing.kept.job_id
        try:
            if key == "own":
                quantity = override_typed(line, text)
                return self.editing.save(
                    f"Own quantity of {line.description}",
                    lambda edit: set_override(edit, job_id, line.key, quantity),
                ) or None  # fmt: skip
            item_id = item_typed(line, text, self.editing.kept.picks.items)
        except NotUnderstood as problem:
            return str(problem)
        return self.editing.save(
            f"Choose what {line.description} is bought as", lambda edit: choose_item(edit, line.key, item_id)
        ) or None  # fmt: skip


def _own(row: ListRow) -> str:
    own = row.bought.line.override
    return "" if own is None else format_quantity(own, row.bought.line.unit)


def _missing(row: ListRow) -> bool:
    return row.bought.cost_cents is None and row.bought.how != "none"


def _cost(row: ListRow) -> str:
    if row.bought.how == "none":
        return ""
    return "no price" if row.bought.cost_cents is None else format_money(row.bought.cost_cents)


def _shop(row: ListRow) -> str:
    cents = row.bought.shop_cents
    return "" if cents is None or row.bought.how == "none" else format_money(cents)


def _whole_reason(row: ListRow) -> str:
    return "\n".join(part for part in (row.bought.reason, row.bought.line.caution) if part)


def _about_item(row: ListRow) -> str:
    bought = row.bought
    if bought.how == "fan":
        return "The fan chosen for the air of this job; change it in Air"
    if bought.item is None:
        return bought.note or f"Type an item's code or any part of its name, or “{NOT_LISTED}”"
    how = {"chosen": "chosen by you", "usual": "usual on jobs of this type"}.get(bought.how, "found by its name")
    parts = (bought.item.item.code, bought.item.supplier, how, bought.note, bought.rule_words)
    return "  ·  ".join(part for part in parts if part)


def _can_edit(row: Any, key: str) -> bool:
    return not (key == "buys" and row.bought.how == "fan")
