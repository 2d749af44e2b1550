"""The signature of the program: quoted as an outlined span, actual as the filled span in the same scale.

    bar = QuotedActualBar(format_minutes)            # the formatter is used for the spoken description
    bar.set_values(480, 610, scale_max=800)          # any numbers of one unit; None for actual: nothing logged
    bar.set_values(480, 300, low=420, high=700)      # a band: where jobs like this one ended
    table.setItemDelegateForColumn(3, QuotedActualDelegate(table))   # RowsTable does this for kind="bar"
    paint_quoted_actual(painter, rect, quoted, actual, scale_max, tokens)

Within the quote the fill is blue-green; once over, the quoted part turns to a neutral and what lies beyond is
hatched in ochre with an upward mark. Nothing quoted: the whole actual is beyond.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.widgets.as_typed import set_tip
from desktop.widgets.paint import draw_mark, hatch
from domain.units import format_whole_percent

Number = int | float | Decimal
BAR_ROLE = int(Qt.ItemDataRole.UserRole) + 40
_MARK_ROOM = 13.0


def common_scale(pairs: list[tuple[Number | None, Number | None]]) -> float:
    """The scale that shows every (quoted, actual) pair of one table: the largest of them, 1.0 if there is none."""
    return max((float(n) for pair in pairs for n in pair if n is not None), default=0.0) or 1.0


def describe(quoted: Number | None, actual: Number | None, shown: Callable[[Number], str] = str) -> str:
    """The bar in words, for assistive technology and tool tips."""
    if not quoted:
        return f"Not quoted, actual {shown(actual)}" if actual else "Nothing quoted, nothing logged"
    if not actual:
        return f"Quoted {shown(quoted)}, nothing logged yet"
    change = round((float(actual) / float(quoted) - 1) * 100)
    words = "as quoted" if change == 0 else f"{format_whole_percent(abs(change))} {'over' if change > 0 else 'under'}"
    return f"Quoted {shown(quoted)}, actual {shown(actual)}, {words}"


def paint_quoted_actual(
    painter: QPainter,
    rect: QRect | QRectF,
    quoted: Number | None,
    actual: Number | None,
    scale_max: Number | None,
    tokens: Tokens,
    low: Number | None = None,
    high: Number | None = None,
) -> None:
    """Draw the bar into `rect`; `scale_max` is the number at the right end (None: the larger of the values)."""
    area = QRectF(rect)
    q, a = max(float(quoted or 0), 0.0), max(float(actual or 0), 0.0)
    full = float(scale_max) if scale_max else common_scale([(q, a), (low, high)])
    width = max(area.width() - _MARK_ROOM, 1.0)

    def at(number: float) -> float:
        return area.left() + 0.5 + min(number / full, 1.0) * (width - 1)

    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inset = max(round(area.height() * 0.2), 2)
    inner = area.adjusted(0, inset, 0, -inset)
    painter.setPen(QPen(QColor(tokens.line), 1))
    painter.drawLine(QPointF(area.left(), area.bottom() - 0.5), QPointF(area.left() + width, area.bottom() - 0.5))
    _draw_actual(painter, inner, at, q, a, tokens)
    if q:
        painter.setPen(QPen(QColor(tokens.quoted), 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(
            QRectF(QPointF(at(0), area.top() + 0.5), QPointF(max(at(q), at(0) + 2), area.bottom() - 0.5)), 2, 2
        )
    if low is not None and high is not None:
        _draw_band(painter, area, at(float(low)), at(float(high)), tokens)
    if a > q:
        draw_mark(painter, QPointF(at(a) + _MARK_ROOM / 2, area.center().y()), "up", tokens.over_fill)
    painter.restore()


def _draw_actual(
    painter: QPainter, inner: QRectF, at: Callable[[float], float], q: float, a: float, tokens: Tokens
) -> None:
    if not a:
        return
    within = QRectF(QPointF(at(0), inner.top()), QPointF(max(at(min(a, q)), at(0) + 1.5), inner.bottom()))
    if q:
        painter.fillRect(within, QColor(tokens.actual if a > q else tokens.under_fill))
    if a > q:
        beyond = QRectF(QPointF(at(q), inner.top()), QPointF(max(at(a), at(q) + 2), inner.bottom()))
        hatch(painter, beyond, tokens.over_fill, tokens.over_soft)
        painter.setPen(QPen(QColor(tokens.over_fill), 1.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(beyond)


def _draw_band(painter: QPainter, area: QRectF, left: float, right: float, tokens: Tokens) -> None:
    middle = area.center().y()
    for colour, thick in ((tokens.sheet, 4.0), (tokens.ink, 1.6)):
        painter.setPen(QPen(QColor(colour), thick))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        for x in (left, right):
            painter.drawLine(QPointF(x, area.top() + 4), QPointF(x, area.bottom() - 4))


class QuotedActualBar(QWidget):
    """One bar as a widget of its own; describes itself in words."""

    def __init__(self, shown: Callable[[Number], str] = str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._values: tuple[Number | None, ...] = (None, None, None, None, None)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Quoted and actual")

    def set_values(
        self,
        quoted: Number | None,
        actual: Number | None,
        scale_max: Number | None = None,
        low: Number | None = None,
        high: Number | None = None,
    ) -> None:
        """Show these numbers (one unit); `low` and `high` mark where jobs like this ended."""
        self._values = (quoted, actual, scale_max, low, high)
        words = describe(quoted, actual, self._shown)
        if low is not None and high is not None:
            words += f"; jobs like this ended between {self._shown(low)} and {self._shown(high)}"
        self.setAccessibleDescription(words)
        set_tip(self, words)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(180, current_tokens().bar_height + 8)

    def minimumSizeHint(self) -> QSize:
        return QSize(60, current_tokens().bar_height + 8)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        quoted, actual, scale_max, low, high = self._values
        height = min(self.height(), tokens.bar_height + 6)
        area = QRectF(0, (self.height() - height) / 2, self.width(), height)
        painter = QPainter(self)
        paint_quoted_actual(painter, area, quoted, actual, scale_max, tokens, low, high)
        painter.end()


class QuotedActualDelegate(QStyledItemDelegate):
    """Draws (quoted, actual, scale_max[, low, high]) found under `BAR_ROLE`; leaves the row's ground to the style."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        tokens = current_tokens()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, QColor(tokens.accent_soft))
        paint_bar_cell(painter, option.rect, index.data(BAR_ROLE), tokens)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(150, current_tokens().row_height)


def paint_bar_cell(painter: QPainter, cell: QRect, values: tuple[Number | None, ...] | None, tokens: Tokens) -> None:
    """Draw the bar of one table cell; nothing for None."""
    if not values:
        return
    area = QRectF(cell).adjusted(10, 0, -4, 0)
    top = area.center().y() - tokens.bar_height / 2
    quoted, actual, scale_max, *band = (*values, None)[: max(len(values), 3)]
    low, high = band if len(band) == 2 else (None, None)
    paint_quoted_actual(
        painter, QRectF(area.left(), top, area.width(), tokens.bar_height), quoted, actual, scale_max, tokens, low, high
    )
