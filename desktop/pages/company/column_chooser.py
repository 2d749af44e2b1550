"""Which column of a price file is what: guessed from the headings, shown, and changed by the owner."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from desktop.desk import Desk
from desktop.look.theme import current_tokens
from desktop.widgets.cards import label, segments
from desktop.widgets.form import ChoiceField, DateField
from domain.price_import import (
    FIELD_NAMES,
    FORMULA,
    MERGED,
    Recognised,
    RememberedSheet,
    SheetRow,
    decimal_comma_used,
    find_header,
    guess_columns,
    recognise,
)

_ACROSS = 3
_NONE = -1


class ColumnChooser(QWidget):
    """A field for each thing a price list has, the line of headings, how numbers are written, and the first day.

    Signals:
        changed: something was chosen otherwise.
    """

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._rows: Sequence[SheetRow] = ()
        self.recognised: Recognised | None = None
        self._fields: dict[str, ChoiceField] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(current_tokens().space.medium)
        grid.setVerticalSpacing(current_tokens().space.tight)
        for number, (field, title) in enumerate(FIELD_NAMES.items()):
            choice = ChoiceField(placeholder="not in the file")
            choice.setAccessibleName(title)
            choice.edited.connect(lambda _value, field=field: self._chosen(field))
            self._fields[field] = choice
            row, column = number % _ACROSS, number // _ACROSS * 2
            grid.addWidget(_name(title, choice), row, column)
            grid.addWidget(choice, row, column + 1)
            grid.setColumnStretch(column + 1, 1)
        self.header = ChoiceField(required=True)
        self.header.setAccessibleName("Line of headings")
        self.header.edited.connect(self._header_chosen)
        self.from_day = DateField(desk.today, required=True)
        self.from_day.setAccessibleName("Prices count from")
        self.from_day.setMinimumWidth(190)
        self.from_day.set_value(desk.today())
        self.from_day.edited.connect(lambda _: self.changed.emit())
        self.numbers = segments(
            [(False, "1,234.50"), (True, "1.234,50")], lambda _: self.changed.emit(), "How numbers are written"
        )
        line = QHBoxLayout()
        line.setSpacing(current_tokens().space.small)
        for title, widget, share in (
            ("Headings", self.header, 2), ("Numbers", self.numbers, 0), ("Prices count from", self.from_day, 1),
        ):  # fmt: skip
            if line.count():
                line.addSpacing(current_tokens().space.medium)
            line.addWidget(_name(title, widget))
            line.addWidget(widget, share)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(line)
        box.addLayout(grid)

    def field(self, name: str) -> ChoiceField:
        """The choice of the column for one thing."""
        return self._fields[name]

    def set_rows(self, rows: Sequence[SheetRow], remembered: Sequence[RememberedSheet] = ()) -> None:
        """Take the rows of a file; a sheet read before is recognised by its headings, another one is guessed."""
        self._rows = rows
        lines = [row.cells for row in rows]
        self.recognised = recognise(lines, remembered)
        found = self.recognised.header if self.recognised else find_header(lines)
        choices = [(_NONE, "none: all rows are items")]
        choices += [(n, f"row {row.number}: {_short(', '.join(filter(None, map(_plain, row.cells))), 60)}")
                    for n, row in enumerate(rows[:25])]  # fmt: skip
        self.header.set_choices(choices)
        self.header.reset(_NONE if found is None else found)
        self._guess()

    def columns(self) -> dict[str, int]:
        """Field -> number of its column."""
        return {name: choice.value() for name, choice in self._fields.items() if choice.value() is not None}

    def body(self) -> Sequence[SheetRow]:
        """The rows below the headings."""
        at: Any = self.header.value()
        return self._rows if at in (None, _NONE) else self._rows[at + 1 :]

    def headings(self) -> Sequence[str]:
        """The cells of the line of headings; none when there is no such line."""
        at: Any = self.header.value()
        return () if at in (None, _NONE) else self._rows[at].cells

    def guess_afresh(self) -> None:
        """Forget that the sheet was recognised, and guess from its words alone."""
        self.recognised = None
        self._guess()
        self.changed.emit()

    def starts_on(self) -> date | None:
        """The day the prices count from."""
        day: date | None = self.from_day.value()
        return None if self.from_day.problem() else day

    def decimal_comma(self) -> bool:
        """True when numbers read 1.234,50."""
        return bool(self.numbers.value())

    def _header_chosen(self, _value: object) -> None:
        self._guess()
        self.changed.emit()

    def _guess(self) -> None:
        headings = self.headings()
        width = max((len(row.cells) for row in self._rows[:200]), default=0)
        examples = self.body()[:40]
        choices = [(n, _column_words(n, headings, examples)) for n in range(width)]
        known = self.recognised
        guessed = known.columns if known and known.header == self.header.value() else guess_columns(headings)
        for name, choice in self._fields.items():
            choice.set_choices(choices)
            choice.reset(guessed.get(name))
        self._guess_numbers()

    def _chosen(self, field: str) -> None:
        """One column is one thing: it leaves whatever it was before."""
        column = self._fields[field].value()
        for name, choice in self._fields.items():
            if name != field and column is not None and choice.value() == column:
                choice.reset(None)
        if field in ("unit_cost", "pack_cost"):
            self._guess_numbers()
        self.changed.emit()

    def _guess_numbers(self) -> None:
        chosen = self.columns()
        priced = [chosen[name] for name in ("unit_cost", "pack_cost") if name in chosen]
        amounts = [row.cells[n] for row in self.body() for n in priced if n < len(row.cells)]
        self.numbers.set_value(decimal_comma_used(amounts))


def _name(title: str, widget: QWidget) -> QLabel:
    made = label(title, "small", "soft")
    made.setBuddy(widget)
    return made


def _plain(cell: str) -> str:
    return {FORMULA: "(formula)", MERGED: ""}.get(cell, cell)


def _short(text: str, most: int) -> str:
    text = " ".join(text.split())
    return text if len(text) <= most else text[: most - 1] + "…"


def _column_words(number: int, headings: Sequence[str], examples: Sequence[SheetRow]) -> str:
    letters, rest = "", number
    while rest >= 0:
        letters, rest = chr(65 + rest % 26) + letters, rest // 26 - 1
    heading = _plain(headings[number]) if number < len(headings) else ""
    cells = (_plain(row.cells[number]) for row in examples if number < len(row.cells))
    example = next((cell for cell in cells if cell), "empty")
    return f"{letters}: {_short(heading, 24)}" if heading else f"{letters}: {_short(example, 24)}"
