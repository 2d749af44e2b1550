"""The list of jobs with its filters: which of them, which job type, and a search."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.queries.jobs import job_list, job_lists
from desktop.desk import Desk
from desktop.pages.job_rows import jobs_table
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import PageHead, SearchBox, button, label, on_keys, segments
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks

MOST_SHOWN = 200
"""Rows shown at once; the others are found by searching."""

FILTERS = (
    ("open", "Open"),
    ("waiting", "Waiting for an answer"),
    ("running", "Running"),
    ("closed", "Closed"),
    ("lost", "Lost"),
    ("all", "All"),
)

_BEGINS = "A job begins when somebody asks. It gathers the survey, the quote and what it really took."
_EMPTY = {
    "open": ("No open job", _BEGINS),
    "waiting": ("No quote is out", "Jobs whose proposal was sent and not yet answered stand here."),
    "running": ("Nothing is running", "Jobs stand here from the day a proposal is accepted until you close them."),
    "closed": ("No closed job", "Close a job on its facts when nothing more is expected. It then counts in Margins."),
    "lost": ("Nothing was lost", "Declined, expired and canceled jobs stand here."),
    "all": ("No job yet", _BEGINS),
}


class JobList(QWidget):
    """The list; `begin_new()` and `open_job(job_id)` are the page's."""

    def __init__(self, desk: Desk, begin_new: Callable[[], object], open_job: Callable[[int], object]) -> None:
        super().__init__()
        self._desk, self._begin_new = desk, begin_new
        self.filters = segments(FILTERS, lambda _: self.refresh(), "Jobs shown")
        self.search = SearchBox("Number, customer, street or work")
        self.search.setObjectName("job_search")
        self.search.searched.connect(lambda _: self.refresh())
        self.job_type = ChoiceField(placeholder="All job types")
        only_asks(self.job_type)
        self.job_type.setAccessibleName("Job type")
        self.job_type.setMinimumWidth(210)
        self.job_type.edited.connect(lambda _: self.refresh())
        self.count = label("", "small", "soft")
        self.add = button("New job", begin_new, "primary", "plus", "New job (Ctrl+N)")
        on_keys(self.add, "Ctrl+N")
        self.table = jobs_table(desk)
        self.search.target = self.table
        self.search.returnPressed.connect(self._open_found)
        self._open_job = open_job
        self._arrange()
        EyeOrder(self).apply()

    def _arrange(self) -> None:
        tools = QHBoxLayout()
        tools.setSpacing(12)
        tools.addWidget(self.filters)
        tools.addWidget(self.job_type)
        tools.addWidget(self.search, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 18, 28, 20)
        column.setSpacing(10)
        self.head = PageHead("Jobs", actions=[self.add])
        column.addWidget(self.head)
        column.addLayout(tools)
        column.addWidget(self.table, 1)
        column.addWidget(self.count)

    def refresh(self) -> None:
        """Read the list again."""
        which, text = str(self.filters.value()), self.search.text()
        with self._desk.read() as conn:
            lists = job_lists(conn)
            rows = job_list(
                conn, self._desk.today(), which, job_type_id=self.job_type.value(), text=text, limit=MOST_SHOWN + 1
            )
        self.job_type.set_choices([(None, "All job types"), *((one.id, one.name) for one in lists.job_types)])
        self._guide(which, text)
        self.table.rows_model().set_rows(rows[:MOST_SHOWN])
        more = len(rows) > MOST_SHOWN
        self.count.setText(f"The newest {MOST_SHOWN}. Search to find the others." if more else _counted(len(rows)))
        if self.table.hasFocus() and self.table.current_row() is None:
            self.take_focus()  # so that Enter opens the first job at once

    def _guide(self, which: str, text: str) -> None:
        if text.strip() or self.job_type.value() is not None:
            words = "Try a part of the name, the street or the job's number, or look through all jobs."
            action = None if which == "all" else "Look through all jobs"
            self.table.set_empty("Nothing found here", words, action, self._look_through_all)
        else:
            title, words = _EMPTY[which]
            begin = which in ("open", "all")
            self.table.set_empty(title, words, "New job" if begin else None, self._begin_new if begin else None)

    def _look_through_all(self) -> None:
        self.job_type.reset()
        self.filters.set_value("all")
        self.refresh()

    def _open_found(self) -> None:
        row = self.table.current_row() or self.table.rows_model().row_at(0)
        if row is not None and self.search.text().strip():
            self._open_job(row.id)

    def showEvent(self, event: QShowEvent) -> None:
        """Be ready to move in the list when it comes up, unless the cursor is in it already."""
        super().showEvent(event)
        now = self.window().focusWidget()
        if now is None or not self.isAncestorOf(now):
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def take_focus(self, job_id: int = 0) -> None:
        """Put the cursor on the table, on this job when it is listed."""
        if not (job_id and self.table.select_id(job_id)) and self.table.current_row() is None:
            first = self.table.rows_model().row_at(0)
            if first is not None:
                self.table.select_id(first.id)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)


def _counted(count: int) -> str:
    return "1 job" if count == 1 else f"{count} jobs" if count else ""
