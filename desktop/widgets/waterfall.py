"""The waterfall: from the quoted margin, step by step, to the actual margin.

    view = WaterfallView()
    view.set_steps([
        WaterfallStep("Quoted margin", 82000, "total", text="$820.00"),
        WaterfallStep("Labour: more hours", -21500, note="3 h 10 more in the crawl", key="labour", text="-$215.00"),
        WaterfallStep("Goodwill", -4000, key="goodwill", text="-$40.00"),
        WaterfallStep("Actual margin", 56500, "total", text="$565.00"),
    ])
    view.activated.connect(open_detail)      # key of the row: Enter, Space or a double click

A step with positive cents is good for the margin (blue-green, upward mark), a negative one is not (ochre,
hatched, downward mark); key or tone "goodwill" is violet. Totals stand on zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from desktop.look.fonts import face, font
from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.widgets.as_typed import as_tip
from desktop.widgets.paint import draw_mark, hatch

Index = QModelIndex | QPersistentModelIndex
_STEP_ROLE = int(Qt.ItemDataRole.UserRole) + 41
_SPAN_ROLE = int(Qt.ItemDataRole.UserRole) + 42
_PAD = 7


@dataclass(frozen=True, slots=True)
class WaterfallStep:
    """One row. `cents` is signed, favourable positive; `text` is the money as it is to be read."""

    label: str
    cents: int
    kind: Literal["total", "step"] = "step"
    note: str = ""
    key: str = ""
    text: str = ""
    tone: Literal["", "goodwill", "unsure"] = ""

    @property
    def is_goodwill(self) -> bool:
        """True for what was given on purpose."""
        return self.tone == "goodwill" or self.key == "goodwill"

    @property
    def is_unsure(self) -> bool:
        """True for a gain that may only be what nobody wrote down: it is not shown as one."""
        return self.tone == "unsure" and self.cents > 0 and self.key not in ("change_orders", "goodwill", "write_offs")


def spans(steps: Sequence[WaterfallStep]) -> list[tuple[int, int]]:
    """(from, to) in cents for each row: a total from zero, a step from the running total before it."""
    made, running = [], 0
    for step in steps:
        start = 0 if step.kind == "total" else running
        running = start + step.cents
        made.append((start, running))
    return made


class WaterfallView(QListView):
    """The rows as a list, so that arrow keys and screen readers find them one by one."""

    activated = Signal(str)  # type: ignore[assignment]

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._steps = _Steps(self)
        self._measured = (40, 110)
        self.setModel(self._steps)
        self.setItemDelegate(_StepDelegate(self))
        self.setAccessibleName("From quoted margin to actual margin")
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setStyleSheet("QListView { border: 0; padding: 0; background: transparent; }")
        self.viewport().setAutoFillBackground(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setMouseTracking(True)
        self.doubleClicked.connect(self._open)

    def set_steps(self, steps: Sequence[WaterfallStep]) -> None:
        """Show these rows, keeping the current row when its key is still there."""
        before = self.current_key()
        face = QFontMetrics(font("strong"))
        self._measured = (
            max((face.horizontalAdvance(step.text) for step in steps), default=40) + 4,
            max((face.horizontalAdvance(step.label) for step in steps), default=110) + 4,
        )
        self._steps.replace(list(steps))
        for row, step in enumerate(steps):
            if before and step.key == before:
                self.setCurrentIndex(self._steps.index(row))
        self.updateGeometry()

    def current_key(self) -> str:
        """Key of the current row, empty when there is none."""
        step = self.currentIndex().data(_STEP_ROLE)
        return step.key if step else ""

    def row_height(self, row: int) -> int:
        """Height of a row at the present width, its note wrapped."""
        step = self._steps.steps[row]
        height = face("body")[1].height() + 2 * _PAD
        if step.note:
            width = self.thirds(QRect(0, 0, max(self.viewport().width(), 300), 10))[0].width()
            room = QRect(0, 0, width, 10_000)
            height += face("small")[1].boundingRect(room, Qt.TextFlag.TextWordWrap, step.note).height()
        return height

    def thirds(self, rect: QRect) -> tuple[QRect, QRect, QRect]:
        """Label, bar and money parts of a row, measured from what is shown."""
        inner = rect.adjusted(10, 0, -10, 0)
        money, label = self._measured
        label = max(110, min(max(label, round(inner.width() * 0.3)), inner.width() - money - 150))
        bar_left, money_left = inner.left() + label + 10, inner.right() - money + 1
        return (
            QRect(inner.left(), inner.top(), label, inner.height()),
            QRect(bar_left, inner.top(), max(money_left - bar_left - 8, 20), inner.height()),
            QRect(money_left, inner.top(), money, inner.height()),
        )

    def sizeHint(self) -> QSize:
        return QSize(560, sum(self.row_height(row) for row in range(len(self._steps.steps))) + 6)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, min(self.sizeHint().height(), 160))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()
        self.updateGeometry()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._open(self.currentIndex())
            return
        super().keyPressEvent(event)

    def _open(self, index: QModelIndex) -> None:
        if index.isValid() and self.current_key():
            self.activated.emit(self.current_key())


class _Steps(QAbstractListModel):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.steps: list[WaterfallStep] = []
        self._spans: list[tuple[int, int]] = []
        self.ends = (0, 1)

    def replace(self, steps: list[WaterfallStep]) -> None:
        self.beginResetModel()
        self.steps, self._spans = steps, spans(steps)
        edges = [edge for span in self._spans for edge in span] or [0]
        low, high = min(0, *edges), max(0, *edges)
        self.ends = (low, high if high > low else low + 1)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.steps)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        step = self.steps[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return ", ".join(part for part in (step.label, step.text, step.note) if part)
        if role == _STEP_ROLE:
            return step
        if role == _SPAN_ROLE:
            before = self._spans[index.row() - 1][1] if index.row() else None
            return (*self._spans[index.row()], before, *self.ends)
        if role == Qt.ItemDataRole.ToolTipRole and step.note:
            return as_tip(step.note)
        return None


class _StepDelegate(QStyledItemDelegate):
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        view: WaterfallView = self.parent()  # type: ignore[assignment]
        return QSize(300, view.row_height(index.row()))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        tokens, step = current_tokens(), index.data(_STEP_ROLE)
        view: WaterfallView = self.parent()  # type: ignore[assignment]
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen or option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(option.rect, QColor(tokens.accent_soft if chosen else tokens.sunk))
        if step.kind == "total":
            painter.setPen(QPen(QColor(tokens.line), 1))
            edge = option.rect.top() if index.row() else option.rect.bottom()
            painter.drawLine(option.rect.left(), edge, option.rect.right(), edge)
        label, bar, money = view.thirds(option.rect)
        _paint_words(painter, label, money, step, tokens)
        _paint_span(painter, bar, step, index.data(_SPAN_ROLE), tokens)
        painter.restore()


def _paint_words(painter: QPainter, label: QRect, money: QRect, step: WaterfallStep, tokens: Tokens) -> None:
    main = font("strong" if step.kind == "total" else "body")
    metrics = QFontMetrics(main)
    left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    first = QRect(label.left(), label.top() + _PAD, label.width(), metrics.height())
    painter.setFont(main)
    painter.setPen(QColor(tokens.ink))
    painter.drawText(first, left, metrics.elidedText(step.label, Qt.TextElideMode.ElideRight, label.width()))
    painter.setPen(QColor(getattr(tokens, _ink_of(step))))
    painter.drawText(
        QRect(money.left(), first.top(), money.width(), first.height()),
        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
        step.text,
    )
    if step.note:
        painter.setFont(font("small"))
        painter.setPen(QColor(tokens.ink_soft))
        below = QRect(label.left(), first.bottom() + 1, label.width(), label.bottom() - first.bottom() - 1)
        painter.drawText(below, int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap), step.note)


def _ink_of(step: WaterfallStep) -> str:
    if step.kind == "total" or not step.cents or step.is_unsure:
        return "ink"
    if step.is_goodwill:
        return "goodwill"
    return "under" if step.cents > 0 else "over"


def _paint_span(
    painter: QPainter, area: QRect, step: WaterfallStep, span: tuple[int, int, int | None, int, int], tokens: Tokens
) -> None:
    start, end, before, low, high = span
    room = QRectF(area).adjusted(16, 0, -16, 0)

    def at(cents: int) -> float:
        return room.left() + (cents - low) / (high - low) * room.width()

    top, bottom = room.top() + 8, room.top() + 8 + tokens.bar_height + 3
    painter.setPen(QPen(QColor(tokens.line_strong), 1))
    painter.drawLine(QPointF(at(0), room.top()), QPointF(at(0), room.bottom() + 1))
    if before is not None:
        painter.setPen(QPen(QColor(tokens.line_strong), 1, Qt.PenStyle.DotLine))
        painter.drawLine(QPointF(at(before), room.top()), QPointF(at(before), top))
    painter.setPen(QPen(QColor(tokens.line_strong), 1, Qt.PenStyle.DotLine))
    painter.drawLine(QPointF(at(end), bottom), QPointF(at(end), room.bottom() + 1))
    left, right = sorted((at(start), at(end)))
    if step.cents and right - left < 2:
        right = left + 2
    bar = QRectF(left, top, right - left, bottom - top)
    _fill_span(painter, bar, at(end), step, tokens)


def _fill_span(painter: QPainter, bar: QRectF, tip: float, step: WaterfallStep, tokens: Tokens) -> None:
    if step.kind == "total":
        painter.fillRect(bar, QColor(tokens.actual))
        painter.setPen(QPen(QColor(tokens.quoted), 1.2))
        painter.drawRect(bar)
        return
    if not step.cents:
        return
    if step.is_goodwill:
        hatch(painter, bar, tokens.goodwill_fill, tokens.goodwill_soft, lean=-1)
        mark, colour = "diamond", tokens.goodwill_fill
    elif step.is_unsure:  # an outline only, and no mark
        painter.setPen(QPen(QColor(tokens.line_strong), 1.2, Qt.PenStyle.DashLine))
        painter.drawRect(bar)
        return
    elif step.cents > 0:
        painter.fillRect(bar, QColor(tokens.under_fill))
        mark, colour = "up", tokens.under_fill
    else:
        hatch(painter, bar, tokens.over_fill, tokens.over_soft)
        mark, colour = "down", tokens.over_fill
    painter.setPen(QPen(QColor(colour), 1.2))
    painter.drawRect(bar)
    beside = tip + 8 if step.cents > 0 else tip - 8
    draw_mark(painter, QPointF(beside, bar.center().y()), mark, colour)  # type: ignore[arg-type]
