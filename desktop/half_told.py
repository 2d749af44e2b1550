"""What the window says of entries that are half typed: in its head instead of "Saved", and when one leaves them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QWidget

from desktop.desk import JOBS
from desktop.pages.page import Section
from desktop.widgets.half import half_entries, named, unkept_cells, unkept_fields, watch
from domain.errors import as_typed
from domain.units import format_clock

if TYPE_CHECKING:
    from desktop.window import Window


def leave_drafts_open(window: QWidget) -> None:
    """Close what stands open over the window with a draft of its own, as the firm it asks goes; the draft waits."""
    for dialog in window.findChildren(QDialog):
        if dialog.isVisible() and hasattr(dialog, "draft"):
            dialog.reject()


def keep_what_is_typed(window: Window) -> None:
    """The system is about to end all programs: what is typed is committed, or waits as a draft on the disk."""
    if (field := window.focusWidget()) is not None:
        field.clearFocus()
    if window.desk is not None:
        window.desk.drafts.write()


class HalfTold(QObject):
    """Belongs to the window, whose head and toast it speaks through."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._warned: list[tuple[str, str]] = []
        watch().changed.connect(self.show_saved)
        watch().left.connect(self._tell_left)
        window.saved.clicked.connect(self.go_there)
        QShortcut(QKeySequence("F8"), window, self.go_there)

    def show_saved(self) -> None:
        """When it was last saved; while an entry is half typed the head says that instead."""
        company, saved = self._window.company, self._window.saved
        if company is None:
            return
        half = [field for field in half_entries() if field.window() is self._window]
        if cells := self._cells():
            few = as_typed(cells[0][1].text[:12]) if len(cells) == 1 else f"{len(cells)} entries"
            saved.show_half(f"Not kept yet: {few}")  # the head has room for no more
        elif half:
            saved.show_half(f"Not added yet: {named(half)}")
        elif typing := [field for field in unkept_fields() if field.window() is self._window]:
            saved.show_half(f"Not kept yet: {named(typing)}")
        elif company.saved_at is not None:
            saved.show_saved(format_clock(company.saved_at.hour * 60 + company.saved_at.minute))
        else:
            saved.hide()

    def _cells(self) -> list[tuple[Any, Any]]:
        return [(table, cell) for table, cell in unkept_cells() if table.window() is self._window]

    def may_close(self) -> bool:
        """False, in words, while texts stand refused that wait nowhere; closing once more leaves them."""
        lost = [(cell, table) for table, cell in self._cells() if not table.property("waits")]
        desk, named_now = self._window.desk, [(cell.key, cell.text) for cell, _ in lost]
        if desk is None or not lost or self._warned == named_now or self._window.property("ending"):
            return True
        self._warned = named_now
        more = f" and {len(lost) - 1} more" if len(lost) > 1 else ""
        desk.say(
            f"Not kept: {as_typed(lost[0][0].text)}{more} in {lost[0][1].accessibleName()}. F8 goes there; close once "
            "more to leave it.", "caution",
        )  # fmt: skip
        return False

    def go_there(self) -> None:
        """Put the cursor where the first thing stands that is not kept yet, on whatever page that is."""
        if cells := self._cells():
            table, cell = cells[0]
            self._show(table)
            table.setFocus()
            table.select_id(cell.row_id, cell.key)
            return
        fields = [*half_entries(), *unkept_fields()]
        if field := next((one for one in fields if one.window() is self._window), None):
            self._show(field)
            field.setFocus()

    def _show(self, inside: QWidget) -> None:
        """The page, and of a job the section, on which this widget is."""
        above: QWidget | None = inside
        while not inside.isVisible() and (above := above.parentWidget() if above is not None else None) is not None:
            if isinstance(above, Section):
                self._window.go(JOBS, above.job_id, type(above).__module__.split(".")[3])
                return
            if (page := above) in (pages := self._window._pages).values():
                self._window.go(next(place for place, one in pages.items() if one is page))
                return

    def _tell_left(self, fields: list[QWidget]) -> None:
        mine = [field for field in fields if field.window() is self._window]
        desk = self._window.desk
        if mine and desk is not None:
            desk.drafts.write()
            desk.say(f"Not added yet: {named(mine)}. What you typed waits there.", "caution")
