"""Why did it run over? Asked once, right where it happened: a number, a few words, or Enter to leave it open."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QVBoxLayout, QWidget

from desktop.widgets.cards import FlowLayout, button, label, row
from domain.errors import NotUnderstood
from domain.library import ListEntry
from domain.log_entry import parse_hours
from domain.units import format_minutes


class _Answer(QLineEdit):
    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class CauseStrip(QFrame):
    """Signals: `answered(row id, entry id, cause id or None, words)`, None and "" for no answer; `timed(row id, text)`.

    Who types on without looking has typed the time of the next row: that is no reason, and is handed back.
    """

    answered = Signal(object, int, object, str)
    timed = Signal(object, str)

    def __init__(self) -> None:
        super().__init__()
        self._asked: tuple[object, int] | None = None
        self._causes: list[ListEntry] = []
        self._question = label("", "strong")
        self._line = _Answer()
        self._line.setPlaceholderText("A number, a few words, or Enter to skip")
        self._line.setAccessibleName("Why it ran over")
        self._line.setMinimumWidth(350)
        self._line.returnPressed.connect(self._answer)
        self._line.left.connect(lambda: self._tell(None, ""))
        self._chips = QWidget()
        self._flow = FlowLayout(self._chips, spacing=4)
        self.setProperty("card", True)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 8)
        column.setSpacing(4)
        column.addWidget(row(self._question, self._line, None))
        column.addWidget(self._chips)
        self.hide()

    def ask(self, row_id: object, entry_id: int, task: str, over_minutes: int, causes: Sequence[ListEntry]) -> None:
        """Ask why this task ran over and take the focus."""
        self._asked = (row_id, entry_id)
        self._causes = list(causes)
        self._question.setText(f"{task}: {format_minutes(over_minutes)} over. Why?")
        while item := self._flow.takeAt(0):
            if item.widget() is not None:
                item.widget().deleteLater()
        for number, cause in enumerate(self._causes, 1):
            chip = button(f"{number}  {cause.name}", lambda chosen=cause.id: self._tell(chosen, ""), "link")
            chip.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            self._flow.addWidget(chip)
        self._line.clear()
        self.show()
        self._line.setFocus()

    def close(self) -> bool:
        """Stop asking."""
        self._asked = None
        self.hide()
        return True

    def _answer(self) -> None:
        words = self._line.text().strip()
        if words.isdigit() and 1 <= int(words) <= len(self._causes):
            self._tell(self._causes[int(words) - 1].id, "")
            return
        near = [cause for cause in self._causes if words and words.casefold() in cause.name.casefold()]
        if len(near) == 1:
            self._tell(near[0].id, "")
        elif self._asked is not None and _is_time(words):
            row_id = self._asked[0]
            self.close()
            self.timed.emit(row_id, words)
        else:
            self._tell(None, words)

    def _tell(self, cause_id: int | None, words: str) -> None:
        if self._asked is None:
            return
        row_id, entry_id = self._asked
        self.close()
        self.answered.emit(row_id, entry_id, cause_id, words)


def _is_time(words: str) -> bool:
    """True for 1h30 or 8:15-10, not for a bare number, which is the number of a cause."""
    try:
        return not words.isdigit() and parse_hours(words) is not None
    except NotUnderstood:
        return False
