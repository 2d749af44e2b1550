"""What a table could not take waits with the drafts: on another page, on another job, and after the program ended.

The tables of the log keep theirs by day and person themselves (`job_sections/log/kept_cells.py`).
"""

from __future__ import annotations

from ast import literal_eval
from typing import TYPE_CHECKING, Any

import shiboken6
from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget

from desktop.kept_words import TYPED_BEFORE
from desktop.pages.page import Section
from desktop.widgets.half import watch
from desktop.widgets.rows_model import RefusedCell

if TYPE_CHECKING:
    from desktop.window import Window

_FOLLOWED = "waits beside"
"""The property of a table that is followed here."""


class KeptCells(QObject):
    """Belongs to the window; follows every table once it is seen."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._typing: tuple[Any, Any, RefusedCell] | None = None
        watch().table_shown.connect(self._follow)
        watch().cells_changed.connect(self._keep)

    def _follow(self, table: Any) -> None:
        model, desk = table.model(), self._window.desk
        if desk is None or table.window() is not self._window or model is None or not model.is_editable:
            return
        if table.property(_FOLLOWED) or table.property("waits"):
            return
        table.setProperty(_FOLLOWED, True)
        table.setProperty("waits", True)
        section = _holder(table, Section)
        if section is not None:
            model.turn_to(lambda: section.job_id)
        table.typed.connect(lambda row_id, key, text: self._type(table, row_id, key, text))
        table.itemDelegate().closeEditor.connect(lambda *_: self._type(table))
        cells = [one for one in map(_read, desk.drafts.words(_key(table)).items()) if one is not None]
        if cells:
            QTimer.singleShot(0, table, lambda: model.take_refused(cells))

    def _keep(self, table: Any) -> None:
        desk = self._window.desk
        if desk is None or not shiboken6.isValid(table) or not table.property(_FOLLOWED):
            return
        told = table.model().all_refused()
        if self._typing is not None and self._typing[0] is table:
            told.append(self._typing[1:])
        words = {repr((of, one.row_id, one.key)): f"{one.text}\n{one.message}" for of, one in told}
        if words != desk.drafts.words(_key(table)):
            desk.drafts.keep(_key(table), words)
            desk.drafts.soon()

    def _type(self, table: Any, row_id: Any = None, key: str = "", text: str = "") -> None:
        """Somebody types in a cell, and the program may be killed before it is taken; no text: the cell was left."""
        model = table.model()
        of = model.context() if model.context is not None else None
        cell = RefusedCell(model.lasting(row_id), key, text, TYPED_BEFORE) if text.strip() else None
        self._typing = (table, of, cell) if cell is not None else None
        self._keep(table)


def _read(kept: tuple[str, str]) -> tuple[Any, RefusedCell] | None:
    place, (text, _, message) = kept[0], kept[1].partition("\n")
    try:
        of, row_id, key = literal_eval(place)
    except (ValueError, SyntaxError, TypeError):
        return None  # a row that can be named on its own day alone
    return of, RefusedCell(row_id, key, text, message)


def _holder(table: QWidget, kind: type[QWidget] | None = None) -> Any:
    """The nearest thing around a table that is of this kind, or of any kind of the pages."""
    at = table.parentWidget()
    while at is not None:
        if isinstance(at, kind) if kind is not None else type(at).__module__.startswith("desktop.pages"):
            return at
        at = at.parentWidget()
    return None


def _key(table: QWidget) -> str:
    return f"cells of {type(_holder(table)).__name__}, {table.accessibleName()}"
