"""One day of the calendar that can be reached with the arrows; what is painted in it, a week or a month decides."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.look.fonts import face
from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.widgets.as_typed import set_tip
from domain.calendar.days import CalendarDay
from domain.calendar.visits import PlannedVisit, time_words
from domain.dates import format_day
from domain.units import format_clock, format_minutes

STEPS = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Up: -7,
    Qt.Key.Key_Down: 7,
}


class DayCell(QWidget):
    """A day; asks to move on with the arrows, to open with Enter, to book with Insert or a double click."""

    chosen = Signal(object)
    opened = Signal(object)
    booked = Signal(object)
    moved = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.day = CalendarDay(date.min, 0)
        self.is_chosen = self.is_today = False
        self.is_faint = False  # of another month
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        return QSize(110, 84)

    def minimumSizeHint(self) -> QSize:
        return QSize(84, 62)

    def show_day(self, day: CalendarDay, *, chosen: bool, today: bool, faint: bool = False) -> None:
        """Show this day."""
        self.day, self.is_chosen, self.is_today, self.is_faint = day, chosen, today, faint
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if chosen else Qt.FocusPolicy.ClickFocus)
        words = day_words(day)
        self.setAccessibleName(words)
        set_tip(self, words)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
        elif key in STEPS:
            self.moved.emit(STEPS[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.opened.emit(self.day.day)
        elif key == Qt.Key.Key_Insert:
            self.booked.emit(self.day.day)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        super().mousePressEvent(event)
        self.chosen.emit(self.day.day)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.booked.emit(self.day.day)

    def paint_ground(self, painter: QPainter, tokens: Tokens) -> None:
        """The sheet, marked when it is chosen, today or a day off."""
        area = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        ground = tokens.accent_soft if self.is_chosen else tokens.sheet if self.day.capacity_minutes else tokens.paper
        painter.setPen(QPen(QColor(tokens.accent if self.hasFocus() else tokens.line), 2 if self.hasFocus() else 1))
        painter.setBrush(QColor(ground))
        painter.drawRoundedRect(area, tokens.radius.control, tokens.radius.control)

    def paint_hours(self, painter: QPainter, tokens: Tokens, area: QRectF) -> None:
        """The hours taken against the hours there are, as a bar; the words beside it say the same."""
        day = self.day
        if not day.capacity_minutes:
            return
        painter.setPen(QPen(QColor(tokens.line_strong), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(area, 2, 2)
        share = min(day.used_minutes / day.capacity_minutes, 1.0)
        taken = QRectF(area.left(), area.top(), area.width() * share, area.height())
        painter.fillRect(taken, QColor(tokens.over_fill if day.over_minutes else tokens.under_fill))

    def focusInEvent(self, event: object) -> None:
        super().focusInEvent(event)  # type: ignore[arg-type]
        self.update()

    def focusOutEvent(self, event: object) -> None:
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.update()


class MonthCell(DayCell):
    """A day of the month: its number, the bar, as many lines as there is room."""

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.paint_ground(painter, tokens)
        strong, metrics = face("small_strong" if self.is_today or not self.is_faint else "small")
        ink = tokens.accent if self.is_today else tokens.ink_faint if self.is_faint else tokens.ink
        day = self.day.day
        number = f"{format_day(day).split(',')[1].split()[0]} 1" if day.day == 1 else str(day.day)
        if self.is_today:
            number += " · today"
        top = 6 + metrics.height()
        draw(painter, number, strong, ink, QRect(8, 5, self.width() - 16, metrics.height()))
        if self.day.visits or self.day.deadlines:
            used = f"{format_minutes(self.day.used_minutes)}" if self.day.used_minutes else ""
            tone = tokens.over if self.day.over_minutes else tokens.ink_soft
            right = QRect(8, 5, self.width() - 16, metrics.height())
            draw(painter, used, face("small")[0], tone, right, Qt.AlignmentFlag.AlignRight)
            self.paint_hours(painter, tokens, QRectF(8, top + 1, self.width() - 16, 4))
        self._lines(painter, tokens, top + 8)
        painter.end()

    def _lines(self, painter: QPainter, tokens: Tokens, top: int) -> None:
        small, metrics = face("small")
        lines = [(f"! {one.reason}, {one.customer}", tokens.over) for one in self.day.deadlines]
        lines += [(short_words(one), tokens.ink_soft if one.visit.done_on else tokens.ink) for one in self.day.visits]
        room = max((self.height() - top - 4) // metrics.height(), 0)
        if len(lines) > room:
            lines = [*lines[: max(room - 1, 0)], (f"and {len(lines) - max(room - 1, 0)} more", tokens.ink_soft)][:room]
        for words, colour in lines:
            draw(painter, words, small, colour, QRect(8, top, self.width() - 14, metrics.height()))
            top += metrics.height()


def day_words(day: CalendarDay) -> str:
    """All of a day in words, for reading aloud."""
    parts = [format_day(day.day)]
    if day.used_minutes or day.capacity_minutes:
        parts.append(f"{format_minutes(day.used_minutes)} of {format_minutes(day.capacity_minutes)}")
    if day.travel_minutes:
        parts.append(f"{format_minutes(day.travel_minutes)} of it on the way")
    parts += [f"{time_words(one.visit)} {one.words}" for one in day.visits if one.visit.stands]
    parts += [f"{one.reason} {one.customer}" for one in day.deadlines]
    return ", ".join(parts)


def short_words(planned: PlannedVisit) -> str:
    """``8:30 Work · Ada Quill``."""
    start = planned.visit.starts_at
    done = "✓ " if planned.visit.done_on else ""
    return f"{done}{planned.words}" if start is None else f"{done}{format_clock(start)} {planned.words}"


def draw(
    painter: QPainter, text: str, font: QFont, colour: str, area: QRect,
    align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
) -> None:  # fmt: skip
    """Words in one line, cut off where the room ends."""
    if area.width() < 16 or not text:
        return
    painter.setFont(font)
    painter.setPen(QColor(colour))
    shown = QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, area.width())
    painter.drawText(area, align | Qt.AlignmentFlag.AlignVCenter, shown)
