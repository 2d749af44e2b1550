"""A table one goes down with Enter: each Enter ticks the row, digits typed before it are the price paid.

    table.ticked.connect(tick)      # row object: Enter on a row, or a double click
The cursor stays at its height when the ticked row leaves, so that the next Enter ticks the next one.
"""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent

from desktop.widgets.table import RowsModel, RowsTable

_PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)


class TickTable(RowsTable):
    """Digits go into the column `typed_into` unless the cursor stands on another editable one."""

    ticked = Signal(object)

    def __init__(self, model: RowsModel, name: str, typed_into: str) -> None:
        super().__init__(model, name)
        self._typed_into = typed_into
        self._at = 0
        model.modelAboutToBeReset.connect(self._note_height)
        model.modelReset.connect(self._take_height)
        self.row_activated.connect(self.ticked)
        self._delegate.finished.connect(lambda *_: self.setFocus())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index, plain = self.currentIndex(), event.modifiers() in _PLAIN
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and plain and index.isValid():
            self.ticked.emit(self.current_row())
            return
        if index.isValid() and plain and event.text()[:1] in tuple("0123456789.$") and not self._types_here(index):
            self.setCurrentIndex(self.model().index(index.row(), self.rows_model().column_of(self._typed_into)))
        super().keyPressEvent(event)

    def _types_here(self, index: QModelIndex) -> bool:
        return self.rows_model().can_edit(index)

    def _note_height(self) -> None:
        self._at = max(self.currentIndex().row(), 0)

    def _take_height(self) -> None:
        rows = self.model().rowCount()
        if rows and not self.currentIndex().isValid():
            self.setCurrentIndex(self.model().index(min(self._at, rows - 1), 0))
