"""One job, reached from a group: its outcome, and its log entries."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget
from sqlalchemy import select

from db.queries.entries import hours_rows, spent_rows
from db.tables import job
from desktop.desk import JOBS, Desk
from desktop.pages.job_sections.outcome import OutcomeSection
from desktop.pages.margins.entries_table import EntriesTable
from desktop.widgets.cards import Card, button, segments
from domain.money import format_money
from domain.units import count_of, format_minutes

OUTCOME, ENTRIES = "outcome", "entries"


class JobView(QWidget):
    """Outcome and log entries of a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self.job_id = desk, 0
        self.outcome = OutcomeSection(desk)
        self.entries = EntriesTable()
        self.parts = segments([(OUTCOME, "Outcome"), (ENTRIES, "Log entries")], self._show_part, "Show")
        self.open = button("Open the job", lambda: desk.go(JOBS, self.job_id, "outcome"), "plain", "open")
        self._card = Card("Log entries")
        self._card.add(self.entries, 1)
        around = QWidget()
        margins = QVBoxLayout(around)
        margins.setContentsMargins(28, 10, 28, 24)
        margins.addWidget(self._card, 1)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.outcome)
        self.stack.addWidget(around)
        top = QHBoxLayout()
        top.setContentsMargins(28, 0, 28, 0)
        top.addWidget(self.parts)
        top.addStretch(1)
        top.addWidget(self.open)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addLayout(top)
        outer.addWidget(self.stack, 1)

    def show_job(self, job_id: int) -> None:
        """Show a job, its outcome first when it is another than before."""
        if job_id != self.job_id:
            self.job_id = job_id
            self.parts.set_value(OUTCOME)
        self._show_part(self.parts.value())

    def begin(self) -> None:
        """Put the focus where the arrow keys change between outcome and entries."""
        next(one for one in self.parts.findChildren(QPushButton) if one.isChecked()).setFocus()

    def _show_part(self, part: object) -> None:
        self.stack.setCurrentIndex(1 if part == ENTRIES else 0)
        if part == ENTRIES:
            self._show_entries()
        else:
            self.outcome.show_job(self.job_id)

    def _show_entries(self) -> None:
        this = select(job.c.id).where(job.c.id == self.job_id)
        with self._desk.read() as conn:
            hours, spent = hours_rows(conn, this), spent_rows(conn, this)
        rows = sorted([*hours, *spent], key=lambda row: row.day)
        self.entries.rows_model().set_rows(rows)
        minutes = format_minutes(sum(row.minutes for row in hours))
        cost = format_money(sum(row.cost_cents for row in rows))
        words = f"{count_of(len(rows), 'entry')}, {minutes}, {cost} before overhead and tax on purchases"
        self._card.header.set_words("Log entries", words if rows else "")
