"""What a month costs whether or not there is work, and how it is spread over the billable hours."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout

from db.commands.firm import (
    add_overhead_item,
    change_overhead_item,
    remove_overhead_basis,
    remove_overhead_item,
    set_overhead_basis,
)
from desktop.desk import Desk
from desktop.pages.company.dated_rows import DatedRows, ShortTable
from desktop.pages.company.ladder_view import LadderView
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import Card, Notice, column, label
from desktop.widgets.flow import BesideOrBelow
from desktop.widgets.form import DateField, MoneyField, QuantityField, TextField
from desktop.widgets.table import Column, RowsModel
from domain.company_costs.rates import CompanyCosts, firm_ladder, hours_beside
from domain.dates import format_day_short, parse_day
from domain.firm import OverheadBasis, OverheadEntry
from domain.money import format_money, parse_money
from domain.units import format_quantity, parse_quantity
from domain.units.numbers import to_places

ROOM_BESIDE = 880


class OverheadCard(Card):
    """The monthly costs, the billable hours of a month, and the ladder of today."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Overhead on every hour", "what each month costs whether or not there is work")
        self.desk = desk
        self._make_items()
        self._make_basis()
        self.ladder = LadderView(
            "Overhead on a billable hour", "Say how many hours of a month are billable: overhead is spread over them."
        )
        grid = QGridLayout()
        grid.setHorizontalSpacing(28)
        grid.addWidget(
            column(self.items, label("Billable hours a month, all people together", "small", "soft"), self.bases, None),
            0, 0,
        )  # fmt: skip
        grid.addWidget(self.ladder, 0, 1)
        grid.setColumnStretch(0, 5)
        grid.setColumnStretch(1, 4)
        self._ladder_place = BesideOrBelow(grid, self.ladder, ROOM_BESIDE, 4)
        self.apart = Notice("caution")
        self.add(grid)
        self.add(self.apart)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a small window what the hour is made of stands beneath the months."""
        super().resizeEvent(event)
        self._ladder_place.fit(self.width())

    def _make_items(self) -> None:
        model = RowsModel(
            [
                Column("name", "Monthly cost", stretch=1, editable=True),
                Column("cents_per_month", "A month", "right", width=86, editable=True),
                Column("starts_on", "From", editable=True),
                Column("ends_on", "Until", editable=True, tooltip="Its last day; empty while it goes on"),
            ],
            text={
                "cents_per_month": lambda entry: format_money(entry.cents_per_month),
                "starts_on": lambda entry: format_day_short(entry.starts_on),
                "ends_on": lambda entry: format_day_short(entry.ends_on) if entry.ends_on else "",
            },
            sort_key={
                "cents_per_month": lambda entry: entry.cents_per_month,
                "starts_on": lambda entry: entry.starts_on,
                "ends_on": lambda entry: entry.ends_on,
            },
            row_id=lambda entry: entry.id,
            setter=self._set_item,
        )
        table = ShortTable(model, "Monthly costs", least=3)
        table.set_empty("No monthly costs yet", "Insurance, telephone, storage, tools, bookkeeping …")
        self.new_name, self.new_cost = TextField("Another monthly cost"), MoneyField()
        self.new_name.setAccessibleName("Another monthly cost")
        self.new_cost.setAccessibleName("Cost a month")
        self.new_cost.setPlaceholderText("$ a month")
        self.new_cost.setMaximumWidth(110)
        self.items = DatedRows(
            table, [self.new_name, self.new_cost], "Add", self._add_item, "Remove this cost as if it never was",
            lambda entry: attempt(
                self.desk, f"Remove {entry.name}", lambda edit: remove_overhead_item(edit, entry.id),
                say=f"{entry.name} removed. To stop it from a day on, type its last day instead.", undo=True,
            ), draft=(self.desk, "monthly cost"),
        )  # fmt: skip

    def _make_basis(self) -> None:
        model = RowsModel(
            [
                Column("hours", "Billable a month", "right", width=130, editable=True),
                Column("starts_on", "From", stretch=1),
            ],
            text={
                "hours": lambda basis: _hours_text(basis.billable_minutes_per_month),
                "starts_on": lambda basis: format_day_short(basis.starts_on),
            },
            row_id=lambda basis: basis.id,
            setter=self._set_basis,
        )
        self.new_hours = QuantityField("h")
        self.new_hours.setPlaceholderText("104 h")
        self.new_hours.setAccessibleName("Billable hours a month")
        self.new_from = DateField(self.desk.today, placeholder="from: today")
        self.new_from.setAccessibleName("From")
        self.bases = DatedRows(
            ShortTable(model, "Billable hours a month", least=1, most=5), [self.new_hours, self.new_from], "Add",
            self._add_basis, "Remove this number",
            lambda basis: attempt(
                self.desk, "Remove billable hours", lambda edit: remove_overhead_basis(edit, basis.id), undo=True,
                say="Removed; the number before it counts again.",
            ), draft=(self.desk, "billable hours"),
        )  # fmt: skip

    def show_costs(self, costs: CompanyCosts, today: date) -> None:
        """Show the costs, newest billable hours first, and today's ladder."""
        self.items.table.rows_model().set_rows(costs.overhead)
        self.bases.table.rows_model().set_rows(sorted(costs.overhead_bases, key=lambda b: b.starts_on, reverse=True))
        self.ladder.set_ladder(firm_ladder(costs, today))
        self.apart.set_words("caution", hours_beside(costs, today))

    def _set_item(self, entry: OverheadEntry, key: str, typed: str) -> str | None:
        def day(text: str) -> date:
            return parse_day(text, self.desk.today())

        value: Any = typed.strip()
        if key == "ends_on" and not value:
            value = None
        elif key != "name":
            value, message = read_cell(parse_money if key == "cents_per_month" else day, typed)
            if message:
                return message
        return attempt(
            self.desk, f"Change {entry.name}", lambda edit: change_overhead_item(edit, entry.id, **{key: value})
        )

    def _add_item(self) -> None:
        if not (self.new_name.commit() and self.new_cost.commit()):
            return
        if self.new_cost.value() is None:
            self.new_cost.setFocus()
            if self.new_name.value():
                self.new_cost.set_problem("Type what it costs a month.")
            return
        name, cents = self.new_name.value(), self.new_cost.value()
        if message := attempt(
            self.desk, f"Add {name}", lambda edit: add_overhead_item(edit, name, cents, self.desk.today())
        ):
            self.new_name.set_problem(message)
            return
        self.new_name.reset()
        self.new_cost.reset()
        self.new_name.setFocus()

    def _set_basis(self, basis: OverheadBasis, key: str, typed: str) -> str | None:
        hours, message = read_cell(lambda text: parse_quantity(text, "h"), typed)
        return message or self._save_basis(basis.starts_on, hours)

    def _save_basis(self, day: date, hours: Decimal) -> str | None:
        minutes = int(to_places(hours * 60, 0))
        return attempt(
            self.desk, "Change billable hours a month", lambda edit: set_overhead_basis(edit, day, minutes)
        )

    def _add_basis(self) -> None:
        if not (self.new_hours.commit() and self.new_from.commit()):
            return
        if self.new_hours.value() is None:
            self.new_hours.set_problem("Type how many hours.")
            return
        if message := self._save_basis(self.new_from.value() or self.desk.today(), self.new_hours.value()):
            self.new_hours.set_problem(message)
            return
        self.new_hours.reset()
        self.new_from.reset()


def _hours_text(minutes: int) -> str:
    return format_quantity(to_places(Decimal(minutes) / 60, 2), "h")
