"""Why something was not taken, said without moving anything: in a line kept free, or floating beneath its field."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.widgets.as_typed import set_tip


class ErrorLine(QLabel):
    """say(text), or say("") for nothing; what does not fit in the line is in its tool tip and spoken whole."""

    def __init__(self) -> None:
        super().__init__()
        self.setFont(font("small"))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(self.fontMetrics().lineSpacing() + 2)

    def say(self, text: str) -> None:
        """Show this in the line."""
        self.setText(text)
        self.setAccessibleName(text)
        set_tip(self, text)

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.text():
            return
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(QColor(current_tokens().error))
        shown = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()


class FloatingError(QLabel):
    """Floats beneath a field of a form: one line while one types elsewhere, all of it while one is in the field."""

    def __init__(self, form: QWidget, field: QWidget) -> None:
        super().__init__(form)
        self._field = field
        self._listening = False
        self.setFont(font("small"))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def say(self, text: str) -> None:
        """Show this beneath the field; an empty text goes away."""
        if text == self.text() and self.isHidden() != bool(text):
            return
        self.setText(text)
        self.setVisible(bool(text))
        if bool(text) != self._listening:
            self._listening = bool(text)
            if self._listening:
                self._field.installEventFilter(self)
            else:
                self._field.removeEventFilter(self)
        self.place()

    def place(self) -> None:
        """Stand beneath the field, as wide as there is room."""
        if self.isHidden():
            return
        form, metrics = self.parentWidget(), self.fontMetrics()
        at = self._field.mapTo(form, QPoint(0, self._field.height()))
        room = max(self._field.width(), form.width() - at.x()) if self._is_wide() else self._field.width()
        width = min(metrics.horizontalAdvance(self.text()) + 8, room)
        height = metrics.lineSpacing()
        if self._has_cursor():
            lines = metrics.boundingRect(QRect(0, 0, width - 8, 1000), Qt.TextFlag.TextWordWrap, self.text())
            height = max(lines.height(), height)
            at.setY(min(at.y(), max(form.height() - height, 0)))
        self.setGeometry(at.x(), at.y(), width, height)
        self.raise_()
        self.update()

    def _is_wide(self) -> bool:
        """True when nothing stands at the right of the field that would be covered."""
        form, line = self.parentWidget(), self._field.geometry()
        beside = QRect(line.right() + 1, line.bottom() - 4, form.width(), 22)
        others = (one for one in form.children() if isinstance(one, QWidget) and one is not self._field)
        return not any(one.isVisible() and one.geometry().intersects(beside) for one in others if one is not self)

    def _has_cursor(self) -> bool:
        return self._field.hasFocus() or self._field.isAncestorOf(self._field.window().focusWidget() or self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut, QEvent.Type.Move):
            self.place()
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens, painter = current_tokens(), QPainter(self)
        asks = getattr(self._field, "is_asking", False)
        painter.fillRect(self.rect(), QColor(tokens.over_soft if asks else tokens.error_soft))
        painter.setFont(self.font())
        painter.setPen(QColor(tokens.over if asks else tokens.error))
        inner, flags = self.rect().adjusted(4, 0, -4, 0), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if self.height() < self.fontMetrics().lineSpacing() * 1.5:
            words = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, inner.width())
            painter.drawText(inner, flags, words)
        else:
            painter.drawText(inner, flags | Qt.TextFlag.TextWordWrap, self.text())
        painter.end()
