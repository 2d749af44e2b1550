"""A job's visits among its facts: a line each, the way to book one, and the steps back from its deadlines."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from db.queries.calendar import steps_of_job, visits_of_job
from desktop.desk import JOBS, Desk
from desktop.pages.tonight.line_row import LineRow
from desktop.pages.tonight.words import Line
from desktop.pages.visits.advice import Lines, outlook_lines
from desktop.widgets.cards import button, label
from domain.calendar.visits import KIND_WORDS, PlannedVisit, time_words
from domain.dates import format_day, format_day_short
from domain.jobs import days_left
from domain.leaving import whole_file_name


class JobVisits(QWidget):
    """Shows the visits of one job; Enter on a line opens it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._job_id = desk, 0
        self.rows: list[LineRow] = []
        none = "No visit is booked yet. Book the survey, and the day it is on is shown here."
        self.none = label(none, "body", "soft", wrap=True)
        self.add = button("Book a visit", self.book, icon_name="plus", tip="Book a visit on this job (Alt+B)")
        self.file = button("Calendar file", self.write_file, "quiet", "save",
                           "Write this job's visits as a file that any calendar reads")  # fmt: skip
        self.steps = Lines()
        self._list = QVBoxLayout()
        self._list.setSpacing(1)
        line = QHBoxLayout()
        line.addWidget(self.add)
        line.addWidget(self.file)
        line.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.none)
        column.addLayout(self._list)
        column.addLayout(line)
        column.addWidget(self.steps)

    def show_job(self, job_id: int) -> None:
        """Show the visits of a job, or the same again."""
        self._job_id = job_id
        today = self._desk.today()
        with self._desk.read() as conn:
            visits, outlooks = visits_of_job(conn, job_id), steps_of_job(conn, job_id, today)
        self.none.setVisible(not visits)
        self.file.setVisible(bool(visits))
        while len(self.rows) < len(visits):
            row = LineRow(_line(visits[len(self.rows)], today))
            row.clicked.connect(lambda _checked=False, one=row: self._open(one.line))
            self.rows.append(row)
            self._list.addWidget(row)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(visits))
            if place < len(visits):
                row.set_line(_line(visits[place], today))
        self.steps.show_lines([line for one in outlooks for line in outlook_lines(one)])

    def book(self) -> None:
        """Open the form for a new visit on this job."""
        from desktop.pages.visits.dialog import VisitDialog

        with self._desk.read() as conn:
            visits = visits_of_job(conn, self._job_id)
        VisitDialog(self._desk, self.window()).book(job_id=self._job_id, kind=_next_kind(visits))

    def _open(self, line: Line) -> None:
        from desktop.pages.visits.dialog import VisitDialog

        assert isinstance(line.target, int)
        VisitDialog(self._desk, self.window()).change(line.target)

    def write_file(self) -> None:
        """Ask where, and write the job's visits as a calendar file."""
        with self._desk.read() as conn:
            number = next((one.job_number for one in visits_of_job(conn, self._job_id)), "job")
        save_calendar(self._desk, self, f"{number} visits.ics", self._job_id)


def save_calendar(desk: Desk, parent: QWidget, suggested: str, job_id: int | None = None) -> None:
    """Ask for a file and write the visits of a job, or all of them."""
    proposed = str(Path.home() / whole_file_name(suggested))
    chosen, _ = QFileDialog.getSaveFileName(parent, "Write a calendar file", proposed, "Calendar (*.ics)")
    if chosen:
        path = Path(chosen)
        write_calendar_file(desk, path if path.suffix else path.with_suffix(".ics"), job_id)


FAR_BACK = timedelta(days=365)
"""Visits longer ago than this do not change any more and stay out of the file of all jobs."""


def write_calendar_file(desk: Desk, path: Path, job_id: int | None = None) -> None:
    """Write the visits off the window's thread; what goes wrong is said in words."""
    since = desk.today() - FAR_BACK if job_id is None else None

    def work() -> int:
        from datetime import datetime

        from db.queries.calendar import visits_to_export
        from db.queries.firm import firm
        from desktop.books.calendar_file import write_calendar

        with desk.read() as conn:
            visits, name = visits_to_export(conn, job_id, since), firm(conn).name
        return write_calendar(visits, path, datetime.now().astimezone(), name)

    def done(count: int) -> None:
        visits = "1 visit" if count == 1 else f"{count} visits"
        desk.say(f"{visits} written to {path.name}. Import it again after changes.", "good")

    def failed(problem: Exception) -> None:
        if not isinstance(problem, OSError):
            raise problem
        desk.say(f"Not written: {problem.strerror or 'the disk does not answer'}. Choose another folder.", "error")

    desk.background(work, done, failed)


_USUAL_ORDER = ("survey", "work", "test_placed", "test_picked_up")


def _next_kind(visits: list[PlannedVisit]) -> str:
    """What is most likely booked next."""
    known = {one.visit.kind for one in visits if one.visit.stands}
    return next((kind for kind in _USUAL_ORDER if kind not in known), "callback")


def _line(planned: PlannedVisit, today: date) -> Line:
    visit = planned.visit
    when = format_day(visit.day).rsplit(",", 1)[0] if visit.day.year == today.year else format_day_short(visit.day)
    tone = "ink_soft"
    if not visit.stands:
        fact = "called off"
    elif visit.done_on is not None:
        fact, tone = "done", "under"
    else:
        fact = days_left(visit.day, today)
        tone = "over" if visit.day < today else "ink_soft"
    words = f"{when}, {time_words(visit)}"
    return Line(f"visit-{visit.id}", KIND_WORDS[visit.kind], words, fact, tone, JOBS, visit.id)
