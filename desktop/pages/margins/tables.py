"""The tables of the Margins page: groups, jobs and tasks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy

from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.costing import GroupMargin, JobResult, TaskSum, at_most, difference_text
from domain.dates import format_day_short
from domain.money import format_money, format_whole_dollars
from domain.units import format_minutes, format_share, format_whole_hours, format_whole_percent

TOTAL = ""
"""The key of the row that adds everything up; no group is without a name."""


def both_hours(quoted_minutes: int, actual_minutes: int) -> str:
    """Quoted and actual time in one cell: ``16 h 54 / 36 h 30``."""
    return f"{format_minutes(quoted_minutes)} / {format_minutes(actual_minutes)}"


def _lost(group: GroupMargin) -> str:
    return f"{group.lost} ({format_whole_percent(group.lost_percent)})" if group.lost else "none"


def whole_hours(quoted_minutes: int, actual_minutes: int) -> str:
    """The same of many jobs, where minutes would only be noise: ``1,359 h / 1,609 h``."""
    return f"{format_whole_hours(quoted_minutes)} / {format_whole_hours(actual_minutes)}"


class FittingTable(RowsTable):
    """A table that leaves out what is said elsewhere when there is no room for it, and is as high as its rows."""

    needs_room: tuple[tuple[int, str], ...] = ()
    """(width from which it is shown, column)."""

    def __init__(self, model: RowsModel, name: str) -> None:
        self._fitted: tuple[int, int] | None = None
        super().__init__(model, name)
        self.heights_changed.connect(lambda: self._fitted and self.fit_height(*self._fitted))

    def resizeEvent(self, event: QResizeEvent) -> None:
        for width, key in self.needs_room:
            column = self.rows_model().column_of(key)
            if self.isColumnHidden(column) is not (self.width() < width):
                self.setColumnHidden(column, self.width() < width)
        super().resizeEvent(event)

    def fit_height(self, least: int = 3, most: int = 40) -> None:
        """Take the height of the rows, so that the page scrolls and not each table in it."""
        self._fitted = (least, most)
        heading = max(self.horizontalHeader().sizeHint().height(), self.verticalHeader().defaultSectionSize())
        self.setFixedHeight(heading + self.rows_height(least, most) + 10)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)


_REVENUE = "Prices agreed less goodwill and write-offs, invoiced or not"


class GroupsTable(FittingTable):
    """Groups, and the row of all closed jobs, which stays last however the table is sorted."""

    needs_room = ((1290, "own"), (1210, "over"), (1100, "bar"), (1215, "cost"), (940, "median"))

    def __init__(self) -> None:
        self._scale = 1.0
        super().__init__(self._model(), "Margins by group")
        self.set_empty("No closed jobs in this time", "Choose another time above. A job counts here once it is closed.")

    def _model(self) -> RowsModel:
        def sums(key: str) -> Callable[[GroupMargin], Any]:
            return lambda group: None if _is_total(group) else getattr(group, key)

        return RowsModel(
            [
                Column("name", "Group", stretch=1),
                Column("jobs", "Jobs", "right"),
                Column("revenue", "Revenue", "right", tooltip=_REVENUE),
                Column("cost", "Cost", "right", tooltip="Labor, materials, other costs, tax on purchases, overhead"),
                Column("margin", "Margin", "right", tooltip="Revenue less cost"),
                Column("share", "Margin %", "right", tooltip="Margin percent: sum of margins over sum of revenue"),
                Column("median", "Median %", "right", tooltip="Margin of the job in the middle, percent of revenue"),
                Column("quoted", "Quoted %", "right", tooltip="Quoted margin over quoted price, before goodwill"),
                Column("time", "Quoted / logged", "right", tooltip="Hours: quoted with change orders / logged"),
                Column("bar", "", kind="bar", width=84, tooltip="Quoted and actual hours, all rows in one scale"),
                Column("over", "Over", "right", tooltip="Hours beyond the quote, percent of the quoted hours"),
                Column("lost", "At a loss", "right", tooltip="Jobs with a margin below nothing, and their share"),
                Column("own", "Own hour", "right", tooltip="Left for an hour of the owner's own time"),
            ],
            text={
                "name": _group_name,
                "jobs": lambda group: f"{group.jobs:,}",
                "revenue": lambda group: format_money(group.revenue_cents),
                "cost": lambda group: format_money(group.actual_cost_cents),
                "margin": lambda group: at_most(format_money(group.margin_cents), group.partly),
                "share": lambda group: at_most(format_share(group.margin_percent), group.partly),
                "median": lambda group: at_most(format_share(group.median_margin_percent), group.partly),
                "quoted": lambda group: format_share(group.quoted_margin_percent),
                "time": lambda group: whole_hours(group.quoted_minutes, group.actual_minutes),
                "over": lambda group: format_share(group.hours_over_percent, signed=True),
                "lost": _lost,
                "own": _own_hour,
            },
            sort_key={
                "name": lambda group: None if _is_total(group) else _order(group),
                "jobs": sums("jobs"),
                "revenue": sums("revenue_cents"),
                "cost": sums("actual_cost_cents"),
                "margin": sums("margin_cents"),
                "share": sums("margin_percent"),
                "median": sums("median_margin_percent"),
                "quoted": sums("quoted_margin_percent"),
                "time": sums("actual_minutes"),
                "bar": sums("over_minutes"),
                "over": sums("hours_over_percent"),
                "lost": sums("lost_percent"),
                "own": lambda group: None if _is_total(group) else _own_hour_cents(group),
            },
            bar={"bar": self._bar},
            tone={
                "margin": lambda group: "error" if group.margin_cents < 0 else "",
                "share": lambda group: "error" if group.margin_cents < 0 else "",
                "over": lambda group: _over_tone(group.over_minutes, group.partly),
                "lost": lambda group: "over" if group.lost else "",
                "own": _own_tone,
            },
            tip={
                "name": _partly_words,
                "margin": _margin_words,
                "median": lambda group: f"{format_money(group.median_margin_cents)} in the middle",
                "quoted": _quoted_words,
                "time": _time_words,
                "over": lambda group: format_minutes(group.over_minutes, signed=True),
                "own": _own_words,
            },
            row_id=lambda group: group.key,
            strong=_is_total,
        )

    def rename_first(self, title: str) -> None:
        """Head the first column with what is grouped by."""
        model = self.rows_model()
        if model.columns[0].title != title:
            model.columns = [replace(model.columns[0], title=title), *model.columns[1:]]
            model.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, 0)

    def _bar(self, group: GroupMargin) -> tuple[int, int, float]:
        if _is_total(group):  # far beyond the scale of its parts
            own = common_scale([(group.quoted_minutes, group.actual_minutes)])
            return group.quoted_minutes, group.actual_minutes, own
        return group.quoted_minutes, group.actual_minutes, self._scale

    def show_groups(self, groups: list[GroupMargin], total: GroupMargin) -> None:
        """Show these groups; the total stands beneath when there is anything to add up."""
        self._scale = common_scale([(group.quoted_minutes, group.actual_minutes) for group in groups])
        self.rows_model().set_rows([*groups, total] if groups else [])
        self.fit_height()


def _is_total(group: GroupMargin) -> bool:
    return group.key == TOTAL


def _group_name(group: GroupMargin) -> str:
    """A half-logged job is told wherever it counts: what nobody wrote down is no gain."""
    return f"{group.name} ({group.partly:,} of {group.jobs:,} not fully logged)" if group.partly else group.name


def _partly_words(group: GroupMargin) -> str:
    return f"{group.name}. {NOT_LOGGED}" if group.partly else group.name


def _margin_words(group: GroupMargin) -> str:
    words = at_most(format_money(group.margin_cents), group.partly, short=False)
    return f"{words}, quoted {format_money(group.quoted_margin_cents)}{f'. {NOT_LOGGED}' if group.partly else ''}"


def _quoted_words(group: GroupMargin) -> str:
    return f"{format_money(group.quoted_margin_cents)} of {format_money(group.quoted_price_cents)}"


def _time_words(group: GroupMargin) -> str:
    return f"quoted {format_minutes(group.quoted_minutes)}, actual {format_minutes(group.actual_minutes)}"


def _order(group: GroupMargin) -> str:
    return group.key.casefold()


def _own_hour_cents(group: GroupMargin) -> int | None:
    hour = group.own_hour
    return hour.per_hour_cents if hour else None


def _own_hour(group: GroupMargin) -> str:
    cents = _own_hour_cents(group)
    return "–" if cents is None else at_most(format_whole_dollars(cents), group.partly)


def _over_tone(over_minutes: int, partly: int) -> str:
    return "over" if over_minutes > 0 else "under" if over_minutes < 0 and not partly else ""


def _own_tone(group: GroupMargin) -> str:
    hour = group.own_hour
    return "" if hour is None else "over" if hour.short_cents > 0 else "" if group.partly else "under"


def _own_words(group: GroupMargin) -> str:
    hour = group.own_hour
    if hour is None:
        return ""
    return (
        f"{format_money(hour.per_hour_cents)} were left for each of {format_minutes(hour.minutes)} of own time; "
        f"an hour costs {format_money(hour.burdened_cents)}"
    )


class JobsTable(FittingTable):
    """Jobs with their results, furthest under the quote first unless sorted otherwise."""

    needs_room: tuple[tuple[int, str], ...] = ((1200, "price"), (1080, "day"), (980, "share"))

    def __init__(self, name: str, *, running: bool = False) -> None:
        self._scale = 1.0
        self._running = running
        self.needs_room = self.needs_room[: 2 if running else None]
        super().__init__(self._model(), name)

    def _model(self) -> RowsModel:
        day = Column("day", "Opened" if self._running else "Closed", "right")
        return RowsModel(
            [
                Column("number", "Job"),
                Column("what", "What", stretch=2),
                Column("customer", "Customer", stretch=1),
                day,
                Column("price", "Agreed", "right", tooltip=_REVENUE),
                self._quoted_column(),
                *self._result_columns(),
                Column("time", "Quoted / logged", "right", tooltip="Hours: quoted with change orders / logged"),
                Column("bar", "", kind="bar", width=110, tooltip="Quoted and actual hours in one scale"),
            ],
            text={
                "what": lambda job: (job.title or job.job_type) + (PARTLY if job.fully_logged is False else ""),
                "day": lambda job: format_day_short(self._day(job)),
                "price": lambda job: format_money(job.revenue_cents),
                "quoted": lambda job: format_money(self._quoted(job)) if job.accepted else "not quoted",
                "spent": lambda job: format_money(job.actual_cost_cents),
                "margin": lambda job: at_most(format_money(job.margin_cents), _is_partly(job)),
                "share": lambda job: at_most(format_share(job.margin_percent), _is_partly(job)),
                "against": lambda job: (
                    at_most(difference_text(job.against_quote_cents), _is_partly(job)) if job.accepted else ""
                ),
                "time": lambda job: both_hours(job.quoted_minutes, job.actual_minutes),
            },
            sort_key={
                "day": self._day,
                "price": lambda job: job.revenue_cents,
                "quoted": lambda job: self._quoted(job) if job.accepted else None,
                "spent": lambda job: job.actual_cost_cents,
                "margin": lambda job: job.margin_cents,
                "share": lambda job: job.margin_percent,
                "against": lambda job: job.against_quote_cents if job.accepted else None,
                "time": lambda job: job.actual_minutes,
                "bar": lambda job: job.over_minutes,
            },
            bar={"bar": lambda job: (job.quoted_minutes, job.actual_minutes, self._scale)},
            tone={
                "margin": lambda job: "error" if job.margin_cents < 0 else "",
                "share": lambda job: "error" if job.margin_cents < 0 else "",
                "against": _against_tone if not self._running else lambda job: "",
            },
            tip={
                "what": _about, "customer": lambda job: ", ".join(job.conditions),
                **dict.fromkeys(("margin", "share", "against"), _partly_tip),
            },
            row_id=lambda job: job.job_id,
        )

    def _quoted_column(self) -> Column:
        """Beside what is spent stands the cost that was quoted, beside the margin the margin."""
        if self._running:
            return Column("quoted", "Quoted cost", "right", tooltip="Cost of the proposal and its change orders")
        return Column("quoted", "Quoted margin", "right", tooltip="Of the proposal, before goodwill and change orders")

    def _quoted(self, job: JobResult) -> int:
        return job.budget_cost_cents if self._running else job.quoted_margin_cents

    def _result_columns(self) -> list[Column]:
        """What a job came to; while it runs only what is spent, as its margin is not known."""
        if self._running:
            return [Column("spent", "Spent so far", "right", tooltip="Cost so far, with overhead and tax on purchases")]
        return [
            Column("margin", "Margin", "right", tooltip="Actual margin"),
            Column("share", "Margin %", "right", tooltip="Actual margin, percent of what was agreed"),
            Column("against", "Difference", "right", tooltip="Actual less quoted margin"),
        ]

    def _day(self, job: JobResult) -> date:
        return job.opened_on if self._running or job.closed_on is None else job.closed_on

    def show_jobs(self, jobs: list[JobResult]) -> None:
        """Show these jobs in the order given, or as the owner has sorted them."""
        self._scale = common_scale([(job.quoted_minutes, job.actual_minutes) for job in jobs])
        self.rows_model().set_rows(jobs)
        self.fit_height()


PARTLY = " (not fully logged)"
NOT_LOGGED = "Not fully logged: what nobody wrote down looks saved, and the record does not learn from it."


def _is_partly(job: JobResult) -> bool:
    return job.fully_logged is False


def _partly_tip(job: JobResult) -> str:
    return NOT_LOGGED if _is_partly(job) else ""


def _about(job: JobResult) -> str:
    if job.fully_logged is not False:
        return job.job_type
    return f"{job.job_type}. {NOT_LOGGED}"


def _against_tone(job: JobResult) -> str:
    gained = job.against_quote_cents > 0 and job.fully_logged is not False  # what nobody wrote down is no gain
    return "over" if job.against_quote_cents < 0 else "under" if gained else ""


class TasksTable(FittingTable):
    """The tasks of a group of jobs, furthest over first."""

    needs_room = ((600, "cents"),)

    def __init__(self) -> None:
        self._scale, self._partly = 1.0, 0
        super().__init__(
            RowsModel(
                [
                    Column("task", "Task", stretch=1),
                    Column("time", "Quoted / logged", "right",
                           tooltip="Hours: quoted / logged; time that was not quoted is part of it"),
                    Column("bar", "", kind="bar", width=90, tooltip="Quoted and actual hours, all rows in one scale"),
                    Column("over", "Over", "right", tooltip="Logged beyond the quoted time"),
                    Column("cents", "Cost", "right", tooltip="Effect on the margin, favorable positive"),
                ],
                text={
                    "time": lambda task: both_hours(task.quoted_minutes, task.actual_minutes),
                    "over": lambda task: format_minutes(task.over_minutes, signed=True) if task.over_minutes else "–",
                    "cents": lambda task: difference_text(task.cents),
                },
                sort_key={
                    "time": lambda task: task.actual_minutes,
                    "bar": lambda task: task.over_minutes,
                    "over": lambda task: task.over_minutes,
                    "cents": lambda task: task.cents,
                },
                bar={"bar": lambda task: (task.quoted_minutes, task.actual_minutes, self._scale)},
                tone={"over": lambda task: _over_tone(task.over_minutes, self._partly)},
                tip={"task": _unquoted_part},
                row_id=lambda task: task.task,
            ),
            "Hours by task",
        )
        self.set_empty("No hours", "No time was quoted or logged on these jobs.")

    def show_tasks(self, tasks: tuple[TaskSum, ...], partly: int = 0) -> None:
        """Show these tasks; with jobs that are not fully logged, less than quoted is called no gain."""
        self._partly = partly
        self._scale = common_scale([(task.quoted_minutes, task.actual_minutes) for task in tasks])
        self.rows_model().set_rows(list(tasks))
        self.fit_height(most=14)


def _unquoted_part(task: TaskSum) -> str:
    return f"{format_minutes(task.unquoted_minutes)} of it without a line in the quote" if task.unquoted_minutes else ""
