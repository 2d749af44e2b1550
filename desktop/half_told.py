"""What the window says of entries that are half typed: in its head instead of "Saved", and when one leaves them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QWidget

from desktop.desk import JOBS, NOT_SAVED
from desktop.pages.page import Section
from desktop.widgets.half import (
    CHANGES,
    half_entries,
    keeps_itself,
    named,
    unkept_cells,
    unkept_fields,
    watch,
    words_in,
)
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
        QShortcut(QKeySequence("Ctrl+S"), window, self.keep_now)

    def show_saved(self) -> None:
        """When it was last saved; while an entry is half typed the head says that instead."""
        company, saved = self._window.company, self._window.saved
        if company is None:
            return
        half = [field for field in half_entries() if field.window() is self._window]
        if cells := self._cells():
            number = len(cells) + len(self._unkept())
            few = as_typed(cells[0][1].text[:12]) if number == 1 else f"{number} entries"
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
        desk = self._window.desk
        if desk is None or self._window.property("ending"):
            return True
        desk.drafts.write()
        lost, wait = self._left_behind(waiting=False), self._left_behind(waiting=True)
        what = lost or wait
        if not what or self._warned == what:
            return True
        self._warned = what
        more = f" and {len(what) - 1} more" if len(what) > 1 else ""
        after = "leave it" if lost else "keep it for next time, as a draft"
        nowhere = "" if desk.drafts.on_disk else " There is no room for a draft either: what you leave is gone."
        words = f"Not kept: {as_typed(what[0][1])}{more} in {what[0][0]}. F8 goes there; close once more to {after}."
        desk.say(f"{words}{nowhere}", "caution")
        return False

    def _left_behind(self, waiting: bool) -> list[tuple[str, str]]:
        """(where, what) stands typed and is not kept; waiting: as a draft that comes back."""
        desk = self._window.desk
        assert desk is not None
        on_disk = desk.drafts.on_disk
        tables = [
            (table.accessibleName(), cell.text) for table, cell in self._cells()
            if bool(table.property("waits") and on_disk) == waiting
        ]  # fmt: skip
        fields = [*self._unkept(), *(one for one in half_entries() if not on_disk or one.property(CHANGES))]
        if on_disk != waiting:
            return tables
        mine = [one for one in fields if one.window() is self._window]
        return tables + list(dict.fromkeys((named([one]), one.property(CHANGES) or words_in(one)) for one in mine))

    def _unkept(self) -> list[Any]:
        """Fields of this window that would not keep what stands in them."""
        return [one for one in unkept_fields() if one.window() is self._window and keeps_itself(one) and one.problem()]

    def keep_now(self) -> None:
        """Keep what one types in, and try again what the file or the disk would not take."""
        window, desk = self._window, self._window.desk
        if desk is None:
            return
        focus = window.focusWidget()
        for field in [one for one in unkept_fields() if one is focus or one.isAncestorOf(focus)]:
            field.again()
        before = self._not_saved()
        for field in [one for one in self._unkept() if one.problem().startswith(NOT_SAVED)]:
            field.again()
        for table, cell in self._cells():
            model = table.rows_model()
            if cell.message.startswith(NOT_SAVED) and (row := model.find(cell.row_id)) >= 0:
                model.attempt(model.index(row, model.column_of(cell.key)), cell.text)
        left = self._not_saved()
        if before and not left:
            desk.say("Kept." if before == 1 else f"Kept: all {before} entries.", "good")
        elif before > left:
            desk.say(f"{before - left} kept, {left} not yet. F8 goes there.", "caution")
        self.show_saved()

    def _not_saved(self) -> int:
        """How many texts stand in fields and cells that the file or the disk would not take."""
        cells = [cell for _, cell in self._cells() if cell.message.startswith(NOT_SAVED)]
        return len(cells) + sum(one.problem().startswith(NOT_SAVED) for one in self._unkept())

    def action_after(self, tone: str) -> tuple[str, Callable[[], object]] | None:
        """The button beside a word that something was not saved: the same once more."""
        desk = self._window.desk
        return ("Try again", self.keep_now) if tone == "error" and desk is not None and desk.not_saved else None

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
