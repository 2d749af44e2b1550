"""A field for a day: typed in almost any way, or picked from a small calendar.

    DateField(today=date.today, required=False, placeholder="3/14, today, +3")    value(): date | None
    DateField(..., doubt=lambda day: "" or why it may be a slip)    asked about beneath the field; Enter again keeps it

`today` is a callable so that tests and the sample company can say what day it is. Alt+Down or F4 opens the
calendar; Page Up and Page Down move by a month there; Enter picks; Escape closes. Up and Down in the field
itself move by a day.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import date, timedelta

from PySide6.QtCore import QDate, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QAction, QColor, QKeyEvent, QPainter, QPen, QTextCharFormat
from PySide6.QtWidgets import QCalendarWidget, QFrame, QLineEdit, QToolButton, QVBoxLayout, QWidget

from desktop.look.icons import icon
from desktop.look.theme import current_tokens
from desktop.widgets.fields import TypedField
from domain.dates import format_day, parse_day

FIRST_DAY, LAST_DAY = QDate(1900, 1, 1), QDate(2199, 12, 31)
"""What the calendar shows; typed, a day is understood as `parse_day` tells."""


class DateField(TypedField):
    """A day, shown with its weekday: Sat, Mar 14, 2026."""

    def __init__(
        self,
        today: Callable[[], date] = date.today,
        required: bool = False,
        placeholder: str = "3/14, today, +3",
        parent: QWidget | None = None,
        doubt: Callable[[date], str] | None = None,
    ) -> None:
        self._today = today
        super().__init__(
            lambda text: parse_day(text, today()), format_day, required=required, placeholder=placeholder,
            parent=parent, doubt=doubt,
        )  # fmt: skip
        opener = QAction(icon("calendar"), "Pick from the calendar", self)
        opener.triggered.connect(self.open_calendar)
        self.addAction(opener, QLineEdit.ActionPosition.TrailingPosition)
        self._popup: _CalendarPopup | None = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if event.key() == Qt.Key.Key_F4 or (alt and event.key() == Qt.Key.Key_Down):
            self.open_calendar()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and not self.isReadOnly():
            with suppress(OverflowError):  # there is no day before the first of year 1, nor after the last
                self.take((self.value() or self._today()) + timedelta(days=1 if event.key() == Qt.Key.Key_Up else -1))
        else:
            super().keyPressEvent(event)

    def open_calendar(self) -> None:
        """Show the calendar under the field."""
        if self.isReadOnly() or not self.isEnabled():
            return
        self._popup = self._popup or _CalendarPopup(self)
        self._popup.open_at(self.value() or self._today(), self._today())

    def take(self, day: date) -> None:
        """Put in a picked day and commit it."""
        self.setText(format_day(day))
        self.setModified(True)
        self.commit()
        self.typed.emit(day)


class _Month(QCalendarWidget):
    """A calendar that paints its days from the tokens."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.today = QDate()
        for name, arrow in (("qt_calendar_prevmonth", "left"), ("qt_calendar_nextmonth", "right")):
            mover = self.findChild(QToolButton, name)
            if mover is not None:
                mover.setIcon(icon(arrow))

    def sizeHint(self) -> QSize:
        return QSize(300, 250)

    def paintCell(self, painter: QPainter, rect: QRect, day: QDate | date) -> None:
        when = QDate(day.year, day.month, day.day) if isinstance(day, date) else day
        tokens, chosen = current_tokens(), when == self.selectedDate()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        spot = QRectF(rect).adjusted(2, 2, -2, -2)
        if chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tokens.accent))
            painter.drawRoundedRect(spot, tokens.radius.control, tokens.radius.control)
        elif when == self.today:
            painter.setPen(QPen(QColor(tokens.accent), 1.4))
            painter.drawRoundedRect(spot, tokens.radius.control, tokens.radius.control)
        here = when.month() == self.monthShown()
        painter.setPen(QColor(tokens.on_accent if chosen else tokens.ink if here else tokens.line_strong))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, str(when.day()))
        painter.restore()


class _CalendarPopup(QFrame):
    def __init__(self, field: DateField) -> None:
        super().__init__(field, Qt.WindowType.Popup)
        self.setProperty("card", True)
        self._field = field
        self._calendar = _Month(self)
        self._calendar.setVerticalHeaderFormat(QCalendarWidget.VerticalHeaderFormat.NoVerticalHeader)
        self._calendar.setGridVisible(False)
        self._calendar.setDateRange(FIRST_DAY, LAST_DAY)  # else keys lead to years before there were any
        self._calendar.setAccessibleName("Calendar")
        self._calendar.activated.connect(self._pick)
        self._calendar.clicked.connect(self._pick)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self._calendar)

    def open_at(self, day: date, today: date) -> None:
        self._calendar.today = QDate(today.year, today.month, today.day)
        weekend = QTextCharFormat()
        weekend.setForeground(QColor(current_tokens().ink_soft))
        for name in (Qt.DayOfWeek.Saturday, Qt.DayOfWeek.Sunday):
            self._calendar.setWeekdayTextFormat(name, weekend)
        self._calendar.setSelectedDate(QDate(day.year, day.month, day.day))
        self.move(self._field.mapToGlobal(QPoint(0, self._field.height() + 2)))
        self.show()
        self._calendar.setFocus()

    def _pick(self, chosen: QDate) -> None:
        if not self.isVisible() or not FIRST_DAY <= chosen <= LAST_DAY:
            return
        self.hide()
        self._field.take(date(chosen.year(), chosen.month(), chosen.day()))
        self._field.setFocus()
