"""The first view: the jobs furthest under their quotes, the groups, and the open jobs apart."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.pages.margins.callbacks_card import CallbacksCard
from desktop.pages.margins.tables import TOTAL, GroupsTable, JobsTable
from desktop.widgets.cards import Card, label, scroll_page
from domain.costing import GROUPINGS, JobResult, Margins, furthest_under
from domain.costing.callbacks import callback_rates
from domain.money import format_money

WORST = 5


class Overview(QWidget):
    """Everything closed in the chosen time, and what is still open."""

    def __init__(self, open_group: Callable[[str], object], open_job: Callable[[JobResult], object]) -> None:
        super().__init__()
        self._shown: Margins | None = None
        self.worst = JobsTable("Furthest under the quote")
        self.worst.set_empty("No job fell short of its quote", "Every closed job earned what it was quoted to.")
        self.groups = GroupsTable()
        self.running = JobsTable("Open jobs", running=True)
        self.running.set_empty("No open jobs", "A job is open from the day its quote is accepted until it is closed.")
        for table in (self.worst, self.running):
            table.row_activated.connect(open_job)
        self.groups.row_activated.connect(lambda group: open_group(group.key))
        self.overlap = label(
            "A job counts under each of its access conditions; the last row counts every job once.",
            "small",
            "soft",
            wrap=True,
        )
        self.left_out = label("", "small", "soft", wrap=True)
        self._worst_card = Card("Furthest under the quote", "Enter opens the job")
        self._worst_card.add(self.worst)
        self._groups_card = Card("Margins", "Enter opens the jobs of a group")
        self._groups_card.add(self.groups)
        self._groups_card.add(self.overlap)
        self.callbacks = CallbacksCard()
        self._running_card = Card("Open jobs")
        self._running_card.add(self.running)
        self._running_card.add(self.left_out)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 4, 28, 24)
        column.setSpacing(12)
        for card in (self._worst_card, self._groups_card, self.callbacks, self._running_card):
            column.addWidget(card)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))

    def show_margins(self, shown: Margins, called_back: Collection[int] = ()) -> None:
        """Show these margins, with the ids of the jobs called back to; the same ones again cost nothing."""
        if shown is self._shown:
            return
        self._shown = shown
        title = GROUPINGS[shown.by]
        self._groups_card.header.set_words(f"By {title.lower()}", "Enter opens the jobs of a group")
        self.groups.rename_first(title)
        self.groups.show_groups([group for group, _ in shown.groups], replace(shown.total, key=TOTAL))
        self.overlap.setVisible(shown.overlapping)
        self.callbacks.show_rates(callback_rates(shown.closed, called_back))
        worst = furthest_under(shown.closed, WORST)
        self.worst.show_jobs(list(worst))
        self._worst_card.setVisible(bool(worst))
        self.running.show_jobs(sorted(shown.running, key=lambda job: (-job.over_minutes, job.number)))
        self._running_card.header.set_words("Open jobs", _open_words(shown))
        self.left_out.setText(_left_out_words(shown))
        self.left_out.setVisible(bool(shown.left_out))


def _open_words(shown: Margins) -> str:
    count = len(shown.running)
    if not count:
        return "not counted above"
    spent = sum(job.actual_cost_cents for job in shown.running)
    return f"{count} not counted above; {format_money(spent)} spent on them so far"


def _left_out_words(shown: Margins) -> str:
    cancelled = [job for job in shown.left_out if job.cancelled_on]
    unsold = [job for job in shown.left_out if not job.cancelled_on]
    parts = []
    if cancelled:
        parts.append(f"{_jobs(len(cancelled))} canceled with {_spent(cancelled)} of logged cost")
    if unsold:
        parts.append(f"{_jobs(len(unsold))} without an accepted quote with {_spent(unsold)} of logged cost")
    return f"Counted nowhere: {'; '.join(parts)}." if parts else ""


def _jobs(count: int) -> str:
    return f"{count:,} job{'' if count == 1 else 's'}"


def _spent(jobs: list[JobResult]) -> str:
    return format_money(sum(job.actual_cost_cents for job in jobs))
