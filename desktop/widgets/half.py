"""Fields in which something was typed that is saved nowhere yet: half an entry is named, and never looks saved.

Every field reports here when it is typed into and when it is reset. Fields that save by themselves, and those that
only ask (a filter, a day to look at), say so:

    saves_itself(field); only_asks(field); belongs_to(field, "radon test")
    half_entries()              # fields with something half, in the order they were typed into
    unkept_fields()             # fields that save by themselves, with words in them that are not committed yet
    watch().changed             # something became half or was finished
    watch().left                # half fields were just hidden: one leaves them
"""

from __future__ import annotations

from typing import Any

import shiboken6
from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget

_EXEMPT, _ENTRY = "not_an_entry", "entry_name"
CHANGES = "changes_kept"
"""The property of a field that stands for changes of a record that is kept already: how closing names them."""
ASKS = "only_asks"
"""The property of a field that only asks."""


def saves_itself(field: QWidget) -> None:
    """What is committed in this field is saved at once."""
    field.setProperty(_EXEMPT, True)


def keeps_itself(field: QWidget) -> bool:
    """Whether what is committed in this field is saved at once."""
    return bool(field.property(_EXEMPT)) and not field.property(ASKS)


def only_asks(*fields: QWidget, told: bool = True) -> None:
    """What is typed in these fields is not kept anywhere: it only asks for something to be shown or reckoned.

    While words stand there that cannot be read, what is still shown is told beneath; with ``told`` False the page does.
    """
    for field in fields:
        field.setProperty(_EXEMPT, True)
        field.setProperty(ASKS, True)
        if told and hasattr(field, "problem_changed"):
            from desktop.widgets.still_shown import tell_still_shown

            tell_still_shown(field)


def belongs_to(field: QWidget, name: str) -> None:
    """This field is part of an entry with this name: ``radon test``."""
    field.setProperty(_ENTRY, name)


def words_in(field: Any) -> str:
    """What stands in a field, as text."""
    for name in ("toPlainText", "currentText", "text"):
        if callable(read := getattr(field, name, None)):
            return str(read()).strip()
    return ""


def is_unkept(field: Any) -> bool:
    """Whether what stands in a field differs from what was committed in it."""
    if callable(text := getattr(field, "toPlainText", None)):
        return bool(text() != field.value())
    line = field.lineEdit() if callable(getattr(field, "lineEdit", None)) else field
    return bool(line is not None and callable(getattr(line, "isModified", None)) and line.isModified())


def _is_put_away(field: QWidget) -> bool:
    """The program took its form away, as it is done with or closed; a page that is only turned over still has it."""
    at: QWidget | None = field
    while at is not None and not at.isWindow():
        if at.isHidden() and not isinstance(at.parentWidget(), QStackedWidget):
            return True
        at = at.parentWidget()
    return False


class HalfWatch(QObject):
    """See the module's first lines."""

    changed = Signal()
    left = Signal(list)
    table_shown = Signal(object)
    cells_changed = Signal(object)
    """Of a table: it is seen, or a text was refused, corrected or taken back in it."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._touched: dict[int, Any] = {}
        self._unkept: dict[int, Any] = {}
        self._tables: dict[int, Any] = {}
        self._gone: list[Any] = []
        self._told = QTimer(self)
        self._told.setSingleShot(True)
        self._told.timeout.connect(self.changed)
        self._leaving = QTimer(self)
        self._leaving.setSingleShot(True)
        self._leaving.timeout.connect(self._tell_left)

    def touch(self, field: QWidget) -> None:
        """Somebody typed in this field."""
        if not field.property(_EXEMPT):
            self._touched[id(field)] = field
            self._told.start(0)
        elif id(field) not in self._unkept:
            self._unkept[id(field)] = field
            self._told.start(0)

    def untouch(self, field: QWidget) -> None:
        """The field was saved, reset or taken back."""
        if self._touched.pop(id(field), None) is not None:
            self._told.start(0)
        self.settled(field)

    def settled(self, field: QWidget) -> None:
        """What stood in a field that saves by itself was committed, or taken back."""
        if self._unkept.pop(id(field), None) is not None:
            self._told.start(0)

    def note_cells(self, table: QWidget) -> None:
        """A text was refused in a cell of this table, or one was corrected."""
        self._tables[id(table)] = table
        self._told.start(0)
        self.cells_changed.emit(table)

    def cells(self) -> list[tuple[Any, Any]]:
        """(table, refused cell) of every text that stands refused in its cell, the last one last."""
        self._tables = {key: table for key, table in self._tables.items() if shiboken6.isValid(table)}
        return [(table, cell) for table in self._tables.values() for cell in table.rows_model().refused_cells()]

    def hid(self, field: QWidget) -> None:
        """The field is no longer on the screen."""
        if id(field) in self._touched:
            self._gone.append(field)
            self._leaving.start(0)
            self._told.start(0)

    def came_back(self, field: QWidget) -> None:
        """The field is on the screen again."""
        if id(field) in self._touched:
            self._told.start(0)

    def fields(self) -> list[Any]:
        """Fields with words in them that are saved nowhere."""
        self._touched = {key: field for key, field in self._touched.items() if shiboken6.isValid(field)}
        half = [field for field in self._touched.values() if words_in(field) and not field.property(_EXEMPT)]
        return [field for field in half if not _is_put_away(field)]

    def unkept(self) -> list[Any]:
        """Fields that save by themselves, with words in them that were not committed yet."""
        self._unkept = {key: field for key, field in self._unkept.items() if shiboken6.isValid(field)}
        return [field for field in self._unkept.values() if is_unkept(field)]

    def _tell_left(self) -> None:
        gone, self._gone = self._gone, []
        half = self.fields()
        if left := [field for field in half if any(field is one for one in gone) and not field.isVisible()]:
            self.left.emit(left)


_watch: HalfWatch | None = None


def watch() -> HalfWatch:
    """The one watch of the program."""
    global _watch
    if _watch is None or not shiboken6.isValid(_watch):
        app = QApplication.instance()
        assert app is not None
        _watch = HalfWatch(app)
    return _watch


def half_entries() -> list[Any]:
    """Fields with words in them that are saved nowhere."""
    return watch().fields()


def half_entries_in(form: QWidget) -> list[Any]:
    """Fields of this form with words in them that are saved nowhere; the form has to be shown."""
    return [field for field in half_entries() if form.isAncestorOf(field)]


def unkept_fields() -> list[Any]:
    """Fields that save by themselves, with words in them that were not committed yet."""
    return watch().unkept()


def unkept_cells() -> list[tuple[Any, Any]]:
    """(table, refused cell) of every text that stands refused in its cell."""
    return watch().cells()


def named(fields: list[Any]) -> str:
    """These fields in a few words: the entries they belong to, else their own names."""
    names = dict.fromkeys(str(field.property(_ENTRY) or field.accessibleName() or "an entry") for field in fields)
    first, *rest = names
    return f"{first} and {len(rest)} more" if rest else first
