"""What a mile costs, by date."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from db.commands.firm import remove_mile_cost, set_mile_cost
from desktop.desk import Desk
from desktop.pages.company.dated_rows import DatedRows, ShortTable
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import Card, label
from desktop.widgets.form import DateField, TypedField
from desktop.widgets.table import Column, RowsModel
from domain.company_costs.rates import CompanyCosts, in_force
from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.firm import MileCost
from domain.money import format_unit_cost, parse_unit_cost
from domain.standards import Standard, standard_on


class MileCard(Card):
    """Dated costs of a mile, and beside them the government's rate of that day."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("A mile", "the van in all: fuel, wear, insurance")
        self.desk = desk
        self._in_force = 0
        self._own: tuple[Standard, ...] = ()
        model = RowsModel(
            [
                Column("starts_on", "From", width=130),
                Column("unit_cost", "A mile", "right", width=100, editable=True),
                Column("official", "Standard business rate that day", stretch=1),
                Column("now", "", kind="state", width=110),
            ],
            text={
                "starts_on": lambda mile: format_day_short(mile.starts_on),
                "unit_cost": lambda mile: format_unit_cost(mile.unit_cost),
                "official": self._official,
                "now": lambda mile: "counts now" if mile.id == self._in_force else "",
            },
            tone={"now": lambda _: "good"},
            row_id=lambda mile: mile.id,
            setter=self._set,
        )
        self.new_from = DateField(desk.today, placeholder="from: 1/1, today")
        self.new_from.setAccessibleName("From")
        self.new_cost = TypedField(parse_unit_cost, format_unit_cost, placeholder="$ a mile", right=True)
        self.new_cost.setAccessibleName("Cost of a mile")
        self.rows = DatedRows(
            ShortTable(model, "Cost of a mile", most=6), [self.new_from, self.new_cost], "Add", self._add,
            "Remove this cost",
            lambda mile: attempt(
                desk, "Remove a cost of a mile", lambda edit: remove_mile_cost(edit, mile.id), undo=True,
                say="Removed; the one before it counts again.",
            ),
        )  # fmt: skip
        self.add(self.rows)
        self.add(
            label(
                "The standard rate is for tax; what a mile costs you may differ. A job's miles are costed at "
                "the rate of their day. Keep the van out of the monthly costs above, or it counts twice.",
                "small", "faint", wrap=True,
            )
        )  # fmt: skip

    def show_costs(self, costs: CompanyCosts, today: date) -> None:
        """Show all, newest first."""
        now = in_force(costs.mile_costs, today)
        self._in_force, self._own = now.id if now else 0, costs.own
        self.rows.table.rows_model().set_rows(
            sorted(costs.mile_costs, key=lambda mile: mile.starts_on, reverse=True)
        )

    def _set(self, mile: MileCost, key: str, typed: str) -> str | None:
        cost, message = read_cell(parse_unit_cost, typed)
        return message or self._save(mile.starts_on, cost)

    def _save(self, day: date, cost: Decimal) -> str | None:
        return attempt(self.desk, "Change the cost of a mile", lambda edit: set_mile_cost(edit, day, cost))

    def _add(self) -> None:
        if not (self.new_from.commit() and self.new_cost.commit()):
            return
        if self.new_cost.value() is None:
            self.new_cost.set_problem("Type what a mile costs.")
            return
        if message := self._save(self.new_from.value() or self.desk.today(), self.new_cost.value()):
            self.new_cost.set_problem(message)
            return
        self.new_from.reset()
        self.new_cost.reset()

    def _official(self, mile: MileCost) -> str:
        try:
            rate = standard_on("mileage_rate", mile.starts_on, self._own)
        except NotUnderstood:
            return ""
        return f"{format_unit_cost(rate.value)}, {'your own value' if rate.is_own else rate.edition}"
