"""A table for one tired hand: what is typed goes into the day's cell, and Enter goes on.

A letter that stands alone in the cell acts on the row when Enter follows it. No letter acts by itself, so that none of
an entry is ever taken for something else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QLineEdit, QSizePolicy

from desktop.widgets.rows_model import PROBLEM_ROLE
from desktop.widgets.table import RowsModel, RowsTable
from desktop.widgets.table_parts import CellDelegate

Key = Qt.Key
CLEARS = (Key.Key_Delete, Key.Key_Backspace)
"""Keys that empty the cell under the cursor."""
NEW = "new"
"""The id of the last row, where something else is begun."""


def is_new(row_id: Any) -> bool:
    """True for the last row, and for those above it that hold what could not be taken there."""
    return isinstance(row_id, str) and row_id.partition(" ")[0] == NEW


def show_all_rows(table: RowsTable, when_empty: int = 0) -> None:
    """Keep a table exactly as high as its rows, so that the page scrolls and not the table."""

    def fit() -> None:
        count = table.model().rowCount()
        rows = table.rows_height()
        head = table.horizontalHeader().sizeHint().height()
        table.setFixedHeight(head + rows + 2 * table.frameWidth() + 2 if count else when_empty)

    table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    table.model().modelReset.connect(fit)
    table.heights_changed.connect(fit)
    fit()


class NewRow:
    """The last row of a table: typing into it begins a row of its own; what cannot be taken waits in one above it."""

    def __init__(self, key: str = NEW) -> None:
        self.key = key


class _LetterDelegate(CellDelegate):
    """Asks the table about a letter that stands alone before the text is taken as an entry."""

    def _commit(self, editor: QLineEdit, move: str) -> None:
        table = self.parent()
        assert isinstance(table, LogTable)
        act = table.act_of(self._cell(editor), editor.text())
        if act is None:
            super()._commit(editor, move)
            return
        self._take_back(editor)
        table.setFocus()
        act()


class LogTable(RowsTable):
    """A RowsTable whose "day" column is where one types.

    Signals:
        day_asked: -1 or +1, from Left and Right.
        left: -1 above the first row, +1 below the last: the next table takes over.
    """

    day_asked = Signal(int)
    left = Signal(int)
    _delegate_class = _LetterDelegate
    _beside_heading = 20  # nothing is sorted here: no room for an arrow is needed

    def __init__(self, model: RowsModel, name: str) -> None:
        super().__init__(model, name=name)
        self.setSortingEnabled(False)
        self.horizontalHeader().setSortIndicatorShown(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(300)
        self.keys: dict[Qt.Key, Callable[[Any], object]] = {}
        self.letters: dict[str, Callable[[Any], object]] = {}  # alone in the day's cell, then Enter
        self.then_edit: Any = None  # the row whose day's cell is opened after this commit
        self.then_add = False  # something stands in that cell: what is typed comes beside it
        self.after_day: Callable[[Any], object] = lambda _row_id: None  # told of each day's cell that was left by a key
        self.refill: Callable[[], object] = lambda: None  # fills the table again, with `new_rows` at its end
        self._held: list[str] = []
        self._holds = 0
        model.refusals.connect(lambda: QTimer.singleShot(0, self, self._tidy))
        show_all_rows(self)

    # The last row, and what waits above it.

    def new_rows(self) -> list[NewRow]:
        """The rows at the end: texts that could not be taken, each in a row of its own, then the one to type into."""
        self._held = [key for key in self._held if self.rows_model().refused_text(key, "what") is not None]
        return [*map(NewRow, self._held), NewRow()]

    def hold_refused(self, row_id: Any, key: str) -> None:
        """Give what stands refused in a cell a row of its own above the last one."""
        self._holds += 1
        self._held.append(f"{NEW} {self._holds}")
        self.rows_model().rename_refused(row_id, key, (self._held[-1], "what"))

    def _tidy(self) -> None:
        """A row that holds nothing any more goes."""
        held = [key for key in self._held if self.rows_model().refused_text(key, "what") is not None]
        if held != self._held and not self.is_typing:
            row = self.currentIndex().row()
            self.refill()
            if not self.currentIndex().isValid():
                self.go_to_row(min(max(row, 0), self.model().rowCount() - 1))

    def _goes_on(self, here: QModelIndex, move: str) -> bool:
        return self.rows_model().id_at(here.row()) == NEW or super()._goes_on(here, move)

    @property
    def is_typing(self) -> bool:
        """True while a cell is open."""
        return self.state() == QAbstractItemView.State.EditingState

    def enter_at(self, end: int) -> None:
        """Take the focus at the first (+1) or last (-1) row."""
        self.setFocus()
        self.go_to_row(0 if end > 0 else self.model().rowCount() - 1)

    def go_to_row(self, number: int) -> None:
        """Put the cursor on the cell of a row where one types."""
        if 0 <= number < self.model().rowCount():
            self.setCurrentIndex(self._typing_cell(number))

    def act_of(self, cell: QModelIndex, text: str) -> Callable[[], object] | None:
        """What a text in a cell does to its row instead of being an entry, None when it is one."""
        model = self.rows_model()
        if not cell.isValid() or model.columns[cell.column()].key != "day" or is_new(model.id_at(cell.row())):
            return None
        act, row = self.letters.get(text.strip().casefold()), model.row_at(cell.row())
        return (lambda: act(row)) if act is not None else None

    def select_id(self, row_id: Any, key: str | None = None) -> bool:
        """Put the cursor on this row, where one types."""
        found = super().select_id(row_id, key)
        if found:
            self._settle()
        return found

    def edit_day(self, row_id: Any, *, add: bool = False) -> None:
        """Open the day's cell of a row; with `add` it begins with the plus that keeps what is there."""
        self.setFocus()
        if self.edit_cell(row_id, "day") and add:
            editor = self.indexWidget(self.currentIndex())
            if isinstance(editor, QLineEdit):
                editor.setText("+")

    def _typing_cell(self, number: int) -> QModelIndex:
        model = self.rows_model()
        key = "what" if is_new(model.id_at(number)) else "day"
        return model.index(number, model.column_of(key))

    def _settle(self) -> None:
        """Stand on a cell that can be typed into."""
        now = self.currentIndex()
        if now.isValid() and not self.rows_model().can_edit(now):
            self.setCurrentIndex(self._typing_cell(now.row()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if not plain or self.state() == QAbstractItemView.State.EditingState or not self._handled(Key(event.key())):
            super().keyPressEvent(event)
            if self.state() != QAbstractItemView.State.EditingState:
                self._settle()

    def _handled(self, key: Qt.Key) -> bool:
        row, last = self.currentIndex().row(), self.model().rowCount() - 1
        if key in (Key.Key_Left, Key.Key_Right):
            self.day_asked.emit(-1 if key == Key.Key_Left else 1)
        elif key in (Key.Key_Home, Key.Key_End):
            self.go_to_row(0 if key == Key.Key_Home else last)
        elif (key == Key.Key_Down and row == last) or (key == Key.Key_Up and row <= 0):
            self.left.emit(1 if key == Key.Key_Down else -1)
        elif key in CLEARS and self.currentIndex().data(PROBLEM_ROLE):
            self.rows_model().forget_refused(self.currentIndex())
            self._tidy()
        elif key in self.keys and row >= 0 and not is_new(self.rows_model().id_at(row)):
            self.keys[key](self.current_row())
        else:
            return False
        return True

    def _move_on(self, row_id: Any, key: str, move: str) -> None:
        if row_id == NEW and self.rows_model().refused_text(NEW, "what") is not None:
            self.hold_refused(NEW, "what")
            self.refill()
            self.setFocus()
            self.go_to_row(self.model().rowCount() - 1)
            return
        self._tidy()
        if self.then_edit is not None:
            target, self.then_edit = self.then_edit, None
            add, self.then_add = self.then_add, False
            self.edit_day(target, add=add)
            return
        if key == "day":
            self.after_day(row_id)
        at_end = move == "down" and self.rows_model().find(row_id) == self.model().rowCount() - 1
        super()._move_on(row_id, key, move)
        if at_end and not is_new(row_id):
            self.left.emit(1)
        elif move == "down":
            self._settle()

    def go_on(self, row_id: Any) -> None:
        """Continue below a row, as after Enter."""
        super()._move_on(row_id, "day", "down")
        self._settle()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid():
            self.go_to_row(0)
        self._settle()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self.state() != QAbstractItemView.State.EditingState:
            self._settle()
