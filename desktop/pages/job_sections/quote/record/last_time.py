"""Below the work: what the line at the cursor took on the last such job; one key opens it, one takes its pace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from db.commands.learning import take_pace
from desktop.desk import JOBS
from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import button, label
from domain.job_price import LineCase
from domain.quoting.lines import LabourLine
from domain.units import format_minutes

if TYPE_CHECKING:
    from desktop.pages.job_sections.quote.work import WorkCard

OPEN_KEY, PACE_KEY = "Ctrl+J", "Ctrl+Shift+J"


class LastTimeRow(QWidget):
    """Keeps its height while the cursor moves: there while any task of the quote has a last time."""

    def __init__(self, seen: QuoteOutlook, work: WorkCard) -> None:
        super().__init__()
        self.seen, self.editing, self.work = seen, seen.editing, work
        self.words = label("", "small", "soft")
        self.words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.open = button("Open it", self.open_job, "link", None, f"Look at that job ({OPEN_KEY})")
        self.pace = button("Take its pace", self.take, "quiet", None, "")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.words, 1)
        row.addWidget(self.open)
        row.addWidget(self.pace)
        self.setFixedHeight(self.sizeHint().height())
        work.table.current_changed.connect(lambda _: self.show_row())
        work.table.row_activated.connect(lambda _: self._activated())
        seen.changed.connect(self.show_cases)
        self.hide()

    def show_cases(self) -> None:
        """There or not, by the quote."""
        cases = self.seen.cases
        self.work.show_cases(cases)
        tasks = cases.tasks or {}
        names = self.seen.task_names()
        lines = self.editing.document.labour if self.seen.speaks else ()
        self.setVisible(any(names.get(line.task_id) in tasks for line in lines))
        self.show_row()

    def show_row(self) -> None:
        """The line the cursor is on."""
        line, case = self._current()
        self.open.setEnabled(case is not None)
        pace = case.pace(line.quantity, line.factor_percent) if case is not None and line is not None else 0
        self.pace.setEnabled(case is not None and line is not None and line.minutes != pace)
        if case is None or line is None:
            self.words.setText("Put the cursor on a line: its last time stands here.")
            set_tip(self.words, "")
            return
        words = case.words[:1].upper() + case.words[1:]
        self.words.setText(f"{words}. {case.here(line.quantity, line.factor_percent)}")
        set_tip(self.words, self.words.text())
        set_tip(self.pace, f"{format_minutes(pace)} in place of {format_minutes(line.minutes)} ({PACE_KEY})")

    def _activated(self) -> None:
        """Enter or a double click on the last time leads to its pace, below the table."""
        at = self.work.table.currentIndex()
        if at.isValid() and at.column() == self.work.model.column_of("last") and self.open.isEnabled():
            goal = self.pace if self.pace.isEnabled() and not self.editing.frozen else self.open
            goal.setFocus(Qt.FocusReason.TabFocusReason)  # so that it is scrolled into sight

    def open_job(self) -> None:
        """Turn to what that job came to."""
        _, case = self._current()
        if case is None:
            self.editing.desk.say("Put the cursor on a line that was done before.")
            return
        self.editing.desk.go(JOBS, case.job_id, "outcome")

    def take(self) -> None:
        """Its pace for the quantity of this line, as a time of the owner's own."""
        if self.editing.frozen:
            return
        self.work.table.setFocus()  # what is half typed is saved first
        line, case = self._current()
        if case is None or line is None:
            self.editing.desk.say("Put the cursor on a line that was done before.")
            return
        minutes, line_id = case.pace(line.quantity, line.factor_percent), line.id
        why = f"{case.words}{case.conditions_words(line.factor_percent)}"
        self.editing.save(
            f"Take the pace of {case.number}", lambda edit: take_pace(edit, line_id, minutes, why),
            say=f"{format_minutes(minutes)}, at the pace of {case.number}", undo=True,
        )  # fmt: skip

    def _current(self) -> tuple[LabourLine | None, LineCase | None]:
        line = self.work.table.current_row()
        if line is None or not line.id:
            return None, None
        return line, self.work.case_of(line)
