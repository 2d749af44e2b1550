"""The calendar: a week by the hour or a month by the day, moved in with the arrows; the chosen day beside it.

Arrows go from day to day, Page Up and Page Down by a week or a month, Home to today, Enter into the day, Insert or
Ctrl+N books a visit.
"""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.queries.calendar import days_between
from desktop.desk import JOBS, Desk
from desktop.pages.tonight.calendar.day_cell import DayCell, MonthCell
from desktop.pages.tonight.calendar.day_panel import DayPanel
from desktop.pages.tonight.calendar.week_cell import HourAxis, WeekCell
from desktop.pages.visits.job_visits import save_calendar
from desktop.widgets.cards import PageHead, button, label, on_keys, scroll_page, tool_button
from domain.calendar.days import WEEK, CalendarDay, add_months, month_grid, week_of
from domain.dates import format_day, format_day_short, format_month
from domain.units import format_minutes

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MOST_WEEKS = 6
PANEL_WIDTH = 330
FIRST, LAST = date(2000, 1, 1), date(2199, 12, 1)


class CalendarView(QWidget):
    """Shows one week or one month around the chosen day."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.mode = "week"
        self.day = desk.today()
        self.days: list[CalendarDay] = []
        self.head = PageHead("")
        for one in (
            tool_button("left", "Earlier (Page Up)", lambda: self.turn(-1)),
            button("Today", self.to_today, "plain", tip="To today (Home)"),
            tool_button("right", "Later (Page Down)", lambda: self.turn(1)),
            button("Calendar file", self._write_file, "quiet", "save",
                   "Write all visits as a file that any calendar reads; a second import moves what the first made"),
        ):  # fmt: skip
            self.head.add_action(one)
        self.week_cells: list[WeekCell] = [self._cell(WeekCell()) for _ in range(WEEK)]  # type: ignore[misc]
        self.month_cells: list[DayCell] = [self._cell(MonthCell()) for _ in range(WEEK * MOST_WEEKS)]
        self.panel = DayPanel(self._open_visit, lambda job_id: desk.go(JOBS, job_id), lambda: self.book())
        on_keys(self.panel.book, "Ctrl+N")
        self._arrange()

    def _cell(self, cell: DayCell) -> DayCell:
        cell.chosen.connect(self.choose)
        cell.opened.connect(self._into_day)
        cell.booked.connect(self.book)
        cell.moved.connect(lambda days: self.choose(self.day + timedelta(days=days)))
        return cell

    def _arrange(self) -> None:
        week = QWidget()
        line = QHBoxLayout(week)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(3)
        self._axis = HourAxis(self.week_cells[0])
        line.addWidget(self._axis)
        for cell in self.week_cells:
            line.addWidget(cell, 1)
        month = QWidget()
        grid = self._grid = QGridLayout(month)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(3)
        for column, name in enumerate(WEEKDAYS):
            grid.addWidget(label(name, "small_strong", "soft"), 0, column, Qt.AlignmentFlag.AlignHCenter)
            grid.setColumnStretch(column, 1)
        for place, cell in enumerate(self.month_cells):
            grid.addWidget(cell, 1 + place // WEEK, place % WEEK)
        self.stack = QStackedWidget()
        self.stack.addWidget(week)
        self.stack.addWidget(month)
        self.hint = label("Arrows go from day to day, Enter into the day, Insert books a visit.", "small", "faint")
        left = QVBoxLayout()
        left.setSpacing(6)
        left.addWidget(self.stack, 1)
        left.addWidget(self.hint)
        side = scroll_page(self.panel)
        side.setFixedWidth(PANEL_WIDTH)
        pair = QHBoxLayout()
        pair.setSpacing(14)
        pair.addLayout(left, 1)
        pair.addWidget(side)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(28, 16, 28, 16)
        outer.setSpacing(8)
        outer.addWidget(self.head)
        outer.addLayout(pair, 1)

    # Showing.

    def show_mode(self, mode: str, day: date | None = None) -> None:
        """Turn to "week" or "month", on a day or where one was."""
        self.mode = mode
        self.stack.setCurrentIndex(0 if mode == "week" else 1)
        if day is not None:
            self.day = day
        self.refresh()

    def refresh(self) -> None:
        """Read the days again; the chosen day and the focus stay."""
        first, last = week_of(self.day) if self.mode == "week" else month_grid(self.day)
        with self._desk.read() as conn:
            self.days = days_between(conn, first, last)
        self.head.set_words(*self._words(first, last))
        self._show_days()

    def _show_days(self) -> None:
        today = self._desk.today()
        cells = self.week_cells if self.mode == "week" else self.month_cells
        if self.mode == "week":
            self._set_hours()
        for place, cell in enumerate(cells):
            cell.setVisible(place < len(self.days))
            if place < len(self.days):
                day = self.days[place]
                faint = self.mode == "month" and day.day.month != self.day.month
                cell.show_day(day, chosen=day.day == self.day, today=day.day == today, faint=faint)
        for row in range(MOST_WEEKS):
            self._grid.setRowStretch(row + 1, 1 if row * WEEK < len(self.days) else 0)
        self.panel.show_day(next(day for day in self.days if day.day == self.day))

    def _set_hours(self) -> None:
        timed = [one.visit for day in self.days for one in day.visits if one.visit.starts_at is not None]
        first = min(((one.starts_at or 0) - one.travel_minutes // 2 for one in timed), default=7 * 60)
        last = max(((one.ends_at or 0) + one.travel_minutes // 2 for one in timed), default=18 * 60)
        from_, to = max(min(first // 60, 7), 0) * 60, min(max(-(-last // 60), 18), 24) * 60
        rows = max(len(day.deadlines) + sum(one.visit.starts_at is None for one in day.visits) for day in self.days)
        for cell in self.week_cells:
            cell.set_hours(from_, to, rows)
        self._axis.update()

    def _words(self, first: date, last: date) -> tuple[str, str]:
        if self.mode == "week":
            title = f"Week of {format_day_short(first)}"
            within = self.days
        else:
            title = format_month(self.day)
            within = [day for day in self.days if day.day.month == self.day.month]
        used = sum(day.used_minutes for day in within)
        fits = sum(day.capacity_minutes for day in within)
        over = [format_day(day.day).split(",")[0] + f" {day.day.day}" for day in within if day.over_minutes]
        words = f"{format_minutes(used)} of {format_minutes(fits)} taken"
        if over:
            words += f"; too much on {', '.join(over[:3])}" + (" and others" if len(over) > 3 else "")
        if not any(day.visits for day in within):
            words += ". No visit is booked; Ctrl+N books the first."
        return title, words

    # Moving.

    def choose(self, day: date) -> None:
        """Choose a day; the calendar turns when it is not on the page."""
        self.day = min(max(day, FIRST), LAST)
        on_page = [one.day for one in self.days]
        if self.day in on_page and (self.mode == "week" or self._same_month()):
            self._show_days()
        else:
            self.refresh()
        self.take_focus()

    def _same_month(self) -> bool:
        middle = self.days[len(self.days) // 2].day
        return (middle.year, middle.month) == (self.day.year, self.day.month)

    def turn(self, steps: int) -> None:
        """By weeks or months."""
        far = self.day + timedelta(days=WEEK * steps) if self.mode == "week" else add_months(self.day, steps)
        self.choose(far)

    def to_today(self) -> None:
        """Back to today."""
        self.choose(self._desk.today())

    def take_focus(self) -> None:
        """Put the cursor on the chosen day."""
        cells = self.week_cells if self.mode == "week" else self.month_cells
        for cell in cells:
            if cell.is_chosen and not cell.isHidden():
                cell.setFocus(Qt.FocusReason.OtherFocusReason)

    def _into_day(self, _day: date) -> None:
        """Into the day's rows; where there are none, to the button that books."""
        rows = self.panel.shown_rows()
        (rows[0] if rows else self.panel.book).setFocus(Qt.FocusReason.TabFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if plain and key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.turn(-1 if key == Qt.Key.Key_PageUp else 1)
        elif plain and key == Qt.Key.Key_Home:
            self.to_today()
        elif plain and key in (Qt.Key.Key_Up, Qt.Key.Key_Down) and self._step_in_day(key):
            return
        elif plain and key == Qt.Key.Key_Escape:
            self.take_focus()
        else:
            super().keyPressEvent(event)

    def _step_in_day(self, key: int) -> bool:
        stops = [*self.panel.shown_rows(), self.panel.book]
        now = self.window().focusWidget()
        if now not in stops:
            return False
        place = stops.index(now) + (1 if key == Qt.Key.Key_Down else -1)  # type: ignore[arg-type]
        if 0 <= place < len(stops):
            stops[place].setFocus(Qt.FocusReason.TabFocusReason)
        return True

    # Acting.

    def book(self, day: date | None = None) -> None:
        """Open the form for a visit on a day, or on the chosen one."""
        from desktop.pages.visits.dialog import VisitDialog

        VisitDialog(self._desk, self.window()).book(day=day or self.day)

    def _open_visit(self, visit_id: int) -> None:
        from desktop.pages.visits.dialog import VisitDialog

        VisitDialog(self._desk, self.window()).change(visit_id)

    def _write_file(self) -> None:
        save_calendar(self._desk, self, "visits.ics")
