"""What the hour of one person costs: the dated numbers at the left, the ladder they make at the right."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from db.commands.firm import (
    add_person,
    add_person_cost,
    archive_person,
    change_person,
    change_person_cost,
    delete_person,
    remove_person_cost,
    restore_person,
)
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.ladder_view import LadderView
from desktop.pages.company.part import attempt
from desktop.pages.company.problem_line import ProblemLine
from desktop.widgets.cards import Card, button, column, flowing, row
from desktop.widgets.flow import BesideOrBelow
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField, PercentField, QuantityField, TextField
from desktop.widgets.half import only_asks
from domain.company_costs import hour_ladder
from domain.company_costs.rates import CompanyCosts, in_force, ladder_costs
from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.firm import Person, PersonCost
from domain.standards.taxes import FIRST_DAY

_HELPERS_FIRST = {
    "wage_cents": 2200,
    "paid_hours": 1000,
    "billable_hours": 800,
    "workers_comp_percent": Decimal(8),
    "state_unemployment_percent": Decimal("2.7"),
    "state_unemployment_base_cents": 900_000,
    "other_cents_per_year": 0,
}
"""Where a new helper's numbers begin. Common practice, no source: insurance and state rates differ everywhere."""


ROOM_BESIDE = 880


class PersonCard(Card):
    """One person's hour; which person and which of the dated costs is chosen on top."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("An hour of a person", "wage or draw, taxes, insurance, and the hours nobody is billed for")
        self.desk = desk
        self._saver = Autosave(desk)
        self._costs: CompanyCosts | None = None
        self._person_id = self._cost_id = 0
        self.person = ChoiceField(required=True)
        only_asks(self.person)
        self.person.setAccessibleName("Person")
        self.person.edited.connect(self._choose_person)
        self.since = ChoiceField(required=True)
        only_asks(self.since)
        self.since.setAccessibleName("Cost from")
        self.since.edited.connect(self._choose_cost)
        self.add_helper = button("Add a helper", self._add_helper, icon_name="plus")
        self.new_name = TextField("Name of the helper")
        self.new_name.setAccessibleName("Name of the helper")
        self.leave = button("Archive", self._leave_or_return, "quiet", "archive")
        self.delete = button("Remove", self._delete, "quiet", "trash")
        self.add(flowing(self.person, self.since, row(self.new_name, self.add_helper)))
        self.add(ProblemLine([self.new_name]))
        self.new_name.returnPressed.connect(self.add_helper.click)
        self.ladder = LadderView("Cost of a billable hour", "Choose a person to see what the hour is made of.")
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(36)
        self._grid.addWidget(column(self._make_form(), self._make_foot(), None), 0, 0)
        self._grid.addWidget(self.ladder, 0, 1)
        self._grid.setColumnStretch(0, 2)
        self._grid.setColumnStretch(1, 3)
        self._ladder_place = BesideOrBelow(self._grid, self.ladder, ROOM_BESIDE, 3)
        self.add(self._grid)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a small window what the hour is made of stands beneath its figures."""
        super().resizeEvent(event)
        self._ladder_place.fit(self.width())

    def _make_form(self) -> QWidget:
        form = Form()
        self._fields: dict[str, Any] = {}
        for name, title, field, hint in (
            ("name", "Name", TextField(required=True), ""),
            ("starts_on", "Counts from", DateField(self.desk.today, required=True), ""),
            ("wage_cents", "Pay an hour", MoneyField(required=True, least=0), "Wage, or the owner's draw, before tax."),
            ("paid_hours", "Paid hours a year", _hours(), "All of them: jobs, driving, quoting, shopping."),
            ("billable_hours", "Billable hours a year", _hours(), "Those a customer's job gets."),
            ("workers_comp_percent", "Workers' comp", PercentField(required=True, least=Decimal(0)), "Of pay."),
            ("state_unemployment_percent", "State unemployment", PercentField(required=True, least=Decimal(0)), ""),
            ("state_unemployment_base_cents", "… on the first", MoneyField(required=True, least=0), "Of a year's pay."),
            ("other_cents_per_year", "Other, a year", MoneyField(required=True, least=0), "Health, training."),
        ):  # fmt: skip
            self._fields[name] = form.add(title, field, hint)
            self._bind(name, field)
        self._form = form
        return form

    def _bind(self, name: str, field: Any) -> None:
        if name == "name":
            self._saver.bind(
                field, "Change a name", lambda edit, value: change_person(edit, self._person_id, value),
                lambda: self._person_id and ("person", self._person_id),
            )  # fmt: skip
            return
        whole = name in ("paid_hours", "billable_hours")
        self._saver.bind(
            field,
            "Change what an hour costs",
            lambda edit, value: change_person_cost(edit, self._cost_id, **{name: int(value) if whole else value}),
            lambda: self._cost_id and ("cost of an hour", self._cost_id),
            name,
        )

    def _make_foot(self) -> QWidget:
        self.from_day = DateField(self.desk.today, placeholder="A new rate from: today, 1/1")
        self.from_day.setAccessibleName("A new rate from")
        self.add_rate = button("Add a rate", self._add_rate, icon_name="plus")
        self.remove = button("Remove this rate", self._remove_rate, "quiet", "trash")
        self.from_day.returnPressed.connect(self.add_rate.click)
        problem = ProblemLine([self.from_day])
        endings = flowing(self.remove, self.leave, self.delete)
        return column(row(self.from_day, self.add_rate), problem, endings, spacing=4)

    def field(self, name: str) -> Any:
        """One of the fields."""
        return self._fields[name]

    def show_costs(self, costs: CompanyCosts, today: date) -> None:
        """Show the chosen person, the owner at first, at the cost in force today or the one chosen."""
        self._costs = costs
        self.person.set_choices(
            [(one.id, f"{one.name}{'' if one.role == 'owner' else ', helper'}{', archived' if one.archived else ''}")
             for one in costs.people]
        )  # fmt: skip
        if not any(one.id == self._person_id for one in costs.people):
            self._person_id = costs.people[0].id if costs.people else 0
        self.person.set_value(self._person_id)
        mine = costs.costs_of(self._person_id)
        if not any(cost.id == self._cost_id for cost in mine):
            now = in_force(mine, today)
            self._cost_id = now.id if now else 0
        self.since.set_choices([(cost.id, f"from {format_day_short(cost.starts_on)}") for cost in mine])
        self.since.set_value(self._cost_id)
        self._show_person(today)

    @property
    def _shown_person(self) -> Person | None:
        return next((one for one in self._costs.people if one.id == self._person_id), None) if self._costs else None

    @property
    def _shown_cost(self) -> PersonCost | None:
        return next((one for one in self._costs.person_costs if one.id == self._cost_id), None) if self._costs else None

    def _show_person(self, today: date) -> None:
        person, cost = self._shown_person, self._shown_cost
        if person is None:
            self.ladder.set_ladder(None)
            return
        helper = person.role == "helper"
        for button_ in (self.leave, self.delete):
            button_.setVisible(helper)
        self.leave.setText("Bring back" if person.archived else "Archive")
        for name in ("state_unemployment_percent", "state_unemployment_base_cents"):
            self._form.set_visible(self._fields[name], helper)
        self._saver.show(self._fields["name"], person.name)
        if cost is None:
            self.ladder.set_ladder(None)
            return
        for name, field in self._fields.items():
            if name != "name":
                value = getattr(cost, name)
                self._saver.show(field, Decimal(value) if name in ("paid_hours", "billable_hours") else value)
        assert self._costs is not None
        mine = self._costs.costs_of(person.id)
        self.remove.setEnabled(len(mine) > 1)
        in_force_now = in_force(mine, today)
        day = max(today if in_force_now and in_force_now.id == cost.id else cost.starts_on, FIRST_DAY)
        try:
            self.ladder.set_ladder(hour_ladder(ladder_costs(person.role, cost), day, self._costs.own))
        except NotUnderstood:
            self.ladder.set_ladder(None)

    # What the owner does.

    def _choose_person(self, person_id: int) -> None:
        self._person_id, self._cost_id = person_id, 0
        self._again()

    def _choose_cost(self, cost_id: int) -> None:
        self._cost_id = cost_id
        self._again()

    def _again(self) -> None:
        if self._costs is not None:
            for field in self._fields.values():
                field.reset(None)
            self.show_costs(self._costs, self.desk.today())

    def _add_helper(self) -> None:
        self.new_name.commit()
        name = self.new_name.value()
        made: list[int] = []

        def work(edit: Any) -> None:
            made.append(add_person(edit, name))
            self._person_id, self._cost_id = made[0], 0
            add_person_cost(edit, made[0], self.desk.today(), **_HELPERS_FIRST)

        if message := attempt(self.desk, f"Add {name or 'a helper'}", work):
            self.new_name.set_problem(message)
            self.new_name.setFocus()
            return
        self.new_name.reset()
        self._fields["wage_cents"].setFocus()

    def _add_rate(self) -> None:
        if not self.from_day.commit():
            return
        day = self.from_day.value() or self.desk.today()

        def work(edit: Any) -> None:
            self._cost_id = add_person_cost(edit, self._person_id, day)

        if message := attempt(self.desk, f"New rate from {format_day_short(day)}", work):
            self.from_day.set_problem(message)
            return
        self.from_day.reset()
        self._fields["wage_cents"].setFocus()

    def _remove_rate(self) -> None:
        attempt(
            self.desk, "Remove a rate", lambda edit: remove_person_cost(edit, self._cost_id),
            say="Rate removed; the one before it counts again.", undo=True,
        )  # fmt: skip

    def _leave_or_return(self) -> None:
        person = self._shown_person
        if person is None:
            return
        change = restore_person if person.archived else archive_person
        done = "is back" if person.archived else "is no longer offered; all hours stay"
        attempt(
            self.desk, f"{'Bring back' if person.archived else 'Archive'} {person.name}",
            lambda edit: change(edit, person.id), say=f"{person.name} {done}.", undo=True,
        )  # fmt: skip

    def _delete(self) -> None:
        person = self._shown_person
        if person is not None:
            attempt(
                self.desk, f"Remove {person.name}", lambda edit: delete_person(edit, person.id),
                say=f"{person.name} removed, with the rates.", undo=True,
            )  # fmt: skip


def _hours() -> QuantityField:
    return QuantityField("h", required=True, least=Decimal(1))


