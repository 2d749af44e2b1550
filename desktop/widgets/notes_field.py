"""Several lines of words: notes, findings, the texts of a proposal."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QShowEvent, QWheelEvent
from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy, QWidget

from desktop.widgets.fields import mark_wrong
from desktop.widgets.half import keeps_itself, watch

PAUSE_MS = 1500
"""Words that are saved by themselves are saved when the typing pauses so long, not only when the field is left."""


class NotesField(QPlainTextEdit):
    """Several lines of words; grows with them up to a dozen lines."""

    edited = Signal(object)
    typed = Signal(object)
    problem_changed = Signal(str)

    def __init__(self, placeholder: str = "", lines: int = 3, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._value, self._lines = "", lines
        self._problem = ""
        self._offered = ""
        self.touched = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.keep)
        self.setPlaceholderText(placeholder)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)  # words wrap; a bar would hide a line
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(self._changed)
        self._fit()

    def value(self) -> str:
        """The committed text."""
        return self._value

    def set_value(self, value: Any) -> None:
        """Show `value`; what is being typed at this moment stays."""
        text = self.toPlainText()
        if (self.hasFocus() and text != self._value) or (self._problem and (value or "") == self._value):
            self._value = value or ""
        elif self.hasFocus() and text.strip() == (value or "").strip():
            self._value = text  # only blanks at the ends were taken off, where one goes on typing
            self.touched = False
            watch().untouch(self)
        else:
            self.reset(value)

    def reset(self, value: Any = None) -> None:
        """Show `value` and forget what was typed."""
        self.touched, self._offered = False, ""
        watch().untouch(self)
        self._value = value or ""
        self._pause.stop()
        self.set_problem("")
        if self.toPlainText() != self._value:
            blocked = self.blockSignals(True)
            self.setPlainText(self._value)
            self.blockSignals(blocked)
        self._fit()

    def retype(self, text: str) -> None:
        """Put words in as if they had just been typed."""
        self.setPlainText(text)
        self.commit()

    def problem(self) -> str:
        """Why what stands here was not saved; "" when it was. Words themselves are never wrong."""
        return self._problem

    def set_problem(self, text: str) -> None:
        """Say why these words cannot be saved."""
        if text != self._problem:
            self._problem = text
            mark_wrong(self, bool(text))
            self.setAccessibleDescription(text)
            self.problem_changed.emit(text)

    def shown(self, value: Any) -> str:
        """This value as it stands in the field."""
        return str(value or "")

    def hold(self, stored: str, words: str, reason: str, *, offered: bool = False) -> None:
        """What is stored stays `stored`; these words stand here for another try; see `fields`.

        Words that are only `offered`, from before, are taken by Ctrl+Enter or by typing on, not by leaving the field.
        """
        self._value = stored or ""
        if self.toPlainText() != words:
            blocked = self.blockSignals(True)
            self.setPlainText(words)
            self.blockSignals(blocked)
            self._fit()
        self._offered = words if offered else ""
        self.touched = True
        self.set_problem(reason)
        watch().touch(self)

    def again(self) -> bool:
        """Try once more to keep what stands here."""
        self._offered = ""
        return self.commit()

    def commit(self) -> bool:
        """Take the text as it stands."""
        self.keep()
        self.document().clearUndoRedoStacks()  # from here on Ctrl+Z takes back the saved step
        return True

    def keep(self) -> None:
        """Take the text as it stands and leave cursor, selection and what Ctrl+Z takes back to whoever goes on."""
        self._pause.stop()
        text = self.toPlainText()
        if self._offered and text == self._offered:
            return
        if text != self._value:
            self._value = text
            self.set_problem("")
            self.edited.emit(text)
        if text == self._value:  # else it was refused, and the words stand here
            watch().settled(self)

    def _changed(self) -> None:
        self.touched, self._offered = True, ""
        self.set_problem("")
        watch().touch(self)
        if keeps_itself(self):
            self._pause.start()
        self._fit()
        self.typed.emit(self.toPlainText())

    def _fit(self) -> None:
        shown = min(max(self._lines, self.document().lineCount()), 12)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * shown + 20)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        watch().came_back(self)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self.touched and not event.spontaneous():
            watch().hid(self)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.commit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The page scrolls under the wheel; only a text longer than its box, in which one types, scrolls itself."""
        bar = self.verticalScrollBar()
        up = event.angleDelta().y() > 0
        if not self.hasFocus() or bar.value() == (bar.minimum() if up else bar.maximum()):
            event.ignore()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if ctrl and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.again()
            return
        if event.key() == Qt.Key.Key_Escape and self._problem:
            self.reset(self._value)
            return
        super().keyPressEvent(event)
