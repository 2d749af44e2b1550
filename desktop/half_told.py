"""What the window says of entries that are half typed: in its head instead of "Saved", and when one leaves them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QDialog, QWidget

from desktop.widgets.half import half_entries, named, unkept_fields, watch
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
        watch().changed.connect(self.show_saved)
        watch().left.connect(self._tell_left)

    def show_saved(self) -> None:
        """When it was last saved; while an entry is half typed the head says that instead."""
        company, saved = self._window.company, self._window.saved
        if company is None:
            return
        half = [field for field in half_entries() if field.window() is self._window]
        if half:
            saved.show_half(f"Not added yet: {named(half)}")
        elif typing := [field for field in unkept_fields() if field.window() is self._window]:
            saved.show_half(f"Not kept yet: {named(typing)}")
        elif company.saved_at is not None:
            saved.show_saved(format_clock(company.saved_at.hour * 60 + company.saved_at.minute))
        else:
            saved.hide()

    def _tell_left(self, fields: list[QWidget]) -> None:
        mine = [field for field in fields if field.window() is self._window]
        desk = self._window.desk
        if mine and desk is not None:
            desk.drafts.write()
            desk.say(f"Not added yet: {named(mine)}. What you typed waits there.", "caution")
