"""Saving field by field: each commit is one undoable action; what is refused stays in its field with the reason.

    saver = Autosave(desk)
    saver.bind(field, "Change year built", lambda edit, value: change_property(edit, id, year_built=value),
               lambda: ("property", id))
    saver.show(field, stored_value)        # on every refresh
    lines = LineList(make_line)            # make_line(record) -> Line; a few records with fields of their own
    lines.show_records(records)            # keeps the widgets, and so the focus, of records that remain
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.company_file.problems import Refused
from db.edit import Edit
from desktop.desk import Desk
from desktop.kept_words import words_of
from desktop.widgets.half import saves_itself

Write = Callable[[Edit, Any], object]


class Autosave:
    """Ties fields to commands of the company."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._stored: dict[QWidget, Any] = {}

    def bind(
        self, field: Any, label: str | Callable[[], str], write: Write, of: Callable[[], object], name: str = ""
    ) -> Any:
        """Save the field whenever a different value is committed, under this label; returns the field.

        `of` says which record the field shows; where several fields have one label, `name` tells them apart.
        """
        saves_itself(field)
        self._desk.kept.follow(field, name or (label if isinstance(label, str) else ""), of)
        field.edited.connect(lambda value: self._save(field, label() if callable(label) else label, write, value))
        return field

    def show(self, field: Any, value: Any) -> None:
        """Show what is stored; what is half typed, or was refused, stays, and comes back with its record."""
        self._stored[field] = value
        self._desk.kept.show(field, value)

    def do(self, label: str, work: Callable[[Edit], object], *, say: str = "", undo: bool = False) -> bool:
        """Run one action; True when it was saved."""
        return not self.refusal(label, work, say=say, undo=undo)

    def _save(self, field: Any, label: str, write: Write, value: Any) -> None:
        if reason := self.refusal(label, lambda edit: write(edit, value)):
            _keep_refused(field, self._stored.get(field), reason)

    def refusal(self, label: str, work: Callable[[Edit], object], *, say: str = "", undo: bool = False) -> str:
        """Run one action and return why it was not saved, "" when it was."""
        reasons: list[str] = []

        def run(edit: Edit) -> bool:
            try:
                work(edit)
            except Refused as refusal:
                reasons.append(str(refusal))
                raise
            return True

        if self._desk.do(label, run, say=say, undo=undo):
            return ""
        return reasons[0] if reasons else self._desk.why_not()


def _keep_refused(field: Any, stored: Any, reason: str) -> None:
    """What is stored stays stored; the words stand in the field for another try. A switch shows what is kept."""
    if hasattr(field, "hold"):
        field.hold(stored, words_of(field), reason)
    else:
        field.reset(stored)


class Line(QWidget):
    """One record of a LineList: fields side by side."""

    def show_record(self, record: Any) -> None:
        """Show what is stored."""
        raise NotImplementedError


class LineList(QWidget):
    """A few records one below the other, each with its own widgets."""

    def __init__(self, make_line: Callable[[Any], Line], spacing: int = 6) -> None:
        super().__init__()
        self._make = make_line
        self._lines: dict[int, Line] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(spacing)

    def show_records(self, records: Sequence[Any]) -> None:
        """Show these records in this order; lines of records that remain are kept with their focus."""
        wanted = [record.id for record in records]
        for gone in [key for key in self._lines if key not in wanted]:
            line = self._lines.pop(gone)
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        for place, record in enumerate(records):
            line = self._lines.get(record.id)
            if line is None:
                line = self._lines[record.id] = self._make(record)
            if self._column.indexOf(line) != place:
                self._column.insertWidget(place, line)
            line.show_record(record)
        self.setVisible(bool(records))

    def line(self, record_id: int) -> Line:
        """The line of a record that is shown."""
        return self._lines[record_id]

    @property
    def lines(self) -> list[Line]:
        """All lines as they stand."""
        return [self._lines[key] for key in self._lines]
