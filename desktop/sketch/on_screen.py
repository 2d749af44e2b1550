"""The widgets that paint a side drawing and an air plot in the colours of the window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from desktop.look.fonts import face
from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.sketch.air_shapes import air_shapes
from desktop.sketch.route_shapes import Fit, fit, route_shapes
from desktop.sketch.shapes import Dot, Look, Poly, Shape, Strokes, Words
from domain.job_takeoff.air import JobAir
from domain.routes import Drawing

PAD = 10.0
REACH = 12.0
"""How near the pointer has to be to a part, in pixels."""


@lru_cache(maxsize=1024)
def _width_of(text: str) -> float:
    return float(face("small")[1].horizontalAdvance(text))


def screen_look() -> Look:
    """Measures of the window's small type."""
    return Look(_width_of, float(face("small")[1].height()))


def colours(tokens: Tokens) -> dict[str, str]:
    """The colour of each role."""
    return {
        "ink": tokens.ink, "soft": tokens.ink_soft, "faint": tokens.ink_faint, "line": tokens.line,
        "paper": tokens.sheet, "pipe": tokens.sheet, "kept": tokens.scroll, "space": tokens.sunk,
        "accent": tokens.accent, "over": tokens.over_fill, "error": tokens.error, "under": tokens.under_fill,
    }  # fmt: skip


def paint_shapes(painter: QPainter, shapes: Sequence[Shape], tokens: Tokens) -> None:
    """Paint shapes from back to front."""
    shown = {role: QColor(colour) for role, colour in colours(tokens).items()}
    words_in = {**shown, "over": QColor(tokens.over)}
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for shape in shapes:
        if isinstance(shape, Poly):
            _paint_poly(painter, shape, shown)
        elif isinstance(shape, Dot):
            painter.setPen(QPen(shown[shape.stroke], shape.width) if shape.stroke else Qt.PenStyle.NoPen)
            painter.setBrush(shown[shape.fill] if shape.fill else Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QPointF(shape.x, shape.y), shape.radius, shape.radius)
        elif isinstance(shape, Strokes):
            painter.setPen(_pen(shown[shape.stroke], shape.width, shape.round_ends))
            painter.drawLines([QLineF(*start, *end) for start, end in shape.segments])
        else:
            _paint_words(painter, shape, words_in)


def _pen(colour: QColor, width: float, round_ends: bool) -> QPen:
    ends = Qt.PenCapStyle.RoundCap if round_ends else Qt.PenCapStyle.FlatCap
    return QPen(colour, width, Qt.PenStyle.SolidLine, ends, Qt.PenJoinStyle.RoundJoin)


def _paint_poly(painter: QPainter, shape: Poly, shown: dict[str, QColor]) -> None:
    if shape.stroke:
        pen = _pen(shown[shape.stroke], shape.width, shape.round_ends)
        if shape.dash:
            pen.setDashPattern([shape.dash / shape.width, shape.dash * 0.7 / shape.width])
        painter.setPen(pen)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
    points = [QPointF(x, y) for x, y in shape.points]
    if shape.fill:
        painter.setBrush(shown[shape.fill])
        painter.drawPolygon(QPolygonF(points))
    else:
        painter.drawPolyline(points)


def _paint_words(painter: QPainter, shape: Words, shown: dict[str, QColor]) -> None:
    shown_in, metrics = face("small_strong" if shape.strong else "small")
    painter.setFont(shown_in)
    painter.setPen(shown[shape.tone])
    wide = metrics.horizontalAdvance(shape.text)
    left = shape.x - {"left": 0.0, "middle": wide / 2, "right": float(wide)}[shape.anchor]
    painter.drawText(QPointF(left, shape.y + (metrics.ascent() - metrics.descent()) / 2), shape.text)


class RouteSketch(QWidget):
    """The side drawing of a route. A click chooses a part, the pointer over a sign says what it is.

    Signals:
        part_chosen(run, part): the owner clicked it.
    """

    part_chosen = Signal(int, int)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Side drawing of the route")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(260, 150)
        self._drawing: Drawing | None = None
        self._chosen: tuple[int, int] | None = None
        self._shapes: list[Shape] | None = None

    def set_drawing(self, drawing: Drawing, chosen: tuple[int, int] | None = None) -> None:
        """Draw this; ``chosen`` is the part the cursor is in."""
        if drawing is not self._drawing or chosen != self._chosen:
            self._drawing, self._chosen, self._shapes = drawing, chosen, None
            self.update()

    def describe(self, words: str) -> None:
        """What someone who cannot see the drawing is told."""
        self.setAccessibleDescription(words)

    def sizeHint(self) -> QSize:
        return QSize(640, 360)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._shapes = None

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), current_tokens()
        painter.fillRect(self.rect(), QColor(tokens.sheet))
        if self._drawing is not None and any(line.part for line in self._drawing.lines):
            if self._shapes is None:
                self._shapes = route_shapes(self._drawing, *self._room(), screen_look(), self._chosen)
            painter.translate(PAD, PAD)
            paint_shapes(painter, self._shapes, tokens)
        else:
            painter.setFont(face("body")[0])
            painter.setPen(QColor(tokens.ink_faint))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "The drawing grows with the words above.")
        painter.end()

    def _room(self) -> tuple[float, float]:
        return self.width() - 2 * PAD, self.height() - 2 * PAD

    def _fit(self) -> Fit | None:
        return None if self._drawing is None else fit(self._drawing, *self._room())

    def _near(self, spot: QPointF) -> tuple[tuple[int, int] | None, str]:
        """The part and the words of what is nearest, signs before pipe."""
        where = self._fit()
        if where is None or self._drawing is None:
            return None, ""
        here = (spot.x() - PAD, spot.y() - PAD)
        marks = [(_apart(here, where.at(mark.at)), mark) for mark in self._drawing.marks]
        near = sorted((apart, n) for n, (apart, _) in enumerate(marks) if apart < REACH + 6)
        if near:
            words = dict.fromkeys(marks[n][1].words for _, n in near[:3] if marks[n][1].words)
            part = next((marks[n][1].part for _, n in near if marks[n][1].part is not None), None)
            return part, "\n".join(words)
        for line in self._drawing.lines:
            if line.part is not None and _beside(here, where.at(line.points[0]), where.at(line.points[-1])) < REACH:
                return line.part, ""
        return None, ""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        part, _ = self._near(event.position())
        if part is not None and part[1] >= 0:
            self.part_chosen.emit(*part)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            _, words = self._near(QPointF(event.pos()))
            if words:
                QToolTip.showText(event.globalPos(), words, self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)


class AirPlot(QWidget):
    """The fan's curve against what the routes ask for."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Plot of fan and routes")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(300, 220)
        self._air: JobAir | None = None

    def set_air(self, air: JobAir) -> None:
        """Plot this."""
        self._air = air
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(520, 300)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), current_tokens()
        if self._air is not None and self._air.cases:
            room = QRectF(self.rect())
            paint_shapes(painter, air_shapes(self._air, room.width(), room.height(), screen_look()), tokens)
        painter.end()


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def _beside(spot: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    """How far a spot is from a line between two others."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = dx * dx + dy * dy
    share: Any = 0.0 if not length else ((spot[0] - start[0]) * dx + (spot[1] - start[1]) * dy) / length
    share = min(1.0, max(0.0, share))
    return _apart(spot, (start[0] + dx * share, start[1] + dy * share))
