"""Before a paper is booked: texts that stand refused in its table are named, and asked about once."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractItemView

from desktop.pages.job_sections.outcome.not_kept import NotKept, told
from desktop.widgets.cards import Notice
from desktop.widgets.rows_model import RefusedCell
from desktop.widgets.table import RowsTable
from desktop.widgets.young import YoungMoment
from domain.errors import as_typed


class NotKeptAsked:
    """The same texts are asked about once: a second press, not that of a double click, goes on without them.

    Args:
        without: what the second press does: ``book it without``.
    """

    def __init__(self, table: RowsTable, notice: Notice, without: str) -> None:
        self._table, self._notice, self._without = table, notice, without
        self._told: list[RefusedCell] = []
        self._since = YoungMoment()

    def goes_on(self) -> bool:
        """False when texts were just named, or nobody can have read them yet; a cell that is open is taken first."""
        if self._table.state() == QAbstractItemView.State.EditingState:
            self._table.setFocus()
        model = self._table.rows_model()
        cells = model.refused_cells()
        if not cells or (cells == self._told and not self._since.is_young()):
            return True
        if cells != self._told:
            self._since.restart()
        self._told = cells
        titles = {column.key: column.title for column in model.columns}
        words = told([NotKept(as_typed(cell.text), f"in “{titles[cell.key]}”", lambda: None) for cell in cells])
        self._notice.set_words(
            "caution", f"{words} Put it right, or press once more to {self._without}.", ("Go to it", self._go)
        )
        return False

    def forget(self) -> None:
        """Another paper is begun: what still stands red is asked about anew."""
        self._told = []

    def _go(self) -> None:
        self._table.setFocus()
        if self._told:
            self._table.select_id(self._told[0].row_id, self._told[0].key)
