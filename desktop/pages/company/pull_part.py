"""The pull sheet: what to gather for the jobs of a day, from the truck or bought first."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.queries.buying.needs import DaysWork, days_work
from db.queries.firm import firm
from desktop.desk import COMPANY, JOBS, Desk
from desktop.pages.company.paper_stack import PaperStack, save_csv
from desktop.pages.company.part import Part
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import FlowLayout, Notice, button, label, tool_button
from desktop.widgets.form import DateField, SwitchField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.buying import PullLine, PullSheet, WorkJob
from domain.dates import format_day, format_day_short
from domain.units.said import held_quantity, needed_quantity


class PullPart(Part):
    """A day, its jobs to leave out or take along, and the merged list; as paper and csv."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Pull sheet",
            "What the jobs of a day still need, merged: load it from the truck, or buy it on the way. Quoted and not "
            "yet used in the log.",
        )  # fmt: skip
        self._work: DaysWork | None = None
        self._without: set[int] = set()
        self._switches: dict[int, SwitchField] = {}
        self.sheet: PullSheet | None = None
        self.show_paper = button("Paper", self.make_paper, "primary", "paper")
        self.as_csv = button("Save as CSV…", self.save_csv, icon_name="table")
        self.to_shopping = button("Shopping list", lambda: desk.go(COMPANY, "shopping"), icon_name="right")
        for one in (self.as_csv, self.to_shopping, self.show_paper):
            self.head.add_action(one)
        self.day = DateField(desk.today, required=True)
        self.day.setAccessibleName("Day")
        self.day.setFixedWidth(190)
        self.day.set_value(desk.today() + timedelta(days=1))
        self.day.edited.connect(lambda _: self.refresh())
        self.before = tool_button("left", "The day before", lambda: self._step(-1))
        self.after = tool_button("right", "The day after", lambda: self._step(1))
        self.jobs = FlowLayout(spacing=14)
        self.total = label("", "body", "soft")
        self.caution = Notice("caution")
        self.table = self._make_table()
        self.table.row_activated.connect(self._open_job)
        self.stack = PaperStack(desk, self._body(), "Back to the pull sheet")
        self.add(self.stack, 1)

    def _make_table(self) -> RowsTable:
        self.model = RowsModel(
            [
                Column("source", "From"),
                Column("code", "Code", width=86),
                Column("description", "Item", stretch=3),
                Column("take", "Load", "right", tooltip="Whole packs, or part of an opened one"),
                Column("need", "Needed", "right"),
                Column("on_hand", "On the truck", "right"),
                Column("shares", "For", stretch=1),
            ],
            text={
                "source": lambda line: line.source[:1].upper() + line.source[1:],
                "need": lambda line: needed_quantity(line.need, line.unit),
                "on_hand": lambda line: "–" if line.on_hand is None else held_quantity(line.on_hand, line.unit),
                "shares": self._shares,
            },
            sort_key={"need": lambda line: line.need, "on_hand": lambda line: line.on_hand},
            tone={
                "source": lambda line: "over" if line.buy_first else "under",
                "shares": lambda _: "ink_soft",
                "on_hand": lambda line: "error" if line.on_hand is not None and line.on_hand < 0 else "ink_soft",
            },
            tip={"source": _tip, "shares": self._shares, "description": lambda line: line.description},
            row_id=lambda line: line.key,
        )
        return RowsTable(self.model, "Pull sheet")

    def _body(self) -> QWidget:
        words = label("Jobs of", "body", "soft")
        words.setBuddy(self.day)
        line = QHBoxLayout()
        line.setSpacing(6)
        for widget in (words, self.before, self.day, self.after):
            line.addWidget(widget)
        line.addSpacing(10)
        line.addWidget(self.total, 1)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addLayout(line)
        box.addLayout(self.jobs)
        box.addWidget(self.table, 1)
        box.addWidget(self.caution)
        return body

    def show_day(self, day: date) -> None:
        """Turn to this day."""
        self.stack.leave()
        self.day.reset(day)
        self.refresh()

    def refresh(self) -> None:
        day = self._day()
        with self.desk.read() as conn:
            self._work = days_work(conn, day, day, self.desk.today())
        self._show_jobs(self._work.jobs)
        self._merge()

    def _day(self) -> date:
        day: date | None = self.day.value()
        return day or self.desk.today() + timedelta(days=1)

    def _step(self, days: int) -> None:
        self.show_day(self._day() + timedelta(days=days))

    def _show_jobs(self, jobs: tuple[WorkJob, ...]) -> None:
        """A switch a job; those that stay are kept, so that the cursor stays too."""
        wanted = {job.job_id: job for job in jobs}
        for job_id in [known for known in self._switches if known not in wanted]:
            gone = self._switches.pop(job_id)
            self.jobs.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        self._without &= set(wanted)
        for job_id, job in wanted.items():
            words = _job_words(job, self.desk.today())
            if job_id not in self._switches:
                made = SwitchField(words)
                made.edited.connect(lambda on, job_id=job_id: self._take_along(job_id, bool(on)))
                self._switches[job_id] = made
                self.jobs.addWidget(made)
                made.show()
            self._switches[job_id].setText(words)
            set_tip(self._switches[job_id], f"{job.what}, {job.street}")
            self._switches[job_id].setAccessibleName(f"{words}, {job.what}")
            self._switches[job_id].set_value(job_id not in self._without)

    def _take_along(self, job_id: int, wanted: bool) -> None:
        self._without = self._without - {job_id} if wanted else self._without | {job_id}
        self._merge()

    def _merge(self) -> None:
        assert self._work is not None
        self.sheet = self._work.pull_sheet(tuple(self._without))
        self.model.set_rows(self.sheet.lines)
        self.total.setText(_total_words(self.sheet))
        self.caution.set_words("caution", self.sheet.caution)
        for one in (self.show_paper, self.as_csv):
            one.setEnabled(bool(self.sheet.lines))
        if self._work.jobs:
            self.table.set_empty(
                "Nothing left to gather", "All that was quoted for these jobs is used, or no job is switched on."
            )
        else:
            self.table.set_empty(
                f"No job on {format_day(self._work.first)}",
                "Accepted jobs come up here on the day they are scheduled for, and while they go on.",
                "To the jobs", lambda: self.desk.go(JOBS, "list"),
            )  # fmt: skip

    def _shares(self, line: PullLine) -> str:
        return self.sheet.shares_in_words(line) if self.sheet else ""

    def _open_job(self, line: PullLine) -> None:
        self.desk.go(JOBS, line.shares[0][0], "log")

    def make_paper(self) -> None:
        """Show the sheet as it prints."""
        if self.sheet is None or not self.sheet.lines:
            return
        from desktop.papers import pull_sheet_pdf

        with self.desk.read() as conn:
            settings = firm(conn)
        self.stack.show_paper(pull_sheet_pdf(self.sheet, settings), f"Pull sheet {self.sheet.day.isoformat()}.pdf")

    def save_csv(self) -> None:
        """Ask where, and write the sheet as csv."""
        sheet = self.sheet
        if sheet is None:
            return

        def write(path: Path) -> Path:
            from desktop.books.buying_csv import write_pull_sheet_csv

            return write_pull_sheet_csv(sheet, path)

        save_csv(self.desk, self, f"Pull sheet {sheet.day.isoformat()}.csv", write)


def _job_words(job: WorkJob, today: date) -> str:
    words = f"{job.number} {job.customer}"
    if job.goes_on and job.scheduled_on:
        begun = "today" if job.scheduled_on == today else format_day_short(job.scheduled_on).partition(",")[0]
        words += f" (goes on since {begun})" if begun != "today" else " (begun today)"
    elif job.goes_on:
        words += " (goes on)"
    return words


def _total_words(sheet: PullSheet) -> str:
    jobs = "1 job" if len(sheet.jobs) == 1 else f"{len(sheet.jobs)} jobs"
    if not sheet.lines:
        return jobs if sheet.jobs else ""
    things = "1 thing" if len(sheet.lines) == 1 else f"{len(sheet.lines)} things"
    first = f"{len(sheet.to_buy)} to buy first" if sheet.to_buy else "all on the truck"
    return f"{jobs}, {things}, {first}"


def _tip(line: PullLine) -> str:
    return f"{line.source[:1].upper()}{line.source[1:]}" + (f", at {line.supplier}" if line.buy_first else "")
