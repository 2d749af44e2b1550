"""The table of the review a job is closed with: quoted lines without a log, each answered in its own row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from desktop.widgets.full_table import FullTable
from desktop.widgets.table import RowsModel

TASKS_KEY, MATERIALS_KEY = "Ctrl+Shift+A", "Ctrl+Shift+M"


class ReviewTable(FullTable):
    """Whatever is typed begins the entry of its row; no single key answers, and none closes but Ctrl+Enter."""

    def __init__(self, model: RowsModel) -> None:
        super().__init__(model, "Quoted lines without a log")
        self.entry_column: Callable[[], int] = lambda: 0
        self.setSortingEnabled(False)
        self.horizontalHeader().setSortIndicatorShown(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if review_key(event):
            event.ignore()  # the card's
            return
        if event.text().isprintable() and event.text() and self.state() != self.State.EditingState:
            self._go_to_entry()
        super().keyPressEvent(event)

    def _go_to_entry(self) -> None:
        """Typing on words that cannot be typed over begins the entry of that row."""
        index = self.currentIndex()
        if index.isValid() and not self.rows_model().can_edit(index):
            self.setCurrentIndex(index.siblingAtColumn(self.entry_column()))

    def _move_on(self, row_id: Any, key: str, move: str) -> None:
        """A line that was logged is gone: the one that took its place is next; the keyboard stays in the table."""
        model, place = self.rows_model(), max(self.currentIndex().row(), self._last_row)
        if model.find(row_id) >= 0:
            super()._move_on(row_id, key, move)
            return
        self._beside.hide()
        self.setFocus()
        if model.rowCount():
            self.setCurrentIndex(model.index(min(max(place, 0), model.rowCount() - 1), self.entry_column()))

    _last_row = 0

    def _keep_place(self) -> None:
        self._last_row = self.currentIndex().row()
        super()._keep_place()


def review_key(event: QKeyEvent) -> str:
    """close: Ctrl+Enter; tasks: Ctrl+Shift+A; materials: Ctrl+Shift+M; else nothing."""
    modifier = Qt.KeyboardModifier
    if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and event.modifiers() & modifier.ControlModifier:
        return "close"
    if event.modifiers() != modifier.ControlModifier | modifier.ShiftModifier:
        return ""
    return {Qt.Key.Key_A: "tasks", Qt.Key.Key_M: "materials"}.get(Qt.Key(event.key()), "")
