"""The Margins page: overview, group, job and log entries, one beneath the other, with the way back on top."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.queries.callbacks import jobs_called_back
from db.queries.margins import all_job_results, count_closed
from desktop.desk import JOBS, Desk
from desktop.pages.margins.exporting import Exporting
from desktop.pages.margins.filters import Filters
from desktop.pages.margins.group_view import GroupView
from desktop.pages.margins.job_view import JobView
from desktop.pages.margins.overview import Overview
from desktop.pages.margins.quoting_view import QuotingView
from desktop.pages.margins.tables import TOTAL
from desktop.pages.page import Page
from desktop.widgets.cards import EmptyPage, Notice, PageHead, button, label, tool_button
from desktop.widgets.late import once_nobody_types
from domain.costing import GROUPINGS, GroupMargin, JobResult, Margins, margins_of
from domain.dates import format_day_short
from domain.units import count_of

AT_ONCE = 400
"""So many closed jobs are added up while one waits; more in the background, with the last figures left standing."""

QUOTING = "quoting"
"""The key of the view that shows how well quotes hold."""


class MarginsPage(Page):
    """What the closed jobs earned, and why."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._called_back: frozenset[int] = frozenset()
        self._results: list[JobResult] = []
        self._read_at: object = None  # the state of the company the results are from
        self._margins: Margins | None = None
        self._group_key: str | None = None
        self._job: JobResult | None = None
        self.head = PageHead("Margins")
        self.workbook = button(
            "Save as workbook…", self._export_workbook, "plain", "xlsx", "For the bookkeeper, with live formulas (xlsx)"
        )
        self.csv = button("Save as CSV…", self._export_csv, "plain", "table", "The table shown, as plain text")
        self.quoting_button = button(
            "How well you quote", self.show_quoting, "plain", "margins",
            "Quoted, corrected and actual; the record tried on your own past",
        )  # fmt: skip
        for action in (self.quoting_button, self.csv, self.workbook):
            self.head.add_action(action)
        self.filters = Filters(desk)
        self.filters.changed.connect(self._regroup)
        self.exporting = Exporting(desk)
        self.adding_up = Notice("info")
        self.back = tool_button("left", "Back (Alt+Left)", self.go_back)
        self.crumbs = [button("", self._to_overview, "link"), button("", self._to_group, "link"), label("", "strong")]
        self.overview = Overview(self.open_group, self._open_job)
        self._group_view: GroupView | None = None
        self._job_view: JobView | None = None
        self._quoting_view: QuotingView | None = None
        self._quoting = False  # that view is shown
        self.nothing = EmptyPage(
            "No margins yet",
            "Once jobs are closed, this page shows what each kind of job earned beside what it was quoted to earn: "
            "by job type, month, foundation, lead source and access condition, down to each log entry.",
            "Go to the jobs",
            lambda: desk.go(JOBS),
            "margins",
        )
        self._arrange()
        shortcut = QShortcut(QKeySequence("Alt+Left"), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self.go_back)

    def _arrange(self) -> None:
        trail = QHBoxLayout()
        trail.setContentsMargins(28, 0, 28, 0)
        trail.setSpacing(4)
        trail.addWidget(self.back)
        self._gaps = [label("›", "body", "faint"), label("›", "body", "faint")]
        for widget in (self.crumbs[0], self._gaps[0], self.crumbs[1], self._gaps[1], self.crumbs[2]):
            trail.addWidget(widget)
        trail.addStretch(1)
        self._trail = QWidget()
        self._trail.setLayout(trail)
        self.stack = QStackedWidget()
        for view in (self.overview, self.nothing):
            self.stack.addWidget(view)
        top = QVBoxLayout()
        top.setContentsMargins(28, 16, 28, 6)
        for part in (self.head, self.filters, self.adding_up):
            top.addWidget(part)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(6)
        outer.addLayout(top)
        outer.addWidget(self.exporting)
        outer.addWidget(self._trail)
        outer.addWidget(self.stack, 1)

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        return {
            "overview": lambda: self.overview, "group": lambda: self.group, "job": lambda: self.job,
            "quoting": lambda: self.quoting,
        }  # fmt: skip

    @property
    def quoting(self) -> QuotingView:
        """The view of how well quotes hold, built when first asked for."""
        if self._quoting_view is None:
            self._quoting_view = QuotingView(self.desk, lambda: self._results)
            self.stack.addWidget(self._quoting_view)
        return self._quoting_view

    @property
    def group(self) -> GroupView:
        """The view of one group, built when first asked for."""
        if self._group_view is None:
            self._group_view = GroupView(self.desk, self._open_job)
            self.stack.addWidget(self._group_view)
        return self._group_view

    @property
    def job(self) -> JobView:
        """The view of one job, built when first asked for."""
        if self._job_view is None:
            self._job_view = JobView(self.desk)
            self.stack.addWidget(self._job_view)
        return self._job_view

    def _showing(self, view: QWidget | None) -> bool:
        return view is not None and self.stack.currentWidget() is view

    # What the window calls.

    def show_key(self, key: object, section: str = "") -> None:
        """Show a grouping ("month"), a group of the present one by its name, a job by its id, or QUOTING."""
        self.refresh()
        self._quoting = False
        if key == QUOTING:
            self.show_quoting()
        elif isinstance(key, int):
            found = next((job for job in self._results if job.job_id == key), None)
            if found:
                self._open_job(found)
        elif isinstance(key, str) and key in GROUPINGS:
            self._group_key = self._job = None
            self.filters.choose_by(key)
        elif isinstance(key, str):
            self.open_group(key)

    def show_top(self) -> None:
        """To the overview of the present grouping."""
        self._quoting = False
        self._group_key = self._job = None
        self.refresh()

    def refresh(self) -> None:
        """Read the results again when anything was saved since, and show them."""
        saved = self.desk.company.saved_at
        if self._read_at == (saved,):
            self._show()
            return
        with self.desk.read() as conn:
            count = count_closed(conn)
            if count <= AT_ONCE:
                self._take((all_job_results(conn), jobs_called_back(conn)), saved)
                return
        self.adding_up.set_words("info", f"Adding up {count_of(count, 'closed job')}…")
        self.desk.background(
            self._read, lambda found: once_nobody_types(self, lambda: self._take(found, saved))
        )
        if self._read_at is not None:
            self._show()

    def _read(self) -> tuple[list[JobResult], frozenset[int]]:
        with self.desk.read() as conn:
            return all_job_results(conn), jobs_called_back(conn)

    def _take(self, found: tuple[list[JobResult], frozenset[int]], saved: object) -> None:
        first = self._read_at is None
        (self._results, self._called_back), self._read_at = found, (saved,)
        self.adding_up.set_words("info", "")
        self._regroup()
        if first and self._showing(self.overview):
            self.overview.groups.setFocus()

    def take_focus(self) -> None:
        """On the table or the picture of what is shown."""
        if self._showing(self.overview):
            self.overview.groups.setFocus()
        elif self._showing(self._group_view):
            self.group.waterfall.setFocus()
        elif self._showing(self._job_view):
            self.job.begin()
        else:
            super().take_focus()

    # Showing.

    def _regroup(self) -> None:
        if self._read_at is None:
            return
        shown = margins_of(self._results, self.filters.by(), *self.filters.days())
        self._margins = replace(shown, total=replace(shown.total, key=TOTAL))
        self._show()

    def _show(self) -> None:
        if self._margins is None:
            return
        something = any(job.accepted or job.actual_cost_cents for job in self._results)
        for widget in (self.filters, self.csv, self.workbook):
            widget.setVisible(something)
        self._job = next((job for job in self._results if self._job and job.job_id == self._job.job_id), None)
        found = self._found_group()
        if self._quoting:
            self.quoting.show_quoting()
            self.stack.setCurrentWidget(self.quoting)
        elif not something:
            self.stack.setCurrentWidget(self.nothing)
        elif self._job:
            self.job.show_job(self._job.job_id)
            self.stack.setCurrentWidget(self.job)
        elif found:
            self.group.show_group(*found)
            self.stack.setCurrentWidget(self.group)
        else:
            self._group_key = None
            self.overview.show_margins(self._margins, self._called_back)
            self.stack.setCurrentWidget(self.overview)
        self._show_words(found)

    def _found_group(self) -> tuple[GroupMargin, tuple[JobResult, ...]] | None:
        if self._margins is None or self._group_key is None:
            return None
        if self._group_key == TOTAL:
            return self._margins.total, self._margins.closed
        return next(((group, jobs) for group, jobs in self._margins.groups if group.key == self._group_key), None)

    def _show_words(self, found: tuple[GroupMargin, tuple[JobResult, ...]] | None) -> None:
        shown = self._margins
        closed = len(shown.closed) if shown else 0
        words = f"{closed:,} closed job{'' if closed == 1 else 's'}{self._days_words()}"
        # How well quotes hold is told of all jobs: the days chosen for the margins are not those of its tables.
        self.head.set_words("Margins", "all finished jobs, whenever they were closed" if self._quoting else words)
        of_group, of_job = self._showing(self._group_view), self._showing(self._job_view)
        self._trail.setVisible(of_group or of_job or self._quoting)
        self.quoting_button.setVisible(not self._quoting)
        self.csv.setVisible(self.csv.isVisibleTo(self.head) and not self._quoting)
        self.filters.setVisible(of_group or self._showing(self.overview))
        self.crumbs[0].setText(f"By {GROUPINGS[self.filters.by()].lower()}")
        self.crumbs[1].setText(found[0].name if found else "")
        self.crumbs[1].setVisible(of_job and found is not None)
        self._gaps[1].setVisible(of_job and found is not None)
        if of_job and self._job:
            self.crumbs[2].setText(f"{self._job.number}  {self._job.customer}, {self._job.title or self._job.job_type}")
        elif self._quoting:
            self.crumbs[2].setText("How well you quote")
        else:
            self.crumbs[2].setText(found[0].name if found else "")

    def _days_words(self) -> str:
        from_, to = self.filters.days()
        if from_ is None and to is None:
            return ""
        first = f", from {format_day_short(from_)}" if from_ else ","
        return first + (f" to {format_day_short(to)}" if to else " on")

    # Down and back.

    def show_quoting(self) -> None:
        """Show how well quotes hold."""
        self._quoting, self._job = True, None
        self._show()

    def open_group(self, key: str) -> None:
        """Show the jobs of a group of the present grouping; TOTAL for every closed job."""
        self._group_key, self._job = key, None
        self._show()
        if self._showing(self._group_view):
            self.group.waterfall.setFocus()

    def _open_job(self, job: JobResult) -> None:
        self._job = job
        self._show()
        self.job.begin()

    def go_back(self) -> None:
        """One step up: from a job to its group, from a group to the overview."""
        if self._quoting:
            self._to_overview()
        elif self._job is not None:
            self._job = None
            self._show()
            _begin(self.group.jobs if self._group_key is not None else self.overview.worst)
        elif self._group_key is not None:
            self._to_overview()

    def _to_group(self) -> None:
        self._job = None
        self._show()

    def _to_overview(self) -> None:
        key, self._group_key, self._job, self._quoting = self._group_key, None, None, False
        self._show()
        self.overview.groups.setFocus()
        if key is not None:
            self.overview.groups.select_id(key)

    # Out.

    def _export_workbook(self) -> None:
        from_, to = self.filters.days()
        name = f"Margins {(to or self.desk.today()).year}.xlsx"
        if path := self.exporting.ask(self, "Save the workbook", name, "Workbook (*.xlsx)"):
            self.exporting.write_workbook(path, from_, to)

    def _export_csv(self) -> None:
        from desktop.books.csv_file import write_jobs_csv, write_margins_csv

        shown, found = self._margins, self._found_group()
        if shown is None:
            return
        name = f"Margins by {GROUPINGS[shown.by].lower()}.csv" if found is None else "Jobs.csv"
        path = self.exporting.ask(self, "Save the table as CSV", name, "Comma-separated values (*.csv)")
        if path is None:
            return
        if found:
            self.exporting.write_csv(path, lambda to: write_jobs_csv(found[1], to))
        else:
            self.exporting.write_csv(path, lambda to: write_margins_csv(shown, to))


def _begin(table: QWidget) -> None:
    """Put the cursor on the first row when there is none yet, so that the arrow keys start somewhere."""
    table.setFocus()
    model = table.model()  # type: ignore[attr-defined]
    if not table.currentIndex().isValid() and model.rowCount():  # type: ignore[attr-defined]
        table.setCurrentIndex(model.index(0, 0))  # type: ignore[attr-defined]
