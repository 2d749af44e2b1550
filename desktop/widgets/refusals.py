"""What a table says of texts that its setter refused: the reason stands by its cell, also after one has gone on."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QModelIndex, QObject, QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QLabel, QWidget

from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.widgets.half import watch
from desktop.widgets.rows_model import PROBLEM_ROLE, QUESTION_ROLE


class Beside(QLabel):
    """A word beside a cell about what was typed into it."""

    def __init__(self, viewport: QWidget) -> None:
        super().__init__(viewport)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(font("small"))
        self.setWordWrap(True)
        self.setContentsMargins(8, 1, 8, 1)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def show_in_row(self, cell: QRect, message: str, tone: str = "error") -> None:
        """Stand in the row of a cell that one has left, on its wider side, over no other row."""
        self._paint(tone)
        left, right = cell.left() - 4, self.parentWidget().width() - cell.right() - 8
        room = max(min(left, max(left - 150, 220)), right)  # the beginning of the row says which one it is
        metrics = QFontMetrics(self.font())
        width = min(metrics.horizontalAdvance(message) + 36, max(room, 60))
        self.setText(metrics.elidedText(message, Qt.TextElideMode.ElideRight, width - 20))
        self.setAccessibleName(message)
        at = cell.right() + 4 if right >= room else cell.left() - width - 2
        self.setGeometry(at, cell.top() + 2, width, cell.height() - 5)
        self.show()
        self.raise_()

    def _paint(self, tone: str) -> None:
        tokens = current_tokens()
        ink, ground = (tokens.error, tokens.error_soft) if tone == "error" else (tokens.over, tokens.over_soft)
        self.setStyleSheet(
            f"background: {ground}; color: {ink}; border: 1px solid {ink};"
            f" border-radius: {tokens.radius.mark}px;"
        )

    def show_by(self, cell: QRect, message: str, tone: str = "error") -> None:
        """Stand under the cell, or above when there is no room."""
        self._paint(tone)
        self.setText(message)
        self.setAccessibleName(message)
        room = self.parentWidget().rect()
        width = min(QFontMetrics(self.font()).horizontalAdvance(message) + 26, 360, max(room.width() - 8, 60))
        self.resize(width, self.heightForWidth(width))
        left = max(4, min(cell.left(), room.width() - width - 4))
        below = cell.bottom() + 3
        top = below if below + self.height() <= room.height() else max(cell.top() - self.height() - 3, 0)
        self.move(left, top)
        self.show()
        self.raise_()


class Refusals(QObject):
    """Belongs to a RowsTable; the window's head is told through `half.watch`."""

    def __init__(self, table: Any) -> None:
        super().__init__(table)
        self._table = table
        self._beside = Beside(table.viewport())

    @property
    def label(self) -> Beside:
        """The word beside a cell."""
        return self._beside

    def follow(self) -> None:
        """Listen to the table's model and its cursor."""
        table = self._table
        table.rows_model().refusals.connect(self._changed)
        table.selectionModel().currentChanged.connect(lambda *_: self.tell())
        table.verticalScrollBar().valueChanged.connect(lambda *_: self.tell())

    def refused(self, index: QModelIndex, message: str) -> None:
        """The cell that is open was refused and stays open."""
        self._beside.show_by(self._table.visualRect(index), message)

    def hide(self) -> None:
        """Say nothing for the moment."""
        self._beside.hide()

    def typing(self) -> None:
        """Somebody types into the cell under the cursor: of the others the reason still stands."""
        now = self._table.currentIndex()
        self._stand(now if now.isValid() else QModelIndex())

    def tell(self) -> None:
        """The reason of the cell under the cursor, else of the one that was refused last."""
        now = self._table.currentIndex()
        message = now.data(PROBLEM_ROLE) if now.isValid() else ""
        question = now.data(QUESTION_ROLE) if now.isValid() and not message else ""
        if (message or question) and self._table.state() != QAbstractItemView.State.EditingState:
            self._beside.show_by(self._table.visualRect(now), message or question, "error" if message else "asks")
        elif not (message and self._beside.isVisible()):
            self._stand(now)

    def _stand(self, but: QModelIndex) -> None:
        model = self._table.rows_model()
        for cell in reversed(model.refused_cells()):
            at = model.index(model.find(cell.row_id), model.column_of(cell.key))
            if (at.row(), at.column()) != (but.row(), but.column()):
                self._beside.show_in_row(self._table.visualRect(at), cell.message)
                return
        if (asked := model.questions.latest) is not None and (row := model.find(asked[0])) >= 0:
            at = model.index(row, model.column_of(asked[1]))
            if (at.row(), at.column()) != (but.row(), but.column()):
                show = self._beside.show_by if at.row() == but.row() else self._beside.show_in_row  # never over a cell
                show(self._table.visualRect(at), model.questions.words(asked), "asks")  # one types in
                return
        self._beside.hide()

    def _changed(self) -> None:
        self.tell()
        watch().note_cells(self._table)
