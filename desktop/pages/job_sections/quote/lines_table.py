"""The table of lines: as high as its rows, an empty row at the foot to type into, Delete and Ctrl+Up/Down."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QScrollArea, QSizePolicy

from desktop.widgets.table import RowsModel, RowsTable


class LineKeys:
    """Names rows so that the empty row and the line it becomes are one row to the cursor."""

    def __init__(self) -> None:
        self._blank = 0
        self._names: dict[int, str] = {}

    def name(self, line_id: int, option_id: int | None = None) -> Any:
        """The row's name: that of the empty row it came from, else its id. Each option has an empty row of its own."""
        return self._empty(option_id) if line_id == 0 else self._names.get(line_id, line_id)

    def _empty(self, option_id: int | None) -> str:
        return f"empty {self._blank} of {option_id or 'base'}"

    def lasting(self, name: Any) -> Any:
        """The id of the line with this name, which it will still have on another day."""
        return next((line_id for line_id, one in self._names.items() if one == name), name)

    def became(self, line_id: int, option_id: int | None = None) -> int:
        """The empty row is this line from now on; there will be another empty row."""
        self._names[line_id] = self._empty(option_id)
        self._blank += 1
        return line_id


class LinesTable(RowsTable):
    """Lines of a quote.

    Signals:
        removed, moved: the owner wants the current line gone, or -1 up or +1 down.
    """

    removed = Signal(object)
    moved = Signal(object, int)
    _beside_heading = 20  # nothing is sorted here: no room for an arrow is needed

    def __init__(self, model: RowsModel, name: str, first: str) -> None:
        super().__init__(model, name=name)
        self._first = first
        self.just_added = False
        self._row_before = -1
        self.after_first: Callable[[Any], str] = lambda _row: ""
        """For a line just picked, the column that Enter goes on to; "": the next one."""
        self.setSortingEnabled(False)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setSortIndicatorShown(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for changed in (model.modelReset, model.rowsInserted, model.rowsRemoved):
            changed.connect(self.fit_rows)
        self.heights_changed.connect(self.fit_rows)
        self.horizontalScrollBar().rangeChanged.connect(lambda *_: self.fit_rows())
        self.selectionModel().currentChanged.connect(lambda now, _: self._follow(now))
        self.fit_rows()

    def fit_rows(self) -> None:
        """Be exactly as high as the rows: the page scrolls, the table does not."""
        rows = self.rows_height(least=1)
        bar = self.horizontalScrollBar()
        extra = bar.sizeHint().height() if bar.maximum() > 0 else 0
        head = max(self.horizontalHeader().minimumHeight(), self.horizontalHeader().sizeHint().height())
        self.setFixedHeight(head + rows + extra + 2 * self.frameWidth())

    def _find_place(self) -> None:
        """Where the line with the cursor is gone, the cursor stands on the one that took its place."""
        row, column = self._row_before, max(self.currentIndex().column(), 0)
        super()._find_place()
        rows = self.rows_model().rowCount()
        if row >= 0 and rows and not self.currentIndex().isValid():
            self.setCurrentIndex(self.rows_model().index(min(row, rows - 1), column))

    def _keep_place(self) -> None:
        self._row_before = self.currentIndex().row()
        super()._keep_place()

    def begin_new(self) -> None:
        """Put the cursor into the empty row and open its first cell."""
        model = self.rows_model()
        last = model.rowCount() - 1
        if last >= 0:
            self.setFocus()
            self.edit_cell(model.id_at(last), self._first)

    def _follow(self, index: QModelIndex) -> None:
        """Keep the cursor's row in sight of the page that scrolls around the table."""
        area = self.parent()
        while area is not None and not isinstance(area, QScrollArea):
            area = area.parent()
        if isinstance(area, QScrollArea) and index.isValid() and self.hasFocus():
            spot = self.viewport().mapTo(area.widget(), self.visualRect(index).center())
            area.ensureVisible(spot.x(), spot.y(), 0, 60)

    def _move_on(self, row_id: Any, key: str, move: str) -> None:
        picked = self.just_added and key == self._first and move == "down"
        self.just_added = False
        if picked:
            row = self.rows_model().row_at(self.rows_model().find(row_id))
            if row is not None and (goal := self.after_first(row)):
                self._beside.hide()
                self.setFocus()
                self.edit_cell(row_id, goal)
                return
            move = "next"  # what was picked gets its quantity
        super()._move_on(row_id, key, move)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row, key = self.current_row(), event.key()
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if row is not None and key == Qt.Key.Key_Delete and not event.modifiers() and not self.is_held_here:
            self.removed.emit(row)
        elif row is not None and control and key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.moved.emit(row, -1 if key == Qt.Key.Key_Up else 1)
        else:
            if event.text().isprintable() and event.text() and getattr(row, "id", None) == 0:
                self._go_to_first()
            super().keyPressEvent(event)

    def _go_to_first(self) -> None:
        """Typing anywhere in the empty row begins its first cell: nothing else there can be typed into."""
        first = self.rows_model().column_of(self._first)
        if self.state() != QAbstractItemView.State.EditingState and self.currentIndex().column() != first:
            self.setCurrentIndex(self.currentIndex().siblingAtColumn(first))


def soon(work: Callable[[], object]) -> None:
    """Run once the events at hand are done, for what must wait until an editor has closed."""
    QTimer.singleShot(0, work)
