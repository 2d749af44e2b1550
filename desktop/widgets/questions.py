"""Figures in cells that are kept and unlikely: asked about where they stand, until somebody says yes or corrects them.

A `RowsModel(doubt=...)` has one: `doubt(row, column key)` returns what is odd about the figure now in that cell. It is
asked only of what was just typed; the figure is kept, the cursor goes on as always, and the cell stays marked. Enter on
it says yes, and the same figure there is not asked about again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from domain.unlikely import asked

Cell = tuple[Any, str]
"""(row id, column key)."""


class Questions:
    """The open questions of one table."""

    def __init__(self, doubt: Callable[[Any, str], str] | None) -> None:
        self._doubt = doubt
        self._open: dict[Cell, str] = {}
        self._sure: set[tuple[Cell, str]] = set()
        self.latest: Cell | None = None
        """The cell whose question stands beside it; another entry takes the words away, never the mark."""

    def look(self, cell: Cell, row: Any) -> bool:
        """A text was taken into this cell, and the row is as it is now; True when there is more or less to ask."""
        if self._doubt is None:
            return False
        words = self._doubt(row, cell[1]) if row is not None else ""
        before, self.latest = self._open.pop(cell, ""), None
        if words and (cell, words) not in self._sure:
            self._open[cell] = asked(words)
            self.latest = cell
        return bool(before or self.latest)

    def words(self, cell: Cell) -> str:
        """The question that is open about a cell."""
        return self._open.get(cell, "") if self._open else ""

    def say_yes(self, cell: Cell, row: Any) -> bool:
        """It is right; True when it had been asked."""
        if cell not in self._open or self._doubt is None:
            return False
        del self._open[cell]
        self._sure.add((cell, self._doubt(row, cell[1])))
        self.latest = None if self.latest == cell else self.latest
        return True

    def forget(self) -> None:
        """The table is about another paper: nothing was asked or answered in it."""
        self._open, self._sure, self.latest = {}, set(), None

    @property
    def cells(self) -> list[Cell]:
        """The cells that are asked about, the last one last."""
        return list(self._open)
