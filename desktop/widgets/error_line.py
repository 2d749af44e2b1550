"""A line kept free below a form for why something was not taken: it comes and goes without moving anything."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from desktop.look.fonts import font
from desktop.look.theme import current_tokens


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
        self.setToolTip(text)

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.text():
            return
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(QColor(current_tokens().error))
        shown = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()
