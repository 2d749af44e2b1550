"""What a model of rows keeps of texts that its setter refused: each in its cell, and with what its row belongs to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import QModelIndex, QPersistentModelIndex

Refusal = tuple[str, str]
"""The text, and why it was not taken."""


class RefusedCell(NamedTuple):
    """A text that was typed into a cell and not taken."""

    row_id: Any
    key: str
    text: str
    message: str


class RefusedTexts:
    """The part of `RowsModel` that keeps them."""

    _refused: dict[tuple[Any, str], Refusal]
    _waiting: dict[Any, dict[tuple[Any, str], Refusal]]
    _shown_for: Any
    _rows: list[Any]
    context: Callable[[], Any] | None
    lasting: Callable[[Any], Any]

    def _turn(self) -> bool:
        """What was refused for another job, or another part of it, waits there; True when something else is shown."""
        now = self.context() if self.context is not None else None
        if now == self._shown_for:
            return False
        self._waiting[self._shown_for] = before = self._refused
        self._shown_for, self._refused = now, self._waiting.pop(now, {})
        return bool(before or self._refused)

    def all_refused(self) -> list[tuple[Any, RefusedCell]]:
        """(what it belongs to, refused text) of all there are, with ids that last."""
        everything = {**self._waiting, self._shown_for: self._refused}
        return [
            (of, RefusedCell(self.lasting(row_id), key, *what))
            for of, cells in everything.items() for (row_id, key), what in cells.items()
        ]  # fmt: skip

    def take_refused(self, cells: Sequence[tuple[Any, RefusedCell]]) -> None:
        """What waited since another day stands in its cells again, each with what it belongs to."""
        for of, one in cells:
            where = self._refused if of == self._shown_for else self._waiting.setdefault(of, {})
            where.setdefault((one.row_id, one.key), (one.text, one.message))
        self.set_rows(self._rows)
        self._told_anew()

    def turn_to(self, context: Callable[[], Any]) -> None:
        """The rows belong to this from now on, where nothing was said of it."""
        if self.context is None and self.is_editable:
            self.context = context
            self.set_rows(self._rows)

    def refused_cells(self, *, shown: bool = True) -> list[RefusedCell]:
        """Texts that stand refused in cells, the last one last; of the rows there are, or else of all."""
        here = {self._row_id(row) for row in self._rows} if self._refused and shown else set()
        return [RefusedCell(*cell, *what) for cell, what in self._refused.items() if not shown or cell[0] in here]

    def refused_text(self, row_id: Any, key: str) -> str | None:
        """What stands refused in this cell, None when nothing does."""
        return self._refused.get((row_id, key), (None, ""))[0]

    def put_refused(self, cells: Sequence[RefusedCell]) -> None:
        """Put texts back that were refused before, each into its cell."""
        self._refused.update({(one.row_id, one.key): (one.text, one.message) for one in cells})
        self._told_anew()

    def rename_refused(self, row_id: Any, key: str, new: tuple[Any, str]) -> None:
        """What stands refused in a cell belongs to another one, (row id, column), from now on."""
        self._refused[new] = self._refused.pop((row_id, key))
        self._cells.clear()

    def _told_anew(self) -> None:
        self._cells.clear()
        if self._rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._rows) - 1, len(self.columns) - 1))
        self.refusals.emit()

    def forget_refused(self, index: QModelIndex | QPersistentModelIndex) -> None:
        """Go back to the saved text of a cell."""
        self._cells.clear()
        before = self._refused.pop((self.id_at(index.row()), self.columns[index.column()].key), None)
        self.dataChanged.emit(index, index)
        if before:
            self.refusals.emit()

    def let_go_refused(self) -> list[RefusedCell]:
        """Take every refused text out, because what is shown turns to something else; returns them."""
        gone = [RefusedCell(*cell, *what) for cell, what in self._refused.items()]
        if gone:
            self._refused.clear()
            self._told_anew()
        return gone
