"""A short table of dated rows with a line to add one: monthly costs, billable hours, miles."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtGui import QFontMetrics, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from desktop.desk import Desk
from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.pages.company.problem_line import ProblemLine
from desktop.pages.drafts import Draft
from desktop.widgets.cards import button, tool_button
from desktop.widgets.table import RowsModel, RowsTable


class ShortTable(RowsTable):
    """A table as tall as its rows, up to a dozen, for a page that scrolls."""

    def __init__(self, model: RowsModel, name: str, least: int = 2, most: int = 12) -> None:
        super().__init__(model, name)
        self._least, self._most = least, most
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        model.modelReset.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        rows = max(self._least, min(self._most, self.model().rowCount()))
        height = max(current_tokens().row_height, QFontMetrics(font("body")).height() + 12)
        self.setFixedHeight((rows + 1) * height + 10)


class DatedRows(QWidget):
    """A ShortTable, a line of fields that adds a row, and a button that takes the current one away."""

    def __init__(
        self, table: RowsTable, fields: Sequence[QWidget], add_label: str, add: Callable[[], object],
        remove_label: str, remove: Callable[[Any], object], draft: tuple[Desk, str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__()
        self.table = table
        self._remove = remove
        self.draft = Draft(*draft, {str(n): one for n, one in enumerate(fields)}) if draft else None
        self._begun = False
        self.add_button = button(add_label, add, icon_name="plus")
        self.remove_button = tool_button("trash", remove_label, self._take_away)
        line = QHBoxLayout()
        line.setSpacing(8)
        for field in fields:
            line.addWidget(field, 1)
            if hasattr(field, "returnPressed"):
                field.returnPressed.connect(self.add_button.click)
        line.addWidget(self.add_button)
        line.addWidget(self.remove_button)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(table)
        box.addLayout(line)
        box.addWidget(ProblemLine(fields))
        table.current_changed.connect(lambda row: self.remove_button.setEnabled(row is not None))
        self.remove_button.setEnabled(False)

    def showEvent(self, event: QShowEvent) -> None:
        """What was begun on another evening comes back."""
        super().showEvent(event)
        if not self._begun and self.draft is not None:
            self._begun = True
            QTimer.singleShot(0, self, self.draft.turn)

    def _take_away(self) -> None:
        if (row := self.table.current_row()) is not None:
            self._remove(row)
