"""The chosen day beside the calendar: each visit a way into its form, the hours, what is due."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QVBoxLayout

from desktop.desk import JOBS
from desktop.pages.tonight.line_row import LineRow
from desktop.pages.tonight.words import Line
from desktop.pages.visits.advice import hours_words
from desktop.widgets.cards import Card, button, label, set_tone
from domain.calendar.clashes import clashes
from domain.calendar.days import CalendarDay
from domain.calendar.visits import PlannedVisit, time_words
from domain.dates import format_day
from domain.units import format_minutes


class DayPanel(Card):
    """One day: `show_day(day)`; calls back with a visit's id, a job's id, or the wish to book."""

    def __init__(
        self, open_visit: Callable[[int], object], open_job: Callable[[int], object], book: Callable[[], object]
    ) -> None:
        super().__init__("The day")
        self._open_visit, self._open_job = open_visit, open_job
        self.hours = label("", "body", "soft", wrap=True)
        self.trouble = label("", "body", "over", wrap=True)
        self.none = label("Nothing stands on this day.", "body", "soft", wrap=True)
        self.rows: list[LineRow] = []
        self._list = QVBoxLayout()
        self._list.setSpacing(1)
        self.book = button("Book a visit", book, "primary", "plus", "Book a visit on this day (Ctrl+N)")
        for part in (self.hours, self.trouble, self.none, self._list, self.book):
            self.add(part)
        self.body.addStretch(1)

    def show_day(self, day: CalendarDay) -> None:
        """Show this day; rows are kept, and so is the focus."""
        self.header.set_words(format_day(day.day))
        words = hours_words(day).capitalize()
        if day.travel_minutes:
            words += f", {format_minutes(day.travel_minutes)} of it on the way"
        self.hours.setText(f"{words}.")
        set_tone(self.hours, "over" if day.over_minutes else "soft")
        trouble = _trouble(day)
        self.trouble.setText("\n".join(trouble))
        self.trouble.setVisible(bool(trouble))
        lines = [_visit_line(one) for one in day.visits]
        lines += [
            Line(f"due-{number}", one.customer, f"{one.job_number}", one.reason, "over", JOBS, one.job_id, "due")
            for number, one in enumerate(day.deadlines)
        ]
        self.none.setVisible(not lines)
        while len(self.rows) < len(lines):
            row = LineRow(lines[len(self.rows)])
            row.clicked.connect(lambda _checked=False, one=row: self._open(one.line))
            self.rows.append(row)
            self._list.addWidget(row)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(lines))
            if place < len(lines):
                row.set_line(lines[place])

    def shown_rows(self) -> list[LineRow]:
        """The rows that can be reached."""
        return [row for row in self.rows if not row.isHidden()]

    def _open(self, line: Line) -> None:
        assert isinstance(line.target, int)
        (self._open_job if line.section == "due" else self._open_visit)(line.target)


def _visit_line(planned: PlannedVisit) -> Line:
    visit = planned.visit
    parts = [time_words(visit), visit.who, planned.place]
    fact, tone = ("done", "under") if visit.done_on else ("", "ink_soft")
    detail = " · ".join(part for part in parts if part)
    return Line(f"visit-{visit.id}", planned.words, detail, fact, tone, JOBS, visit.id)


def _trouble(day: CalendarDay) -> list[str]:
    """What overlaps on the day, each pair once."""
    found: list[str] = []
    for place, one in enumerate(day.visits):
        if one.visit.done_on is None:
            later = [other for other in day.visits[place + 1 :] if other.visit.done_on is None]
            pairs = clashes(one.visit, later, 24 * 60)
            found += [f"{one.words}: {clash.words[0].lower()}{clash.words[1:]}" for clash in pairs if clash.other_id]
    return found
