"""A day of the week by the hour: its visits as blocks at their time, side by side where they overlap."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from desktop.look.fonts import face
from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.pages.tonight.calendar.day_cell import DayCell, draw
from desktop.widgets.paint import hatch
from domain.calendar.visits import KIND_WORDS, PlannedVisit
from domain.dates import format_day
from domain.units import format_clock, format_minutes

HEAD = 54
"""Room for the name of the day and its hours."""


class WeekCell(DayCell):
    """One column of the week; `set_hours` says which hours are on the page."""

    def __init__(self) -> None:
        super().__init__()
        self._from, self._to = 7 * 60, 19 * 60
        self._untimed_rows = 0

    def set_hours(self, from_: int, to: int, untimed_rows: int) -> None:
        """Show these minutes of the day below so many rows for visits without an hour; all columns alike."""
        self._from, self._to, self._untimed_rows = from_, to, untimed_rows
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(110, 420)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.paint_ground(painter, tokens)
        self._head(painter, tokens)
        self._untimed(painter, tokens)
        self._hour_lines(painter, tokens)
        for planned, lane, lanes in lanes_of([one for one in self.day.visits if one.visit.starts_at is not None]):
            self._block(painter, tokens, planned, lane, lanes)
        painter.end()

    def _head(self, painter: QPainter, tokens: Tokens) -> None:
        strong, metrics = face("small_strong")
        name = format_day(self.day.day).rsplit(",", 1)[0]
        ink = tokens.accent if self.is_today else tokens.ink
        draw(painter, name, strong, ink, QRect(8, 5, self.width() - 16, metrics.height()))
        used, fits = self.day.used_minutes, self.day.capacity_minutes
        words = f"{format_minutes(used)} of {format_minutes(fits)}" if fits else format_minutes(used) if used else ""
        tone = tokens.over if self.day.over_minutes else tokens.ink_soft
        area = QRect(8, 6 + metrics.height(), self.width() - 16, metrics.height())
        draw(painter, words, face("small")[0], tone, area)
        self.paint_hours(painter, tokens, QRectF(8, HEAD - 10, self.width() - 16, 5))

    def _untimed(self, painter: QPainter, tokens: Tokens) -> None:
        small, metrics = face("small")
        top = HEAD
        for one in self.day.deadlines:
            area = QRect(8, top, self.width() - 14, metrics.height())
            draw(painter, f"! {one.reason}, {one.customer}", small, tokens.over, area)
            top += metrics.height()
        for planned in self.day.visits:
            if planned.visit.starts_at is None:
                done = "✓ " if planned.visit.done_on else ""
                draw(painter, f"{done}{planned.words}", small, tokens.ink,
                     QRect(8, top, self.width() - 14, metrics.height()))  # fmt: skip
                top += metrics.height()

    @property
    def _top(self) -> int:
        return HEAD + self._untimed_rows * face("small")[1].height() + (4 if self._untimed_rows else 0)

    def height_of(self, minute: int) -> float:
        """Where a minute of the day lies."""
        room = self.height() - self._top - 4
        return self._top + room * (minute - self._from) / max(self._to - self._from, 1)

    def _hour_lines(self, painter: QPainter, tokens: Tokens) -> None:
        painter.setPen(QPen(QColor(tokens.line), 1))
        for minute in range(self._from, self._to + 1, 60):
            y = int(self.height_of(minute))
            painter.drawLine(3, y, self.width() - 4, y)

    def _block(self, painter: QPainter, tokens: Tokens, planned: PlannedVisit, lane: int, lanes: int) -> None:
        visit = planned.visit
        assert visit.starts_at is not None
        wide = (self.width() - 10) / lanes
        top, end = self.height_of(visit.starts_at), self.height_of(visit.starts_at + visit.minutes)
        area = QRectF(5 + lane * wide, top + 1, wide - 2, max(end - top - 2, face("small")[1].height() + 2))
        way = visit.travel_minutes // 2 if visit.takes_own_time else 0
        for from_, to in ((visit.starts_at - way, visit.starts_at), (visit.starts_at + visit.minutes,) * 2):
            to = to if from_ < visit.starts_at else from_ + way
            stripe = QRectF(area.left() + 3, self.height_of(from_), area.width() - 6,
                            self.height_of(to) - self.height_of(from_))  # fmt: skip
            if way:
                hatch(painter, stripe, tokens.line_strong, tokens.sunk)
        fill, ink = _colours(visit.takes_own_time, visit.done_on is not None, tokens)
        painter.setPen(QPen(QColor(tokens.line_strong), 1))
        painter.setBrush(QColor(fill))
        painter.drawRoundedRect(area, tokens.radius.mark, tokens.radius.mark)
        self._block_words(painter, planned, area, ink)

    def _block_words(self, painter: QPainter, planned: PlannedVisit, area: QRectF, ink: str) -> None:
        visit = planned.visit
        small, metrics = face("small")
        strong, _ = face("small_strong")
        assert visit.starts_at is not None
        what = KIND_WORDS[visit.kind] if visit.job_id is not None else planned.words
        done = "✓ " if visit.done_on else ""
        begins = format_clock(visit.starts_at)
        lines = [(f"{done}{what}", strong), (planned.customer or visit.who, small), (begins, small),
                 (planned.place, small)]  # fmt: skip
        top = int(area.top()) + 1
        for words, font in lines:
            if not words or top + metrics.height() > area.bottom() + 2:
                continue
            draw(painter, words, font, ink, QRect(int(area.left()) + 5, top, int(area.width()) - 8, metrics.height()))
            top += metrics.height()


class HourAxis(QWidget):
    """The hours beside the week."""

    def __init__(self, like: WeekCell) -> None:
        super().__init__()
        self._like = like
        self.setFixedWidth(48)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        small, metrics = face("small")
        painter = QPainter(self)
        for minute in range(self._like._from, self._like._to + 1, 60):
            y = int(self._like.height_of(minute))
            top = min(y - metrics.height() // 2, self.height() - metrics.height())
            area = QRect(0, top, self.width() - 6, metrics.height())
            if top >= y - metrics.height():
                draw(painter, format_clock(minute), small, tokens.ink_soft, area, Qt.AlignmentFlag.AlignRight)
        painter.end()


def lanes_of(visits: Sequence[PlannedVisit]) -> list[tuple[PlannedVisit, int, int]]:
    """Each visit with its lane and how many lanes there are where it stands: what overlaps stands side by side."""
    found: list[tuple[PlannedVisit, int, int]] = []
    group: list[tuple[PlannedVisit, int]] = []
    ends: list[int] = []
    for planned in sorted(visits, key=lambda one: (one.visit.starts_at or 0, one.visit.id)):
        start, end = planned.visit.starts_at or 0, (planned.visit.starts_at or 0) + planned.visit.minutes
        if ends and start >= max(ends):
            found += [(one, lane, len(ends)) for one, lane in group]
            group, ends = [], []
        lane = next((number for number, free in enumerate(ends) if free <= start), len(ends))
        if lane == len(ends):
            ends.append(end)
        else:
            ends[lane] = end
        group.append((planned, lane))
    return found + [(one, lane, len(ends)) for one, lane in group]


def _colours(own: int, done: bool, tokens: Tokens) -> tuple[str, str]:
    if done:
        return tokens.under_soft, tokens.ink
    return (tokens.accent_soft, tokens.ink) if own else (tokens.sunk, tokens.ink)
