"""A table with an empty row at its foot to type into; what cannot be taken there waits in a row of its own above it.

    model = FootModel(columns, ...)          # as RowsModel; the last of the rows is the empty one
    model.is_empty = lambda row: row.id == 0   # which row that is

So the foot is always free: what is typed next never stands in place of what was refused.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QModelIndex, Qt, QTimer

from desktop.widgets.rows_model import Cell, Column, Index, RowsModel

_HELD = "held "


@dataclass(frozen=True, slots=True)
class HeldRow:
    """A row that holds one text the foot could not take."""

    key: str


class FootModel(RowsModel):
    """See the module's first lines."""

    is_empty: Callable[[Any], bool] = staticmethod(lambda row: getattr(row, "id", 1) == 0)

    def __init__(self, columns: Sequence[Column], *, row_id: Callable[[Any], Any], **parts: Any) -> None:
        super().__init__(
            columns, row_id=lambda row: row.key if isinstance(row, HeldRow) else row_id(row), **parts
        )
        self._became: dict[str, Any] = {}  # held row: the line it was put right to
        self._going: set[str] = set()  # held rows whose text was taken back, until `tidy`

    @property
    def foot(self) -> Any:
        """The empty row, None where nothing can be added."""
        last = self._rows[-1] if self._rows else None
        return last if last is not None and not isinstance(last, HeldRow) and self.is_empty(last) else None

    def is_held(self, index: Index) -> bool:
        """True for a row that holds a text the foot could not take."""
        return 0 <= index.row() < len(self._rows) and isinstance(self._rows[index.row()], HeldRow)

    def is_foot(self, index: Index) -> bool:
        """True for the empty row."""
        return index.row() == len(self._rows) - 1 and self.foot is not None

    def _with_held(self, rows: list[Any]) -> list[Any]:
        rows = [row for row in rows if not isinstance(row, HeldRow)]
        if rows and self.is_empty(rows[-1]):
            held = self._held()
            going = [row.key for row in self._rows if isinstance(row, HeldRow) and row.key in self._going - {*held}]
            rows[-1:-1] = [HeldRow(key) for key in (*held, *going)]
        return rows

    def _held(self) -> list[str]:
        return [row_id for row_id, _ in self._refused if isinstance(row_id, str) and row_id.startswith(_HELD)]

    def _bare(self, row: Any) -> Any:
        return self._rows[-1] if isinstance(row, HeldRow) else row

    def row_at(self, index: Index | int) -> Any:
        return self._bare(super().row_at(index))

    def find(self, wanted: Any) -> int:
        return super().find(self._became.get(wanted, wanted))

    def is_strong(self, row: Any) -> bool:
        return not isinstance(row, HeldRow) and super().is_strong(row)

    def text(self, row: Any, key: str) -> str:
        return "" if isinstance(row, HeldRow) else super().text(row, key)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role == Qt.ItemDataRole.EditRole and index.isValid() and self.is_foot(index):
            return ""  # what invites to type there is not there once one types
        return super().data(index, role)

    def _made(self, row: Any, column: Column, index: Index) -> Cell:
        if not isinstance(row, HeldRow):
            return super()._made(row, column, index)
        text, why = self._refused.get((row.key, column.key), ("", ""))
        return Cell("text", text, None, column.align == "right", why, False, self.can_edit(index), None)

    # What is refused.

    def attempt(self, index: Index, text: str) -> str | None:
        """Offer a typed text; one refused at the foot gets a row of its own, and the foot is free again."""
        row, key, at_foot = self._rows[index.row()], self.columns[index.column()].key, self.is_foot(index)
        if at_foot and not text.strip():
            return None
        foot_id = self.id_at(len(self._rows) - 1)
        message = super().attempt(index, text)
        if message and at_foot:
            self._hold(foot_id, key)
        elif not message and isinstance(row, HeldRow):
            self._became[row.key] = foot_id
            self.tidy()
        return message

    def _hold(self, foot_id: Any, key: str) -> None:
        if (foot_id, key) not in self._refused:
            return
        taken = {int(one.removeprefix(_HELD)) for one in [*self._held(), *self._became]}
        name = f"{_HELD}{max(taken, default=0) + 1}"
        self._refused[(name, key)] = self._refused.pop((foot_id, key))
        place = len(self._rows) - 1
        self.beginInsertRows(QModelIndex(), place, place)
        self._rows.insert(place, HeldRow(name))
        self._cells.clear()
        self.endInsertRows()
        self.refusals.emit()

    def forget_refused(self, index: Index) -> None:
        if self.is_held(index):
            self._going.add(self._rows[index.row()].key)  # its editor may still be open
        super().forget_refused(index)
        QTimer.singleShot(0, self, self.tidy)

    def tidy(self) -> None:
        """A row that holds nothing any more goes."""
        self._going.clear()
        held = set(self._held())
        for place in reversed(range(len(self._rows))):
            row = self._rows[place]
            if isinstance(row, HeldRow) and row.key not in held:
                self.beginRemoveRows(QModelIndex(), place, place)
                del self._rows[place]
                self._cells.clear()
                self.endRemoveRows()
