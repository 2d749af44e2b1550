"""Miles: every business drive of a year, on jobs and without one, at the rate of its day."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout

from db.commands.trips import add_trip, change_trip, remove_trip
from db.queries.books.miles import miles_log
from desktop.desk import COMPANY, Desk
from desktop.pages.company.list_table import AddRow
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.pages.company.saving import ask_where, write_in_background
from desktop.widgets.cards import Notice, button, label
from desktop.widgets.form import ChoiceField, DateField, QuantityField, TextField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short, parse_day
from domain.errors import NotUnderstood
from domain.jobs import far_words
from domain.miles import Drive, MilesLog
from domain.money import format_money, format_unit_cost
from domain.units import format_quantity, parse_quantity
from domain.unlikely import done_on, miles_doubt

YEARS_BACK = 8


class MilesPart(Part):
    """A drive without a job is typed here; a job's own miles come from its log."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Miles", "Business miles by day. Miles of a job are entered in its log; here stand those of no job"
            " too, each at the standard mileage rate of its day.",
        )  # fmt: skip
        today = desk.today()
        self.year = ChoiceField([(year, str(year)) for year in range(today.year, today.year - YEARS_BACK, -1)])
        only_asks(self.year)
        self.year.setAccessibleName("Year")
        self.year.set_value(today.year)
        self.year.setFixedWidth(100)
        self.year.edited.connect(lambda _: self.refresh())
        self.day = DateField(desk.today, required=True, doubt=done_on(desk.today))
        self.day.setAccessibleName("Day of the drive")
        self.day.setMinimumWidth(190)
        self.day.set_value(today)
        self.miles = QuantityField("mi", required=True, doubt=miles_doubt)
        self.miles.setPlaceholderText("Miles")
        self.purpose, self.route = TextField("What for"), TextField("From and to")
        self.add_row = AddRow(
            [self.purpose, self.day, self.miles, self.route], "Add", self._add, draft=(self.desk, "drive")
        )
        self.table = RowsTable(self._model(), "Miles of the year")
        self.table.set_empty("No miles in this year", "Type the first drive above, or log miles on a job.")
        self.remove = button("Remove", self.remove_current, "quiet", "trash", "Delete")
        delete = QShortcut(QKeySequence("Delete"), self.table)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove_current)
        self.table.current_changed.connect(lambda row: self.remove.setEnabled(row is not None and row.source == "trip"))
        self.total = label("", "body", "soft", wrap=True)
        self.problem = Notice("caution")
        self.csv = button("Save as CSV…", self.save_csv, "quiet", "save")
        self.head.add_action(button("Mileage rates", lambda: desk.go(COMPANY, "standards"), "quiet", "right"))
        self.head.add_action(self.csv)
        line = QHBoxLayout()
        line.addWidget(label("Year", "body", "soft"))
        line.addWidget(self.year)
        line.addSpacing(12)
        line.addWidget(self.total, 1)
        self._column.addLayout(line)
        self.add(self.add_row)
        self.add(self.problem)
        self.add(self.table, 1)
        foot = QHBoxLayout()
        foot.addWidget(self.remove)
        foot.addStretch(1)
        self._column.addLayout(foot)
        self.remove.setEnabled(False)

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("day", "Day", width=116, editable=True),
                Column("purpose", "What for", stretch=2, editable=True),
                Column("route", "From and to", stretch=2, editable=True),
                Column("job", "Job", width=84),
                Column("miles", "Miles", "right", width=84, editable=True),
                Column("rate", "A mile", "right", width=84),
                Column("cents", "Amount", "right", width=104),
            ],
            text={
                "day": lambda row: format_day_short(row.day),
                "miles": lambda row: format_quantity(row.miles),
                "rate": lambda row: format_unit_cost(row.rate),
                "cents": lambda row: format_money(row.cents),
            },
            sort_key={
                "day": lambda row: (row.day, row.source, row.source_id),
                "miles": lambda row: row.miles,
                "rate": lambda row: row.rate,
                "cents": lambda row: row.cents,
            },
            tone={"rate": lambda row: "over" if row.projected else None},
            tip={"rate": lambda row: "Carried forward: the year's own rate is not known." if row.projected else ""},
            row_id=lambda row: (row.source, row.source_id),
            setter=self._change,
            doubt=self._doubt,
            can_edit=lambda row, _key: row.source == "trip",
        )

    def refresh(self) -> None:
        year: int = self.year.value() or self.desk.today().year
        try:
            with self.desk.read() as conn:
                log = miles_log(conn, date(year, 1, 1), date(year, 12, 31))
            self.problem.set_words("caution", "")
        except NotUnderstood as error:
            log = MilesLog(())
            self.problem.set_words("caution", str(error))
        self.table.rows_model().set_rows(log.drives[::-1])
        self.total.setText(_total_words(log))
        self.csv.setEnabled(bool(log.drives))

    def _add(self) -> str | tuple[str, Any] | None:
        if self.miles.value() is None:
            return "Type how many miles it was.", self.miles
        day: date = self.day.value() or self.desk.today()
        miles: Decimal = self.miles.value()
        purpose, route = self.purpose.value(), self.route.value()
        wrong = attempt(
            self.desk, f"Add {format_quantity(miles)} mi",
            lambda edit: add_trip(edit, day, miles, purpose, route, today=self.desk.today()),
            say=f"{format_quantity(miles)} miles on {format_day_short(day)} noted.", undo=True,
        )  # fmt: skip
        if wrong is None:
            self.add_row.fields[1].reset(day)  # type: ignore[attr-defined]
        return wrong

    def _change(self, row: Drive, key: str, typed: str) -> str | None:
        value: Any = typed
        message = None
        if key == "day":
            value, message = read_cell(lambda text: parse_day(text, self.desk.today()), typed)
        elif key == "miles":
            value, message = read_cell(lambda text: parse_quantity(text, "mi"), typed)
        if message:
            return message
        return attempt(
            self.desk, f"Change the drive of {format_day_short(row.day)}",
            lambda edit: change_trip(edit, row.source_id, today=self.desk.today(), **{key: value}),
        )  # fmt: skip

    def _doubt(self, row: Drive, key: str) -> str:
        if key == "miles":
            return miles_doubt(row.miles)
        return far_words(row.day, self.desk.today()) if key == "day" else ""

    def remove_current(self) -> None:
        """Take the drive under the cursor out; a job's miles are changed in its log."""
        row = self.table.current_row()
        if row is not None and row.source == "trip":
            attempt(
                self.desk, f"Remove the drive of {format_day_short(row.day)}",
                lambda edit: remove_trip(edit, row.source_id), say="Drive removed.", undo=True,
            )  # fmt: skip

    def save_csv(self) -> None:
        """Ask where, and write the year."""
        year: int = self.year.value() or self.desk.today().year
        path = ask_where(self, "Miles as csv", f"Miles {year}.csv", "Comma-separated (*.csv)")
        if path is None:
            return

        def write(path: Any) -> Any:
            from desktop.books.ledger_csv import write_miles_csv

            with self.desk.read() as conn:
                return write_miles_csv(miles_log(conn, date(year, 1, 1), date(year, 12, 31)), path)

        write_in_background(self.desk, path, write)


def _total_words(log: MilesLog) -> str:
    if not log.drives:
        return ""
    parts = [f"{format_quantity(miles)} mi at {format_unit_cost(rate)}" for rate, miles, _ in log.by_rate]
    return f"{format_quantity(log.miles)} miles, {format_money(log.cents)}: {', '.join(parts)}"
