"""Tables of the takeoff: an empty row at the foot to type into, Delete takes the current row out."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView

from desktop.widgets.table import RowsModel, RowsTable


class TypedTable(RowsTable):
    """A table that scrolls, in its given order.

    Signals:
        removed(row), moved(row, steps): Delete; Ctrl+Up and Ctrl+Down.
    """

    removed = Signal(object)
    moved = Signal(object, int)

    def __init__(self, model: RowsModel, name: str) -> None:
        super().__init__(model, name=name)
        self.setSortingEnabled(False)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setSortIndicatorShown(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row, key = self.current_row(), event.key()
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if row is not None and key == Qt.Key.Key_Delete and not event.modifiers() and not self.is_held_here:
            self.removed.emit(row)
        elif row is not None and control and key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.moved.emit(row, -1 if key == Qt.Key.Key_Up else 1)
        else:
            super().keyPressEvent(event)
