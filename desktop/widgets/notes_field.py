"""Several lines of words: notes, findings, the texts of a proposal."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy, QWidget

from desktop.widgets.half import watch


class NotesField(QPlainTextEdit):
    """Several lines of words; grows with them up to a dozen lines."""

    edited = Signal(object)
    typed = Signal(object)
    problem_changed = Signal(str)

    def __init__(self, placeholder: str = "", lines: int = 3, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._value, self._lines = "", lines
        self.touched = False
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
        if self.hasFocus() and self.toPlainText() != self._value:
            self._value = value or ""
            return
        self.reset(value)

    def reset(self, value: Any = None) -> None:
        """Show `value` and forget what was typed."""
        self.touched = False
        watch().untouch(self)
        self._value = value or ""
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
        """Always empty: words are never wrong."""
        return ""

    def commit(self) -> bool:
        """Take the text as it stands."""
        text = self.toPlainText()
        if text != self._value:
            self._value = text
            self.document().clearUndoRedoStacks()  # from here on Ctrl+Z takes back the saved step
            self.edited.emit(text)
        watch().settled(self)
        return True

    def _changed(self) -> None:
        self.touched = True
        watch().touch(self)
        self._fit()
        self.typed.emit(self.toPlainText())

    def _fit(self) -> None:
        shown = min(max(self._lines, self.document().lineCount()), 12)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * shown + 20)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._fit()

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
            self.commit()
            return
        super().keyPressEvent(event)
