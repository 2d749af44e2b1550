"""Today's work: the job, how far it is, and the way into its log."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.queries.tonight import Evening, TodaysJob
from desktop.look.icons import icon
from desktop.pages.tonight.words import pull_words, so_far_words, today_words, upcoming_words
from desktop.widgets.cards import Card, button, label, set_tone
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.units import format_minutes


class _TodaysJob(QWidget):
    """One job of today."""

    def __init__(self, log: Callable[[int], object]) -> None:
        super().__init__()
        self._job_id = 0
        self.title, self.where = label("", "section"), label("", "body", "soft", wrap=True)
        self.logged, self.so_far = label("", "body"), label("", "small", "soft")
        self.bar = QuotedActualBar(format_minutes)
        self.button = button("Log today", lambda: log(self._job_id), "primary", "clock")
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addWidget(self.title)
        words.addWidget(self.where)
        top = QHBoxLayout()
        top.addLayout(words, 1)
        top.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        facts = QHBoxLayout()
        facts.addWidget(self.logged)
        facts.addStretch(1)
        facts.addWidget(self.so_far)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(4)
        column.addLayout(top)
        column.addLayout(facts)
        column.addWidget(self.bar)

    def show_job(self, row: TodaysJob, first: bool) -> None:
        self._job_id = row.name.job_id
        self.title.setText(row.name.customer)
        self.where.setText(f"{row.name.what} · {row.name.street}")
        words, tone = today_words(row)
        self.logged.setText(words)
        set_tone(self.logged, tone)
        self.so_far.setText(so_far_words(row))
        self.bar.set_values(row.so_far.quoted_minutes, row.so_far.minutes)
        kind = "primary" if first else "plain"
        if self.button.property("kind") != kind:
            self.button.setProperty("kind", kind)
            self.button.setIcon(icon("clock", 16, "on_accent" if first else "ink_soft", gap=5))
            self.button.style().unpolish(self.button)
            self.button.style().polish(self.button)
        self.button.setAccessibleName(f"Log today on {row.name.customer}, {row.name.what}")


class TodaysCard(Card):
    """Today's jobs, or what comes next."""

    def __init__(
        self, log: Callable[[int], object], to_jobs: Callable[[], object], to_pull: Callable[[], object]
    ) -> None:
        super().__init__("Today")
        self._log = log
        self._jobs: list[_TodaysJob] = []
        self.nothing = label("No job is scheduled for today.", "body", "soft", wrap=True)
        self.other = button("Log on another job", to_jobs, "plain", "clock")
        self.next = label("", "small", "soft", wrap=True)
        self.add(self.nothing)
        self.add(self.other)
        self.pull = button("", to_pull, "link", "truck")
        self.add(self.next)
        self.add(self.pull)

    def show_evening(self, seen: Evening, today: date, most: int = 2) -> None:
        """Show the first of today's jobs."""
        rows = seen.today.rows[:most]
        while len(self._jobs) < len(rows):
            made = _TodaysJob(self._log)
            self._jobs.append(made)
            self.body.insertWidget(len(self._jobs), made)
        for place, widget in enumerate(self._jobs):
            widget.setVisible(place < len(rows))
            if place < len(rows):
                widget.show_job(rows[place], place == 0)
        more = seen.today.total - len(rows)
        self.header.set_words("Today", f"and {more} more" if more > 0 else "")
        self.nothing.setVisible(not rows)
        self.other.setVisible(not rows)
        coming = seen.upcoming.rows[:1]
        self.next.setText(upcoming_words(coming[0], today) if coming else "")
        self.next.setVisible(bool(coming))
        self.pull.setText(pull_words(seen.tomorrow))
        self.pull.setVisible(bool(seen.tomorrow))

    def buttons(self) -> list[QPushButton]:
        """What can be pressed now; the evening begins with the first."""
        if self.isHidden():
            return []
        first = [job.button for job in self._jobs if not job.isHidden()] or [self.other]
        return first if self.pull.isHidden() else [*first, self.pull]
