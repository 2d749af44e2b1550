"""The log of one job on one day: opens on today, ready to type."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from db.commands.jobs import reopen_job
from db.commands.log import cancel_timer, flag_unquoted, start_timer, stop_timer
from db.commands.quotes import start_change_order
from db.edit import Edit
from db.queries.firm import day_rates, firm
from db.queries.log_page import LogPage, log_page
from desktop.clock import logged_words
from desktop.desk import COMPANY, JOBS, Desk
from desktop.pages.job_sections.log.costs_panel import CostsPanel
from desktop.pages.job_sections.log.day_strip import DayStrip, TotalsStrip
from desktop.pages.job_sections.log.entries import EntriesCard
from desktop.pages.job_sections.log.foot import LogFoot
from desktop.pages.job_sections.log.hours_panel import HoursPanel
from desktop.pages.job_sections.log.materials_panel import MaterialsPanel
from desktop.pages.job_sections.log.not_sure import NotSure
from desktop.pages.page import Section
from desktop.widgets.cards import Notice, column, scroll_page
from domain.dates import format_day
from domain.log_day import LogTotals, has_budget, log_totals
from domain.log_entry import day_problem
from domain.money import format_money
from domain.units import format_clock, format_minutes

SIDE_BY_SIDE = 1080
"""From this width on, materials stand beside the hours rather than below them."""


class LogSection(Section):
    """See the module's first line."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.day = desk.today()
        self._person_id = 0
        self._page: LogPage | None = None
        self.days = DayStrip(desk.today)
        self.totals = TotalsStrip()
        self.notice = Notice()
        self.unquoted = Notice("caution")
        self.foot = LogFoot()
        self.hours = HoursPanel(desk)
        self.materials = MaterialsPanel(desk)
        self.costs = CostsPanel(desk)
        self.entries = EntriesCard(desk)
        self._arrange()
        self.not_sure = NotSure(
            self.foot, [self.hours.table, self.materials.table, self.costs.table, self.entries.table],
            lambda _entry: self.hours.table.setFocus(),
        )  # fmt: skip
        self._shown_on: dict[int, tuple[date, date]] = {}  # of a job: the day last shown, on which evening
        self._connect()

    def _arrange(self) -> None:
        self._left, self._right = column(self.hours, self.costs, None), column(self.materials, None)
        self._pair = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._pair.setSpacing(12)
        self._pair.addWidget(self._left, 1)
        self._pair.addWidget(self._right, 1)
        body = QWidget()
        parts = QVBoxLayout(body)
        parts.setContentsMargins(24, 4, 24, 20)
        parts.setSpacing(12)
        parts.addLayout(self._pair)
        parts.addWidget(self.entries)
        parts.addStretch(1)
        self._scroll = scroll_page(body)
        top = QWidget()  # stands still, so that the totals are seen while one types further down
        head = QVBoxLayout(top)
        head.setContentsMargins(24, 4, 24, 8)
        head.setSpacing(8)
        for part in (self.days, self.totals, self.notice):
            head.addWidget(part)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(top)
        outer.addWidget(self._scroll, 1)
        self.foot.hold(self.hours.causes, self.unquoted)
        outer.addWidget(self.foot)

    def _connect(self) -> None:
        self.days.day_chosen.connect(self.show_day)
        self.days.person_chosen.connect(self._choose_person)
        self.days.stepped.connect(self.hours.table.setFocus)  # what is typed next are hours, not the arrow once more
        self.desk.new_day.connect(self._stay)
        self.days.clock.clicked.connect(self._clock_clicked)
        self.days.cancel.clicked.connect(self.cancel_clock)
        self.hours.typing.connect(self._typing)
        self.hours.person_asked.connect(self._next_person)
        self.hours.clock_asked.connect(self._turn_clock)
        self.hours.table.current_changed.connect(lambda _row: self._show_clock())
        tables = [self.hours.table, self.materials.table, self.costs.table]
        for place, table in enumerate(tables):
            table.day_asked.connect(self.days.step)
            table.left.connect(lambda end, here=place: self._pass_on(tables, here, end))
            table.selectionModel().currentChanged.connect(lambda *_, one=table: self._keep_in_sight(one))

    # Showing.

    def show_job(self, job_id: int) -> None:
        """Turn to this job, on today, or on the day that was shown there on this evening."""
        self.day = self._last_day(job_id)
        self.days.day.reset(self.day)  # a day refused on another job is not asked for here
        self._person_id = 0
        super().show_job(job_id)
        if self.isVisible():
            QTimer.singleShot(0, self._take_focus)

    def show_day(self, day: date) -> None:
        """Turn to another day of the same job; one that has not come is refused, and what was typed stays."""
        if problem := day_problem(day, day, self.desk.today()):
            self.days.refuse(problem)
            self.desk.say(f"{problem} Shown is still {format_day(self.day)}.", "caution")
            return
        self.days.refuse("")
        self.day = day
        self._shown_on[self.job_id] = (day, self.desk.today())
        self.refresh()

    def show_refused(self, where: str) -> None:
        """Turn to a day (``2026-11-03``, then the id of a person) and there to what could not be taken."""
        day, _, person_id = where.partition(" ")
        if person_id.isdigit():
            self._person_id = int(person_id)
        self.show_day(date.fromisoformat(day))
        self.not_sure.go_to_refused()
        QTimer.singleShot(0, self.not_sure.go_to_refused)  # after the cursor of a page that is just shown

    def _last_day(self, job_id: int) -> date:
        day, evening = self._shown_on.get(job_id, (self.desk.today(), self.desk.today()))
        return day if evening == self.desk.today() else self.desk.today()

    def _stay(self, before: date) -> None:
        """Midnight has passed: the evening that is being logged stays on its day, and the head says so."""
        self.days.stay_on(self.day if self.day == before else None)
        self.days.show_day(self.day)

    def refresh(self) -> None:
        """Read everything shown again, keeping focus and whatever is half typed."""
        if not self.job_id:
            return
        with self.desk.read() as conn:
            self._page = page = log_page(conn, self.job_id, self.day)
        people = [one for one in page.lists.people if not one.archived] or page.lists.people
        if self._person_id not in [one.id for one in people]:
            self._person_id = people[0].id if people else 0
        self.days.show_day(self.day)
        self.days.show_people(people, self._person_id)
        self.hours.show_page(page, self._person_id)
        self.materials.show_page(page)
        self.costs.show_page(page)
        self.entries.show_page(page)
        self._show_totals(0)
        self._show_clock()
        self.not_sure.show_page(page, self._person_id)

    def _typing(self, minutes: int) -> None:
        self._show_totals(minutes)

    def _show_totals(self, typed_minutes: int) -> None:
        if self._page is None:
            return
        page = self._page
        rate = page.rates.person_cents.get(self._person_id, page.rates.owner_cents) + page.rates.overhead_cents
        totals = log_totals(
            page.budget, page.log, page.so_far, page.day, typed_minutes, rate, page.purchase_tax_percent
        )
        self.totals.show_totals(totals)
        if not typed_minutes:
            self._show_notices(page, totals)

    def _show_notices(self, page: LogPage, totals: LogTotals) -> None:
        if page.job.closed_on is not None:
            self.notice.set_words(
                "info", f"Closed on {format_day(page.job.closed_on)}: the log is complete.", ("Reopen", self._reopen)
            )
        elif not page.rates.owner_cents:
            self.notice.set_words(
                "caution", "What an hour costs is not set yet, so hours count as nothing.",
                ("Set it", lambda: self.desk.go(COMPANY, None, "hour")),
            )  # fmt: skip
        elif not has_budget(page.budget):
            self.notice.set_words(
                "info", "No accepted quote yet, so there is nothing to compare with. What is logged now still counts."
            )
        else:
            self.notice.set_words("info", "")
        self._show_unquoted(page, totals)
        self.foot.choose()

    def _show_unquoted(self, page: LogPage, totals: LogTotals) -> None:
        if not totals.unquoted_entries or not has_budget(page.budget) or page.is_closed:
            self.unquoted.set_words("caution", "")
            return
        spent = f"{format_minutes(totals.unquoted_minutes)}, " if totals.unquoted_minutes else ""
        words = f"Not quoted so far: {spent}{format_money(totals.unquoted_cents)} at cost."
        if page.open_change_order:
            action = ("See the change order", lambda: self.desk.go(JOBS, self.job_id, "quote"))
        else:
            action = ("Make a change order of it", self.make_change_order)
        self.unquoted.set_words("caution", words, action)

    def _show_clock(self) -> None:
        page = self._page
        if page is None:
            return
        clock = page.clock
        runs_here = clock is not None and clock.timer.job_id == page.job.id
        self.days.cancel.setVisible(runs_here)
        if clock is not None and runs_here:
            hour, minute = int(clock.timer.started_at[11:13]), int(clock.timer.started_at[14:16])
            self.days.clock.setText(f"Stop the clock: {clock.task}, since {format_clock(hour * 60 + minute)}")
            self.days.clock.setEnabled(True)
            return
        task_id = getattr(self.hours.table.current_row(), "task_id", None)
        name = next((task.name for task in page.lists.tasks if task.id == task_id), "")
        self.days.clock.setText(f"Start the clock: {name}" if name else "Start the clock")
        self.days.clock.setEnabled(bool(name) and not page.is_closed)

    # Who, and the clock.

    def _choose_person(self, person_id: int) -> None:
        self._person_id = person_id
        self.refresh()
        self.hours.table.setFocus()

    def _next_person(self) -> None:
        if self._page is None:
            return
        ids = [one.id for one in self._page.lists.people if not one.archived]
        if self._person_id in ids:
            self._choose_person(ids[(ids.index(self._person_id) + 1) % len(ids)])

    def _clock_clicked(self) -> None:
        page = self._page
        if page is not None and page.clock is not None and page.clock.timer.job_id == page.job.id:
            self._stop_clock()
        else:
            self._turn_clock(getattr(self.hours.table.current_row(), "task_id", 0))

    def _turn_clock(self, task_id: int) -> None:
        """Start the clock on a task, or stop it when it runs there."""
        page = self._page
        if page is None or not task_id:
            return
        clock = page.clock
        if clock is not None and (clock.timer.job_id, clock.timer.task_id) == (page.job.id, task_id):
            self._stop_clock()
            return
        name = next((task.name for task in page.lists.tasks if task.id == task_id), "the task")
        now = self.desk.now()
        self.desk.do(
            f"Start the clock on {name}", lambda edit: start_timer(edit, page.job.id, task_id, self._person_id, now),
            say=f"The clock runs on {name}, also while the program is closed.", undo=True,
        )  # fmt: skip

    def _stop_clock(self) -> None:
        now, clock = self.desk.now(), self._page.clock if self._page is not None else None
        said = logged_words(clock.timer.started_at, now.date()) if clock is not None else ""
        self.desk.do("Stop the clock", lambda edit: stop_timer(edit, now), say=said, undo=True)

    def cancel_clock(self) -> None:
        """Stop the clock and log nothing."""
        self.desk.do("Cancel the clock", cancel_timer, say="The clock is stopped, nothing was logged.", undo=True)

    # Other acts.

    def make_change_order(self) -> None:
        """Write a change order from what is marked as not quoted, and go to it."""
        today, job_id = self.desk.today(), self.job_id
        with self.desk.read() as conn:
            rates, settings = day_rates(conn, today), firm(conn)

        def write(edit: Edit) -> int:
            flag_unquoted(edit, job_id)
            return start_change_order(edit, job_id, today, rates, settings, title="Work not in the proposal")

        made = self.desk.do(
            "Make a change order of what was not quoted", write,
            say="A change order is written from what was not quoted. Price it and send it.", undo=True,
        )  # fmt: skip
        if made is not None:
            self.desk.go(JOBS, job_id, "quote")

    def _reopen(self) -> None:
        job_id = self.job_id
        self.desk.do("Reopen the job", lambda edit: reopen_job(edit, job_id), say="The job is open again.", undo=True)

    # Focus.

    def _pass_on(self, tables: list, here: int, end: int) -> None:  # type: ignore[type-arg]
        """Below the last row of one table comes the first of the next, and the other way round."""
        if 0 <= here + end < len(tables):
            tables[here + end].enter_at(end)
        elif end > 0 and self.entries.table.model().rowCount():
            self.entries.table.setFocus()

    def _keep_in_sight(self, table: QWidget) -> None:
        if table.hasFocus():
            spot = table.visualRect(table.currentIndex()).center()  # type: ignore[attr-defined]
            at = table.viewport().mapTo(self._scroll.widget(), spot)  # type: ignore[attr-defined]
            self._scroll.ensureVisible(at.x(), at.y(), 40, 70)

    def showEvent(self, event: QShowEvent) -> None:
        """Open with the cursor on the first cell to type into."""
        super().showEvent(event)
        if not event.spontaneous() and self.job_id:
            if self.day != (day := self._last_day(self.job_id)):
                self.show_day(day)
            QTimer.singleShot(0, self._take_focus)

    def _take_focus(self) -> None:
        now = self.window().focusWidget()
        if self.isVisible() and not (now is not None and self._scroll.isAncestorOf(now)):
            self.hours.table.setFocus(Qt.FocusReason.OtherFocusReason)
            self._keep_in_sight(self.hours.table)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE
        self._pair.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
