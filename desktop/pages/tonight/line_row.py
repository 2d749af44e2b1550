"""One thing to do: a row one can reach with the arrows and open with Enter."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from desktop.look.fonts import font
from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.pages.tonight.words import Line
from desktop.widgets.as_typed import AsTyped, set_tip
from desktop.widgets.quoted_actual_bar import describe, paint_quoted_actual
from domain.units import format_minutes

BAR_WIDTH = 96


class LineRow(AsTyped, QAbstractButton):
    """Paints a `Line`; the page moves the cursor between rows.

    Where one of the rows of a card does not fit, all of them tell what it is about in a second line.
    """

    def __init__(self, line: Line, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self._two_lines = False
        self._needed: int | None = None  # width of one line, measured once for the same words
        self.line = line
        self._say()

    def set_line(self, line: Line) -> None:
        """Show this; the same again costs nothing."""
        if line != self.line:
            self.line, self._needed = line, None
            self._say()

    def _say(self) -> None:
        line = self.line
        words = ", ".join(part for part in (line.title, line.detail, line.fact) if part)
        if line.actual is not None:
            words += f". {describe(line.quoted, line.actual, format_minutes)}"  # type: ignore[arg-type]
        self.setText(line.title)
        self.setAccessibleName(words)
        set_tip(self, words)
        self.fit_with_neighbours()
        self.update()

    def sizeHint(self) -> QSize:
        line = QFontMetrics(font("body")).height()
        return QSize(360, 2 * line + 14 if self._two_lines else max(current_tokens().row_height, line + 12))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_with_neighbours()

    def fit_with_neighbours(self) -> None:
        """All rows of a card stand in as many lines as the longest needs."""
        holder = self.parentWidget()
        rows = holder.findChildren(LineRow) if holder is not None else [self]
        tight = any(row.is_tight() for row in rows if not row.isHidden())
        for row in rows:
            row.set_two_lines(tight)

    def is_tight(self) -> bool:
        """True when one line is not enough for all that is said."""
        if self._needed is None:
            self._needed = self._width_of_words()
        return self._needed > self.width()

    def _width_of_words(self) -> int:
        bold, body = QFontMetrics(font("strong")), QFontMetrics(font("body"))
        needed = 16 + bold.horizontalAdvance(self.line.title) + 9 + body.horizontalAdvance(self.line.detail)
        needed += (28 if self.line.icon else 0) + body.horizontalAdvance(self.line.fact) + 16
        return needed + (BAR_WIDTH + 12 if self.line.actual is not None else 0)

    def set_two_lines(self, two: bool) -> None:
        """What it is about stands beside who, or beneath."""
        if two is not self._two_lines:
            self._two_lines = two
            self.updateGeometry()
            self.update()

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens it, as the space bar does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

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
            spot = QRectF(left, self._first_height() / 2 - 9, 18, 18)
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
        painter.drawText(QRect(right - width - 2, 0, width + 2, self._first_height()), middle, self.line.fact)
        return right - width - 14

    def _bar(self, painter: QPainter, right: int, bar: QRectF) -> int:
        bar.moveLeft(right - bar.width())
        bar.moveTop((self._first_height() - bar.height()) / 2)
        paint_quoted_actual(painter, bar, self.line.quoted, self.line.actual, None, current_tokens())
        return int(bar.left()) - 12

    def _first_height(self) -> int:
        """The height in which the first line is centred."""
        return self.height() // 2 + 4 if self._two_lines else self.height()

    def _words(self, painter: QPainter, left: int, right: int) -> None:
        tokens, first = current_tokens(), self._first_height()
        wide = _draw(painter, self.line.title, font("strong"), tokens.ink, QRect(left, 0, right - left, first))
        if self._two_lines:
            beneath = QRect(left, first - 4, self.width() - 8 - left, self.height() - first)
            _draw(painter, self.line.detail, font("body"), tokens.ink_soft, beneath)
        else:
            beside = QRect(left + wide + 9, 0, right - left - wide - 9, first)
            _draw(painter, self.line.detail, font("body"), tokens.ink_soft, beside)


def _draw(painter: QPainter, text: str, face: QFont, colour: str, area: QRect) -> int:
    """Draw a text from the left, cut off where the room ends; returns how wide it became."""
    if area.width() < 24 or not text:
        return 0
    metrics = QFontMetrics(face)
    shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, area.width())
    painter.setFont(face)
    painter.setPen(QColor(colour))
    painter.drawText(area, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
    return metrics.horizontalAdvance(shown)
