"""Notices that a new day has begun while the window is open, or that the computer's clock was set back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication

from desktop.undo_keys import half_typed
from domain.dates import format_day

if TYPE_CHECKING:
    from desktop.desk import Desk

LOOK_MS = 15_000


class NewDay(QObject):
    """Says so once, and lets the desk tell the pages; what is half typed stays where it is, on the day it was typed."""

    def __init__(self, desk: Desk, stay: Callable[[], object] = lambda: None) -> None:
        super().__init__(desk)
        self._stay = stay  # at midnight nobody may be looking: the words stand until somebody is
        self._desk, self._day = desk, desk.today()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.look)
        self._timer.start(LOOK_MS)

    def look(self) -> None:
        """See which day it is."""
        day, before = self._desk.today(), self._day
        if day == before or not self._desk.company.is_open:
            return
        self._day = day
        self._desk.new_day.emit(before)
        focused = QApplication.focusWidget()
        if focused is None or not half_typed(focused):
            self._desk.changed.emit()
        if day > before:
            words = f"A new day has begun: it is {format_day(day)}. A log that is open stays on {format_day(before)}."
        else:
            words = f"This computer's clock went back from {format_day(before)} to {format_day(day)}. Is that right?"
        self._desk.say(words, "caution")
        self._stay()
