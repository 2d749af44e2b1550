"""One thing to do: a row one can reach with the arrows and open with Enter."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from desktop.look.fonts import font
from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.pages.tonight.words import Line
from desktop.widgets.quoted_actual_bar import describe, paint_quoted_actual
from domain.units import format_minutes

BAR_WIDTH = 96


class LineRow(QAbstractButton):
    """Paints a `Line`; the page moves the cursor between rows."""

    def __init__(self, line: Line, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.set_line(line)

    def set_line(self, line: Line) -> None:
        """Show this."""
        self.line = line
        words = ", ".join(part for part in (line.title, line.detail, line.fact) if part)
        if line.actual is not None:
            words += f". {describe(line.quoted, line.actual, format_minutes)}"  # type: ignore[arg-type]
        self.setText(line.title)
        self.setAccessibleName(words)
        self.setToolTip(words)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(360, max(current_tokens().row_height, QFontMetrics(font("body")).height() + 12))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        if self.hasFocus() or self.underMouse():
            painter.setPen(QPen(QColor(tokens.accent), 1.4) if self.hasFocus() else Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tokens.accent_soft if self.hasFocus() else tokens.sunk))
            painter.drawRoundedRect(area, tokens.radius.control, tokens.radius.control)
        left, right = 8, self.width() - 8
        if self.line.icon:
            spot = QRectF(left, self.height() / 2 - 9, 18, 18)
            done = self.line.icon == "check"
            paint_icon(painter, spot, self.line.icon, tokens.under if done else tokens.accent)
            left += 28
        right = self._fact(painter, right)
        if self.line.actual is not None:
            right = self._bar(painter, right, QRectF(0, 0, BAR_WIDTH, tokens.bar_height))
        self._words(painter, left, right)
        painter.end()

    def _fact(self, painter: QPainter, right: int) -> int:
        tokens, face = current_tokens(), font("body")
        width = QFontMetrics(face).horizontalAdvance(self.line.fact)
        painter.setFont(face)
        painter.setPen(QColor(getattr(tokens, self.line.tone, tokens.ink_soft)))
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(QRect(right - width - 2, 0, width + 2, self.height()), middle, self.line.fact)
        return right - width - 14

    def _bar(self, painter: QPainter, right: int, bar: QRectF) -> int:
        bar.moveLeft(right - bar.width())
        bar.moveTop((self.height() - bar.height()) / 2)
        paint_quoted_actual(painter, bar, self.line.quoted, self.line.actual, None, current_tokens())
        return int(bar.left()) - 12

    def _words(self, painter: QPainter, left: int, right: int) -> None:
        tokens = current_tokens()
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        for text, face, colour in (
            (self.line.title, font("strong"), tokens.ink), (self.line.detail, font("body"), tokens.ink_soft)
        ):  # fmt: skip
            room = right - left
            if room < 24 or not text:
                return
            metrics = QFontMetrics(face)
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
            painter.setFont(face)
            painter.setPen(QColor(colour))
            painter.drawText(QRect(left, 0, room, self.height()), middle, shown)
            left += metrics.horizontalAdvance(shown) + 9
