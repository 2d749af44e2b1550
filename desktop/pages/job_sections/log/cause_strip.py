"""Why did it run over? Asked at the foot of the log, in a place kept free for it, while one goes on typing."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from desktop.look.theme import current_tokens
from desktop.widgets.cards import FlowLayout, button, label
from desktop.widgets.fields import mark_wrong
from domain.errors import NotUnderstood, as_typed
from domain.library import ListEntry
from domain.log_entry import parse_hours
from domain.units import format_minutes

_NO_REASON = re.compile(
    r"(?:[\W\d_]|\b(?:h|hr|hrs|hours?|m|min|mins|minutes?|am|pm|a|p|to|and)\b"
    r"|(?<=[0-9])(?:hrs?|h|m|am|pm|x)(?![a-z]))*",
    re.IGNORECASE,
)
"""Signs, figures and units of time without a word among them."""


class _Answer(QLineEdit):
    left = Signal()
    entered = Signal(bool)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.entered.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.entered.emit(False)


LONGEST = 500
"""Letters of a reason: a paragraph."""


class _Choices(QFrame):
    """The causes with their numbers, floating above the question while it is being answered."""

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("card", True)
        self.setAutoFillBackground(True)
        inside = QVBoxLayout(self)
        inside.setContentsMargins(12, 8, 12, 8)
        self._box = QWidget()
        self.flow = FlowLayout(self._box, spacing=4)
        inside.addWidget(self._box)
        self.hide()

    def float_above(self, strip: QWidget) -> None:
        """Stand above the strip in its window, over whatever is there, which does not move."""
        window = strip.window()
        if self.parentWidget() is not window:
            self.setParent(window)
        at = strip.mapTo(window, QPoint(0, 0))
        height = self.flow.heightForWidth(strip.width() - 24) + 18
        self.setGeometry(at.x(), at.y() - height - 2, strip.width(), height)
        self.show()
        self.raise_()


class CauseStrip(QFrame):
    """Signals: `answered(entry id, cause id or None, words)`; `left()`: back to where one typed; `asked_or_not()`.

    It never takes the keyboard: who wants to answer types W and Enter in the hours, or clicks.
    """

    answered = Signal(int, object, str)
    left = Signal()
    asked_or_not = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._entry_id = 0
        self._causes: list[ListEntry] = []
        self._question = label("", "strong")
        self._line = _Answer()
        self._line.setPlaceholderText("Why? W and Enter, or click here")
        self._line.setAccessibleName("Why it ran over")
        self._line.setMinimumWidth(230)
        self._line.returnPressed.connect(self._answer)
        self._line.left.connect(self._skip)
        self._line.textEdited.connect(lambda _text: self._refuse(""))
        self._line.entered.connect(self._show_choices)
        self._refused = label("", "small", "error")
        self._choices = _Choices()
        self.skip = button("Leave it open", self._skip, "link")
        self.setProperty("card", True)
        line = QHBoxLayout(self)
        line.setContentsMargins(14, 3, 8, 3)
        line.setSpacing(10)
        line.addWidget(self._question)
        line.addWidget(self._line, 1)
        line.addWidget(self._refused)
        line.addWidget(self.skip)

    @property
    def is_asking(self) -> bool:
        """True while a question stands."""
        return bool(self._entry_id)

    def ask(self, entry_id: int, task: str, over_minutes: int, causes: Sequence[ListEntry]) -> None:
        """Ask why this task ran over; the keyboard stays where it is."""
        self._entry_id, self.is_answered_now = entry_id, False
        self._causes = list(causes)
        self._question.setText(f"{task}: {format_minutes(over_minutes)} over.")
        while item := self._choices.flow.takeAt(0):
            if item.widget() is not None:
                item.widget().deleteLater()
        for number, cause in enumerate(self._causes, 1):
            chip = button(f"{number}  {cause.name}", lambda chosen=cause.id: self._tell(chosen, ""), "link")
            chip.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            self._choices.flow.addWidget(chip)
        self._line.clear()
        self._refuse("")
        self.asked_or_not.emit()

    is_answered_now = False
    """True from the moment somebody asked to answer until the question is gone or left."""

    def begin_answer(self) -> None:
        """Put the cursor into the answer: somebody asked for it."""
        if self._entry_id:
            self.is_answered_now = True
            self.asked_or_not.emit()
            self._line.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def close(self) -> bool:
        """Stop asking."""
        self._entry_id = 0
        self.is_answered_now = False
        self._choices.hide()
        self.asked_or_not.emit()
        return True

    def _answer(self) -> None:
        words = self._line.text().strip()
        if words.isdigit():
            if 1 <= int(words[:9]) <= len(self._causes):
                self._tell(self._causes[int(words) - 1].id, "")
            else:
                self._refuse(f"There are {len(self._causes)} causes.")
            return
        if not words:
            self._skip()
            return
        if _is_time(words.lstrip("+-")):
            self._refuse(f"{as_typed(words)} is a time. Escape goes back to the hours.")
            return
        if len(words) > LONGEST or _NO_REASON.fullmatch(words):
            self._refuse(
                f"{as_typed(words)} says no reason. Type a word or a number of the list."
                if len(words) <= LONGEST else f"That is {len(words):,} letters. Say it in {LONGEST} or fewer."
            )
            return
        near = [cause for cause in self._causes if words.casefold() in cause.name.casefold()]
        if len(near) == 1:
            self._tell(near[0].id, "")
        else:
            self._tell(None, words)

    def _skip(self) -> None:
        here = self._line.hasFocus() or self.skip.hasFocus()
        self.close()
        if here:
            self.left.emit()

    def _refuse(self, reason: str) -> None:
        self._refused.setText(reason)
        self._refused.setVisible(bool(reason))
        mark_wrong(self._line, bool(reason))
        self._line.setAccessibleDescription(reason)

    def _tell(self, cause_id: int | None, words: str) -> None:
        if not self._entry_id:
            return
        entry_id = self._entry_id
        self.close()
        self.answered.emit(entry_id, cause_id, words)

    def _show_choices(self, shown: bool) -> None:
        if shown and self._entry_id and self._causes:
            self._choices.float_above(self)
        else:
            self._choices.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._choices.isVisible():
            self._choices.float_above(self)


def strip_height() -> int:
    """Pixels the foot of the log keeps free for a question or a note."""
    return current_tokens().control_height + 14


def _is_time(words: str) -> bool:
    """True for 1h30 or 8:15-10: that belongs into the hours."""
    try:
        return parse_hours(words) is not None
    except NotUnderstood:
        return False
