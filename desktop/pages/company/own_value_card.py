"""One figure of the standards table: the program's own, and beside it the owner's values, each with its first day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from PySide6.QtCore import Qt

from db.commands.standards import change_own_standard, go_back_to_table, remove_own_standard, set_own_standard
from desktop.desk import Desk
from desktop.pages.company.dated_rows import DatedRows, ShortTable
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import Card, button, label, set_tone
from desktop.widgets.form import DateField, TextField, TypedField
from desktop.widgets.table import Column, RowsModel
from domain.dates import format_day_short
from domain.standards.own import OwnValue, StandardRow, parse_own_value, value_words

ROOM = 12
"""Letters of a unit that fit behind "Your value" in a small window."""
ASK = "Who asks it: county, inspector, supplier"


class OwnValueCard(Card):
    """Shown beneath the list; nothing can be typed for what follows from a definition."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("A figure", "choose one above")
        self.desk = desk
        self._row: StandardRow | None = None
        self.origin = label("", "small", "soft", wrap=True)
        self.back = button("Back to the table's from today", self.go_back, "quiet", "undo")
        self.add_action(self.back)
        self._make_fields()
        self.rows = DatedRows(
            self._make_table(), [self.value, self.starts_on, self.source, self.note], "Add", self.add_value,
            "Remove this value as if it had never been said", self._remove,
        )  # fmt: skip
        self.add(self.origin)
        self.add(self.rows)
        self.show_row(None)

    def _make_fields(self) -> None:
        self.value = TypedField(self._parse, self._print, placeholder="Your value", right=True)
        self.value.setAccessibleName("Your own value")
        self.starts_on = DateField(self.desk.today, placeholder="from: today")
        self.starts_on.setAccessibleName("From")
        self.source = TextField("Who asks it")
        self.source.setAccessibleName(ASK)
        self.note = TextField("Note")
        self.note.setAccessibleName("Note")

    def _make_table(self) -> ShortTable:
        model = RowsModel(
            [
                Column("value", "Your value", "right", width=140, editable=True),
                Column("starts_on", "From", width=116),
                Column("ends_on", "Until", width=116),
                Column("source", "Who asks it", stretch=2, editable=True),
                Column("note", "Note", stretch=2, editable=True),
                Column("state", "", kind="state", width=110),
            ],
            text={
                "value": lambda one: self._print(Decimal(one.value)),
                "starts_on": lambda one: format_day_short(one.starts_on),
                "ends_on": lambda one: format_day_short(one.ends_on) if one.ends_on else "",
                "state": self._state,
            },
            tone={"state": lambda one: "good" if self._state(one) == "counts now" else "plain"},
            row_id=lambda one: one.id,
            setter=self._change,
        )
        table = ShortTable(model, "Your own values of this figure", least=3, most=3)
        table.set_empty("No value of your own", "The table's counts. Type another below, with the day it begins.")
        return table

    def show_row(self, row: StandardRow | None) -> None:
        """Show a figure; what is half typed stays while it is the same one."""
        before, self._row = self._row, row
        if row is None or before is None or row.key != before.key:
            for field in (self.value, self.starts_on, self.source, self.note):
                field.reset()
        can = row is not None and row.can_change
        for field in (self.value, self.starts_on, self.source, self.note, self.rows.add_button):
            field.setEnabled(can)
        self.back.setVisible(row is not None and row.now.is_own)
        self.rows.table.rows_model().set_rows(row.own if row else ())
        if row is None:
            self.header.set_words("A figure", "choose one above")
            self.origin.setText("Its values appear here, the table's and your own.")
            return
        self.header.set_words(row.label, row.group)
        words = f"The table's: {value_words(row.built_in.value, row.unit)}. {row.built_in.note}"
        if not row.can_change:
            words += " It follows from a definition and cannot be changed."
        if row.set_aside:
            words += " Nothing counts by it now: the other rule is chosen in a job's takeoff, under Rules."
        self.origin.setText(words)
        set_tone(self.origin, "soft")
        self.value.setPlaceholderText(f"Your value, {row.unit}" if len(row.unit) <= ROOM else "Your value")

    def begin(self) -> None:
        """Put the cursor where an own value is typed."""
        if self.value.isEnabled():
            self.value.setFocus(Qt.FocusReason.OtherFocusReason)

    def add_value(self) -> None:
        """Keep what was typed as a value of one's own."""
        fields = (self.value, self.starts_on, self.source, self.note)
        if self._row is None or not all(field.commit() for field in fields):
            return
        value = self.value.value()
        if value is None:
            self.value.set_problem(f"Type what is asked, in {self._row.unit}.")
            self.value.setFocus()
            return
        if not self.source.value().strip():
            self.source.set_problem("Say who asks it or where it is written, so that you know it again later.")
            self.source.setFocus()
            return
        day = self.starts_on.value() or self.desk.today()
        if message := self._save(day, value, self.source.value(), self.note.value()):
            self.value.set_problem(message)
            self.value.setFocus()
            return
        for field in fields:
            field.reset()

    def go_back(self) -> None:
        """Let the table's figure count again from today."""
        if (row := self._row) is not None:
            attempt(
                self.desk, f"Back to the table's: {row.label}",
                lambda edit: go_back_to_table(edit, row.key, self.desk.today()),
                say=f"{row.label}: the table's {value_words(row.built_in.value, row.unit)} counts again.", undo=True,
            )  # fmt: skip

    def _save(self, day: date, value: Decimal, source: str, note: str) -> str | None:
        assert self._row is not None
        key, words = self._row.key, self._row.label
        return attempt(
            self.desk, f"Own value: {words}", lambda edit: set_own_standard(edit, key, day, value, source, note)
        )

    def _change(self, one: OwnValue, column: str, typed: str) -> str | None:
        changed = one
        if column == "value":
            value, message = read_cell(self._parse, typed)
            if message:
                return message
            changed = replace(one, value=str(value))
        else:
            changed = replace(one, **{column: typed})
        value, source, note = Decimal(changed.value), changed.source, changed.note
        return attempt(
            self.desk, "Change an own value", lambda edit: change_own_standard(edit, one.id, value, source, note)
        )

    def _remove(self, one: OwnValue) -> None:
        attempt(
            self.desk, "Remove an own value", lambda edit: remove_own_standard(edit, one.id),
            say="Removed, as if it had never been said.", undo=True,
        )  # fmt: skip

    def _parse(self, text: str) -> Decimal:
        assert self._row is not None
        return parse_own_value(self._row.key, text)

    def _print(self, value: Decimal) -> str:
        return value_words(value, self._row.unit) if self._row else str(value)

    def _state(self, one: OwnValue) -> str:
        if self._row is not None and self._row.ends_now == one:
            return "counts now"
        return "later" if one.starts_on > self.desk.today() else "before"
