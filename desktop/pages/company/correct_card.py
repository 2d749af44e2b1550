"""Asks for an entry of a closed month that was wrong, and for what is right; both are entered in an open month."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.corrections import correct_bill, correct_hours, correct_material, correct_other_cost, correct_trip
from db.queries.books.corrections import BookedRow, correctable
from db.queries.calendar import job_of_number
from desktop.desk import Desk
from desktop.pages.company.part import attempt
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import Card, Notice, button
from desktop.widgets.form import DateField, DurationField, QuantityField, TextField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short
from domain.money import format_money

_NOUNS = {
    "hours_entry": "Hours",
    "material_use": "Material",
    "other_cost": "Cost",
    "bill": "Bill",
    "trip": "Miles",
}


class CorrectCard(Card):
    """Hidden until it is begun: a job's entries of closed months, or bills and miles without a job.

    Signals:
        opened: it was shown (True) or left (False).
    """

    opened = Signal(bool)

    def __init__(self, desk: Desk) -> None:
        super().__init__("Correct an entry of a closed month")
        self.desk = desk
        self.job = TextField("Job number; empty for bills and miles of no job")
        only_asks(self.job)
        self.job.setAccessibleName("Job number")
        self.job.returnPressed.connect(self.look)
        self.problem = Notice("caution")
        self.table = RowsTable(_model(), "Entries of closed months")
        self.table.set_empty("Nothing to correct here", "Only what lies in a closed month is put right so.")
        self.table.setMinimumHeight(150)
        self.table.row_activated.connect(lambda _: self.ask())
        self._asked_of = ""  # the entry that is put right
        self.asking = AskCard(desk, lambda: self._asked_of)
        line = QHBoxLayout()
        line.addWidget(self.job, 1)
        line.addWidget(button("Show its entries", self.look, "quiet", "search"))
        line.addWidget(button("Put it right", self.ask, "primary", "edit", "Enter, on the entry"))
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(line)
        column.addWidget(self.problem)
        column.addWidget(self.table)
        column.addWidget(self.asking)
        self.add(inside)
        self.add_action(button("Leave it", self.leave, "quiet", "cross"))
        self.hide()

    def setVisible(self, visible: bool) -> None:
        """Show or hide it, and tell the part, which gives it its room."""
        super().setVisible(visible)
        self.opened.emit(visible)

    def begin(self) -> None:
        """Show the card, the cursor where the job's number is typed."""
        self.show()
        self.look()
        self.job.setFocus()

    def leave(self) -> None:
        """Put nothing right: what was typed for it goes."""
        self.asking.close_up()
        self.hide()

    def look(self) -> None:
        """List what can be corrected."""
        number = self.job.text().strip()
        with self.desk.read() as conn:
            job_id = job_of_number(conn, number) if number else None
            if number and job_id is None:
                self.problem.set_words("caution", f"There is no job {number}. Type it as the job list shows it.")
                return
            rows = correctable(conn, job_id)
        self.problem.set_words("caution", "")
        self.table.rows_model().set_rows(rows)

    def ask(self) -> None:
        """Ask for what is right of the entry under the cursor; left empty, it is only taken back."""
        row: BookedRow | None = self.table.current_row()
        if row is None:
            self.problem.set_words("caution", "Choose an entry in the list first.")
            return
        field: Any = (
            DurationField() if row.table == "hours_entry" else QuantityField("mi" if row.table == "trip" else "")
        )
        fields: list[Any] = [
            ("Why", TextField("what was wrong", required=True), ""),
            ("Entered on", DateField(self.desk.today, required=True), self.desk.today()),
        ]
        words = "It is taken back on that day."
        if row.table == "bill":
            words += " Enter the right bill afterwards under Bills; what was paid waits as the supplier's credit."
        else:
            words += " Type what it should have been and that is entered too; left empty, it is only taken back."
            fields.insert(0, ("Right", field, None))
        self._asked_of = f"{row.table} {row.id}"
        self.asking.ask(
            f"{row.words}, {format_day_short(row.day)}", words, fields, "Put it right",
            lambda values: self._correct(row, values),
        )  # fmt: skip

    def _correct(self, row: BookedRow, values: list[Any]) -> str:
        right = None if row.table == "bill" else values[0]
        reason, on = values[-2:]
        today = self.desk.today()

        def work(edit: Any) -> object:
            return _run(edit, row, right, on, reason, today)

        wrong = attempt(self.desk, f"Correct {row.words}", work, say="Put right; both ends name each other.", undo=True)
        if wrong is None:
            self.look()
        return wrong or ""


def _run(edit: Any, row: BookedRow, right: Any, on: date, reason: str, today: date) -> object:
    if row.table == "bill":
        return correct_bill(edit, row.id, on, reason, today=today)
    command, name = {
        "hours_entry": (correct_hours, "minutes"),
        "material_use": (correct_material, "quantity"),
        "other_cost": (correct_other_cost, "quantity"),
        "trip": (correct_trip, "miles"),
    }[row.table]
    values = {} if right is None else {name: right}
    return command(edit, row.id, on, reason, today=today, **values)


def _model() -> RowsModel:
    return RowsModel(
        [
            Column("day", "Day", width=112),
            Column("kind", "What", width=92),
            Column("words", "Entry", stretch=1),
            Column("cents", "Amount", "right", width=104),
        ],
        text={
            "day": lambda row: format_day_short(row.day),
            "kind": lambda row: _NOUNS[row.table],
            "cents": lambda row: format_money(row.cents) if row.cents else "",
        },
        sort_key={"day": lambda row: row.day, "cents": lambda row: row.cents},
        row_id=lambda row: (row.table, row.id),
    )
