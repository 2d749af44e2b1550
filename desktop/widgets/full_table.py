"""A table that is exactly as high as its rows: the page scrolls, the table does not."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.widgets.table import RowsModel, RowsTable


class FullTable(RowsTable):
    """For the few rows of a card."""

    def __init__(self, model: RowsModel, name: str = "", parent: QWidget | None = None, *, least: int = 1) -> None:
        super().__init__(model, name, parent)
        self._least = least
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        model.modelReset.connect(self.fit_rows)
        self.heights_changed.connect(self.fit_rows)
        self.horizontalScrollBar().rangeChanged.connect(lambda *_: self.fit_rows())
        self.fit_rows()

    def fit_rows(self) -> None:
        """Be as high as the rows and the heading."""
        bar = self.horizontalScrollBar()
        extra = bar.sizeHint().height() if bar.maximum() > 0 else 0
        head = max(self.horizontalHeader().minimumHeight(), self.horizontalHeader().sizeHint().height())
        self.setFixedHeight(head + self.rows_height(least=self._least) + extra + 2 * self.frameWidth())
