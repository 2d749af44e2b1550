"""Past jobs in a row: the band that was expected of each beforehand, and where it ended.

Every job is a thin upright line (where 8 of 10 like it were expected to end) with a tick at the middle; the mark is
what it took: a dot inside, a triangle outside. The height is the time against the quoted hours, 1 at the rule.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import log

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.widgets.paint import draw_mark
from domain.dates import format_month_short
from domain.track_record import JobTest

_HEIGHT, _LEFT, _FOOT = 220, 64, 20
_MARKS = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0)


class BacktestPlot(QWidget):
    """The newest jobs of a back-test, oldest at the left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tests: tuple[JobTest, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(_HEIGHT)
        self.setAccessibleName("Past jobs against what was expected of them")

    def set_tests(self, tests: Sequence[JobTest], words: str) -> None:
        """Show these; `words` say the same to those who cannot see it."""
        self._tests = tuple(tests)
        self.setAccessibleDescription(words)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, _HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._tests:
            return
        tokens = current_tokens()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font("small"))
        area = QRectF(_LEFT, 8, self.width() - _LEFT - 12, self.height() - 8 - _FOOT)
        low, high = self._range()

        def y(times: float) -> float:
            held = min(high, max(low, times))
            return area.bottom() - (log(held) - log(low)) / (log(high) - log(low)) * area.height()

        for mark in _MARKS:
            if low <= mark <= high:
                strong = mark == 1.0
                painter.setPen(QPen(QColor(tokens.line_strong if strong else tokens.line), 1.2 if strong else 1))
                painter.drawLine(QPointF(area.left(), y(mark)), QPointF(area.right(), y(mark)))
                painter.setPen(QColor(tokens.ink_soft))
                words = "quoted" if strong else f"{mark:g} ×"
                painter.drawText(QRectF(0, y(mark) - 9, _LEFT - 6, 18), _RIGHT, words)
        step = area.width() / len(self._tests)
        for place, test in enumerate(self._tests):
            self._draw(painter, area.left() + (place + 0.5) * step, test, y, min(4.0, step * 0.35))
        painter.setPen(QColor(tokens.ink_soft))
        foot = QRectF(area.left(), area.bottom() + 4, area.width(), _FOOT)
        painter.drawText(foot, Qt.AlignmentFlag.AlignLeft, format_month_short(self._tests[0].finished_on))
        painter.drawText(foot, Qt.AlignmentFlag.AlignRight, format_month_short(self._tests[-1].finished_on))
        painter.end()

    def _draw(self, painter: QPainter, x: float, test: JobTest, y: Callable[[float], float], size: float) -> None:
        tokens = current_tokens()
        low, high = (max(1, minutes) / test.quoted_minutes for minutes in test.bands[80])
        painter.setPen(QPen(QColor(tokens.ink_faint), 1.4))
        painter.drawLine(QPointF(x, y(low)), QPointF(x, y(high)))
        middle = y(max(1, test.median_minutes) / test.quoted_minutes)
        painter.drawLine(QPointF(x - size, middle), QPointF(x + size, middle))
        took = QPointF(x, y(max(1, test.actual_minutes) / test.quoted_minutes))
        if test.inside(80):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tokens.under_fill))
            painter.drawEllipse(took, size * 0.8, size * 0.8)
        else:
            up = test.actual_minutes > test.bands[80][1]
            draw_mark(painter, took, "up" if up else "down", tokens.over_fill, size + 0.6)

    def _range(self) -> tuple[float, float]:
        """The times against the quote that are shown: everything that happened, bands up to a limit."""
        seen = [1.0]
        for test in self._tests:
            seen += [max(1, test.actual_minutes) / test.quoted_minutes]
            seen += [min(4.0, max(0.25, max(1, edge) / test.quoted_minutes)) for edge in test.bands[80]]
        return max(0.1, min(seen) * 0.93), min(10.0, max(seen) * 1.07)


_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
