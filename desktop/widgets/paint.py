"""Small drawing helpers that bars, pills and tables share: hatching, marks, rounded pills."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from desktop.look.tokens import Tokens

Mark = Literal["up", "down", "diamond"]

#: tone name -> (text token, ground token)
TONES: dict[str, tuple[str, str]] = {
    "plain": ("ink_soft", "sunk"),
    "info": ("accent_strong", "accent_soft"),
    "good": ("under", "under_soft"),
    "under": ("under", "under_soft"),
    "caution": ("over", "over_soft"),
    "over": ("over", "over_soft"),
    "goodwill": ("goodwill", "goodwill_soft"),
    "error": ("error", "error_soft"),
}


def tone_colours(tone: str, tokens: Tokens) -> tuple[str, str]:
    """(text colour, ground colour) of a tone; an unknown tone is drawn plain."""
    text, ground = TONES.get(tone, TONES["plain"])
    return getattr(tokens, text), getattr(tokens, ground)


def hatch(painter: QPainter, rect: QRectF, line: str, ground: str, lean: int = 1, gap: float = 6.0) -> None:
    """Fill `rect` with slanting lines (lean 1: like /, -1: like \\) so that the part reads without colour."""
    if rect.width() <= 0:
        return
    painter.save()
    painter.setClipRect(rect, Qt.ClipOperation.IntersectClip)
    painter.fillRect(rect, QColor(ground))
    painter.setPen(QPen(QColor(line), 1.6))
    height = rect.height()
    x = rect.left() - height - (rect.left() % gap)
    while x < rect.right() + height:
        bottom, top = (x, x + height) if lean > 0 else (x + height, x)
        painter.drawLine(QPointF(bottom, rect.bottom()), QPointF(top, rect.top()))
        x += gap
    painter.restore()


def draw_mark(painter: QPainter, centre: QPointF, mark: Mark, colour: str, size: float = 4.0) -> None:
    """A small filled triangle or diamond around `centre`."""
    x, y = centre.x(), centre.y()
    corners = {
        "up": [(x - size, y + size * 0.8), (x + size, y + size * 0.8), (x, y - size)],
        "down": [(x - size, y - size * 0.8), (x + size, y - size * 0.8), (x, y + size)],
        "diamond": [(x, y - size), (x + size, y), (x, y + size), (x - size, y)],
    }[mark]
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
    painter.restore()


def draw_pill(painter: QPainter, rect: QRectF, text: str, tone: str, tokens: Tokens) -> None:
    """Text on a rounded ground in the colours of a tone; the font is the painter's."""
    ink, ground = tone_colours(tone, tokens)
    path = QPainterPath()
    path.addRoundedRect(rect, rect.height() / 2, rect.height() / 2)
    painter.fillPath(path, QColor(ground))
    edge = QColor(ink)
    edge.setAlpha(110)  # the edge keeps a pill apart from a selected row of the same ground
    painter.setPen(QPen(edge, 1))
    painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), rect.height() / 2, rect.height() / 2)
    painter.setPen(QColor(ink))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)
