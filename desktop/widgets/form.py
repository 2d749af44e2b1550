"""A form: labels, fields, hints and the line that says what was not understood.

    form = Form(columns=2)
    price = form.add("Price", MoneyField(), hint="Before tax")     # returns the field
    form.add("Notes", NotesField(), wide=True)                      # across all columns
    form.add_heading("Deposit")
    Form(above=True)                                                # labels above their fields, for a narrow panel
    form.set_error(price, "…"); form.clear_errors(); form.first_problem()

A label names its field for assistive technology and moves to it with Alt+letter when written with "&". A field's
own `problem_changed` message appears beneath it by itself, floating: nothing below moves while one types.
`commit_all()` commits every field, True if all are well. All fields (`fields`, `date_field`, `choice_field`) can be
imported from here.
"""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.widgets.as_typed import set_tip
from desktop.widgets.choice_field import ChoiceField, NotesField, SwitchField
from desktop.widgets.date_field import DateField
from desktop.widgets.error_line import FloatingError
from desktop.widgets.fields import (
    DurationField,
    MoneyField,
    PercentField,
    QuantityField,
    RadonField,
    TextField,
    TypedField,
    mark_wrong,
)
from desktop.widgets.half import keeps_itself

__all__ = [
    "ChoiceField",
    "DateField",
    "DurationField",
    "Form",
    "MoneyField",
    "NotesField",
    "PercentField",
    "QuantityField",
    "RadonField",
    "SwitchField",
    "TextField",
    "TypedField",
]

Field = TypeVar("Field", bound=QWidget)

_FIGURES = (MoneyField, QuantityField, PercentField, DurationField, RadonField)


class Form(QWidget):
    """Labels at the left, fields at the right, in one or two columns; or labels above their fields."""

    def __init__(self, columns: int = 1, parent: QWidget | None = None, *, above: bool = False) -> None:
        super().__init__(parent)
        space = current_tokens().space
        self._above = above
        self._columns, self._row, self._column = columns, 0, 0
        self._errors: dict[QWidget, FloatingError] = {}
        self._labels: dict[QWidget, QLabel] = {}
        self._grid = QGridLayout(self)
        room_below = QFontMetrics(font("small")).lineSpacing() - 2  # for what is wrong with the last field
        self._grid.setContentsMargins(0, 0, 0, room_below)
        self._grid.setHorizontalSpacing(space.medium)
        self._grid.setVerticalSpacing(space.small)
        for column in range(columns):
            self._grid.setColumnStretch(column * 3 + 1, 1)
            if column:
                self._grid.setColumnMinimumWidth(column * 3 - 1, space.medium)

    def add(self, label: str, widget: Field, hint: str = "", wide: bool = False) -> Field:
        """Add a field under its label; `wide` lets it span all columns. Returns the field."""
        if wide and self._column:
            self._next_row()
        name = QLabel(label)
        name.setTextFormat(Qt.TextFormat.PlainText)
        name.setProperty("tone", "soft")
        name.setBuddy(widget)
        name.setMinimumHeight(0 if self._above else current_tokens().control_height)
        name.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        plain = label.replace("&", "")
        widget.setAccessibleName(plain)
        if not widget.objectName():
            widget.setObjectName(plain.lower().replace(" ", "_"))
        start = self._column * 3
        span = self._columns * 3 - 2 - start if wide else 1
        cell = self._cell(widget, hint)
        if self._above:
            cell.insertWidget(0, name)
        else:
            self._grid.addWidget(name, self._row, start, Qt.AlignmentFlag.AlignTop)
        self._grid.addLayout(cell, self._row, start + 1, 1, span)
        self._labels[widget] = name
        if hasattr(widget, "problem_changed"):
            widget.problem_changed.connect(lambda text, field=widget: self._show_error(field, text))
        if wide or self._column == self._columns - 1:
            self._next_row()
        else:
            self._column += 1
        return widget

    def add_heading(self, text: str) -> QLabel:
        """A heading across the form."""
        if self._column:
            self._next_row()
        heading = QLabel(text)
        heading.setTextFormat(Qt.TextFormat.PlainText)
        heading.setFont(font("section"))
        heading.setContentsMargins(0, current_tokens().space.small if self._row else 0, 0, 0)
        self._grid.addWidget(heading, self._row, 0, 1, self._columns * 3 - 1)
        self._next_row()
        return heading

    def add_wide(self, widget: Field) -> Field:
        """Any widget across the whole form, without a label."""
        if self._column:
            self._next_row()
        self._grid.addWidget(widget, self._row, 0, 1, self._columns * 3 - 1)
        self._next_row()
        return widget

    def label_of(self, widget: QWidget) -> QLabel:
        """The label of a field, e.g. to change its words."""
        return self._labels[widget]

    def set_visible(self, widget: QWidget, visible: bool) -> None:
        """Show or hide a field with its label and messages."""
        self._labels[widget].setVisible(visible)
        holder = widget.property("form_hint")
        widget.setVisible(visible)
        if isinstance(holder, QLabel):
            holder.setVisible(visible)
        if not visible:
            self._errors[widget].say("")

    def set_error(self, widget: QWidget, text: str) -> None:
        """Say beneath a field what is wrong with it; an empty text takes the message away."""
        if hasattr(widget, "set_problem"):
            widget.set_problem(text)
        else:
            mark_wrong(widget, bool(text))
            widget.setAccessibleDescription(text)
        self._show_error(widget, text)

    def error_of(self, widget: QWidget) -> str:
        """The message now standing beneath a field."""
        label = self._errors[widget]
        return "" if label.isHidden() else label.text()

    def clear_errors(self) -> None:
        """Take all messages away."""
        for widget in self._errors:
            self.set_error(widget, "")

    def first_problem(self) -> QWidget | None:
        """The first field that has a message, to put the cursor there; a question about what is kept stops nobody."""
        wrong = (widget for widget in self._errors if self.error_of(widget))
        return next((one for one in wrong if not (getattr(one, "is_asking", False) and keeps_itself(one))), None)

    def commit_all(self) -> bool:
        """Commit every field; True when all could be read, else the cursor goes to the first that could not."""
        fine = not [widget for widget in self._errors if hasattr(widget, "commit") and not widget.commit()]
        if not fine and (wrong := self.first_problem()):
            wrong.setFocus()
        return fine

    def _cell(self, widget: QWidget, hint: str) -> QVBoxLayout:
        cell = QVBoxLayout()
        cell.setSpacing(2)
        cell.setContentsMargins(0, 0, 0, 0)
        line = QHBoxLayout()
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(widget)
        if isinstance(widget, _FIGURES):
            widget.setFixedWidth(170)
        if isinstance(widget, (*_FIGURES, SwitchField)):
            line.addStretch(1)
        cell.addLayout(line)
        if hint:
            small = QLabel(hint)
            small.setTextFormat(Qt.TextFormat.PlainText)
            small.setFont(font("small"))
            small.setProperty("tone", "faint")
            small.setWordWrap(True)
            widget.setProperty("form_hint", small)
            set_tip(widget, hint)
            cell.addWidget(small)
        self._errors[widget] = FloatingError(self, widget)
        cell.addStretch(1)
        return cell

    def _show_error(self, widget: QWidget, text: str) -> None:
        self._errors[widget].say(text)

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize, QEvent.Type.Show):
            for error in self._errors.values():
                error.place()
        return done

    def _next_row(self) -> None:
        self._grid.setRowStretch(self._row, 0)
        self._row, self._column = self._row + 1, 0
        self._grid.setRowStretch(self._row, 1)  # spare height goes below the last field
