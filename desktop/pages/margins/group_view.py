"""One group: its figures, its way from quoted to actual margin, and its jobs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from db.queries.margins import why_of_jobs
from desktop.desk import Desk
from desktop.pages.margins.tables import JobsTable, TasksTable
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, Figure, FlowLayout, label, scroll_page
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from desktop.widgets.waterfall import WaterfallStep, WaterfallView
from domain.costing import GroupMargin, GroupWhy, JobResult, at_most, difference_text, joined_steps
from domain.money import format_money
from domain.units import count_of, format_minutes, format_share, format_whole_percent

AT_ONCE = 400
"""So many jobs are added up while one waits; more in the background."""


WIDE = 1080
"""From this width on the waterfall and the tasks stand side by side."""


class GroupView(QWidget):
    """The jobs of one group."""

    def __init__(self, desk: Desk, open_job: Callable[[JobResult], object]) -> None:
        super().__init__()
        self._desk = desk
        self._asked: tuple[int, ...] = ()
        self._partly = 0  # jobs of the group that are not fully logged
        self.figures = {
            key: Figure(words)
            for key, words in (
                ("revenue", "Revenue"),
                ("margin", "Actual margin"),
                ("quoted", "Quoted margin"),
                ("median", "Median job"),
                ("lost", "At a loss"),
                ("own", "Left for an hour of your own"),
            )
        }
        self.bar = QuotedActualBar()
        self.bar.setMinimumHeight(24)
        self.bar_words = label("")
        self.waterfall = WaterfallView()
        self.adding_up = label("Adding up every entry of these jobs…", "body", "soft")
        self.sentence = label("", "strong", wrap=True)
        self.tasks = TasksTable()
        self.jobs = JobsTable("Jobs of this group")
        self.jobs.row_activated.connect(open_job)
        self._arrange()

    def _arrange(self) -> None:
        head = Card()
        shelf = QWidget()
        flow = FlowLayout(shelf, 12)
        for figure in self.figures.values():
            flow.addWidget(figure)
        line = QHBoxLayout()
        line.setSpacing(16)
        line.addWidget(label("Hours", "body", "soft"))
        line.addWidget(self.bar, 1)
        line.addWidget(self.bar_words)
        for part in (shelf, line, self.sentence, self.adding_up):
            head.add(part)
        steps = Card("From quoted to actual margin", "favorable to the right")
        steps.add(self.waterfall)
        steps.body.addStretch(1)
        tasks = Card("Where the hours went", "furthest over first")
        tasks.add(self.tasks)
        tasks.body.addStretch(1)
        jobs = Card("Jobs", "furthest under the quote first; Enter opens the job")
        jobs.add(self.jobs)
        self._why = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._why.setSpacing(12)
        self._why.addWidget(steps, 1)
        self._why.addWidget(tasks, 1)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 4, 28, 24)
        column.setSpacing(12)
        column.addWidget(head)
        column.addLayout(self._why)
        column.addWidget(jobs)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        self.waterfall.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        across = self.width() >= WIDE
        self._why.setDirection(QBoxLayout.Direction.LeftToRight if across else QBoxLayout.Direction.TopToBottom)

    def show_group(self, group: GroupMargin, jobs: Sequence[JobResult]) -> None:
        """Show a group."""
        self._show_figures(group)
        self._partly = sum(job.fully_logged is False for job in jobs)
        if self._partly:
            self.figures["revenue"].set_values(
                format_money(group.revenue_cents),
                f"{group.jobs:,} closed job{_s(group.jobs)}, {self._partly:,} not fully logged",
            )
        self.jobs.show_jobs(sorted(jobs, key=lambda job: (job.against_quote_cents, job.number)))
        ids = tuple(job.job_id for job in jobs)
        self._asked = ids
        if len(ids) <= AT_ONCE:
            with self._desk.read() as conn:
                self._show_why(ids, why_of_jobs(conn, ids))
            return
        self.adding_up.show()
        self.sentence.hide()
        self._desk.background(lambda: self._add_up(ids), lambda why: self._show_why(ids, why))

    def _add_up(self, ids: tuple[int, ...]) -> GroupWhy:
        with self._desk.read() as conn:
            return why_of_jobs(conn, ids)

    def _show_why(self, ids: tuple[int, ...], why: GroupWhy) -> None:
        if ids != self._asked:  # another group was opened meanwhile
            return
        self.adding_up.hide()
        self.sentence.setText(replace(why, not_fully_logged=self._partly).sentence)
        self.sentence.show()
        self.tasks.show_tasks(why.tasks, self._partly)
        self.waterfall.set_steps(
            [
                _total("Quoted margin", why.quoted_margin_cents),
                *(
                    WaterfallStep(step.label, step.cents, key=step.key, text=difference_text(step.cents),
                                  note=self._step_note(step.cents), tone="unsure" if self._partly else "")
                    for step in joined_steps(why.steps)
                ),
                _total("Actual margin, at most" if self._partly else "Actual margin", why.actual_margin_cents),
            ]
        )

    def _step_note(self, cents: int) -> str:
        """What nobody wrote down is no gain."""
        return "part of it may be what was not logged" if self._partly and cents > 0 else ""

    def _show_figures(self, group: GroupMargin) -> None:
        show = self.figures
        show["revenue"].set_values(format_money(group.revenue_cents), f"{group.jobs:,} closed job{_s(group.jobs)}")
        tone = "error" if group.margin_cents < 0 else ""
        show["margin"].set_values(
            at_most(format_money(group.margin_cents), group.partly, short=False),
            f"{at_most(format_share(group.margin_percent), group.partly)} of revenue", tone,
        )
        show["quoted"].set_values(
            format_money(group.quoted_margin_cents), f"{format_share(group.quoted_margin_percent)} of quoted prices"
        )
        show["median"].set_values(
            at_most(format_share(group.median_margin_percent), group.partly),
            f"{at_most(format_money(group.median_margin_cents), group.partly)} in the middle",
        )
        show["lost"].set_values(
            count_of(group.lost, "job"), f"{format_whole_percent(group.lost_percent)} of them",
            "over" if group.lost else "",
        )
        own = group.own_hour
        show["own"].setVisible(own is not None)
        if own:
            show["own"].set_values(
                at_most(format_money(own.per_hour_cents), group.partly, short=False),
                f"it costs {format_money(own.burdened_cents)}",
                "over" if own.short_cents > 0 else "" if group.partly else "under",
            )
        self.bar.set_values(group.quoted_minutes, group.actual_minutes)
        words = (
            f"quoted {format_minutes(group.quoted_minutes)}, actual {format_minutes(group.actual_minutes)}, "
            f"{format_share(group.hours_over_percent, signed=True)}"
        )
        self.bar_words.setText(words)
        self.bar.setAccessibleDescription(words)
        set_tip(self.bar, format_minutes(group.over_minutes, signed=True))


def _total(name: str, cents: int) -> WaterfallStep:
    return WaterfallStep(name, cents, "total", text=format_money(cents))


def _s(count: int) -> str:
    return "" if count == 1 else "s"
