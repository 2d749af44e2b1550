"""How well you quote: by job type and over time, what underbids cost, and how far the record can be believed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.desk import Desk
from desktop.pages.learning import SuggestionsCard
from desktop.pages.margins.over_time import OverTimeCard
from desktop.record_shelf import shelf_of
from desktop.widgets.backtest_plot import BacktestPlot
from desktop.widgets.cards import Card, EmptyPage, label, scroll_page
from desktop.widgets.full_table import FullTable
from desktop.widgets.late import once_nobody_types
from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.table import Column, RowsModel
from domain.costing import JobResult
from domain.costing.over import clearly_over
from domain.money import format_money
from domain.quoting_record import (
    SHOWN_TESTS,
    TypeRecord,
    believe_words,
    by_type,
    rules,
    underbids,
)
from domain.track_record import Backtest
from domain.units import format_minutes, format_share

LEGEND = (
    "Each line is a job: where 8 of 10 jobs like it were expected to end, worked out only from jobs finished before "
    "it was quoted; the tick is the middle. A dot is what it took; a triangle ended outside."
)
COMPARED = (
    "The times are of the jobs compared, in the hours the record learns from: a task answered as not done is left out. "
    "Where none could be compared yet, they are all that was quoted and logged."
)
NO_HISTORY = (
    "There is no history yet. Once five jobs with a quote are closed, this page shows how quotes hold, what finished "
    "jobs would have said beforehand, and how often they would have been right. Until then a stated default stands "
    "in: 8 of 10 jobs end between about half and twice the quoted hours."
)


class QuotingView(QWidget):
    """A view of Margins."""

    def __init__(self, desk: Desk, results: Callable[[], Sequence[JobResult]]) -> None:
        super().__init__()
        self.desk = desk
        self.shelf = shelf_of(desk)
        self._results = results
        self._scale, self._reading = 1.0, True
        self.under = label("", "body", wrap=True)
        self.types, self.over_time = self._type_table(), OverTimeCard()
        self.believe, self.note = label("", "body", wrap=True), label(LEGEND, "small", "soft", wrap=True)
        self.plot = BacktestPlot()
        self.rules = FullTable(
            RowsModel(
                [Column("rule", "Correcting by", stretch=1), Column("off", "Off on the average", "right", width=170)],
                text={"rule": lambda row: row[0], "off": lambda row: format_share(row[1])},
                row_id=lambda row: row[0], strong=lambda row: row[0] == "The record",
            ),
            "The record against plain rules",
        )  # fmt: skip
        self.suggestions = SuggestionsCard(desk)
        self.empty = EmptyPage("No finished jobs to learn from", NO_HISTORY, icon_name="margins")
        self._cards = [
            _card("Believe it?", "the record tried on your own past", self.believe, self.plot, self.note, self.rules),
            _card("By job type", "the same jobs three times: quoted, with the record, as they ended",
                  self.under, self.types, label(COMPARED, "small", "soft", wrap=True)),
            self.over_time,
            self.suggestions,
        ]  # fmt: skip
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 4, 28, 24)
        column.setSpacing(12)
        for part in (self.empty, *self._cards):
            column.addWidget(part)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        self.shelf.changed.connect(self._again)

    def _type_table(self) -> FullTable:
        return FullTable(
            RowsModel(
                [
                    Column("job_type", "Job type", stretch=1),
                    Column("jobs", "Jobs", "right", width=64, tooltip="Closed, with a quote, fully logged"),
                    Column("tested", "Compared", "right", width=92, tooltip="So many of them could be forecast from"
                           " jobs finished before: the three times are theirs"),
                    Column("quoted", "Quoted", "right", width=92),
                    Column("corrected", "Corrected", "right", width=100),
                    Column("actual", "Actual", "right", width=92),
                    Column("bar", "", kind="bar", width=170, tooltip="Quoted and actual hours; the tick is what the "
                           "record would have said"),
                    Column("under", "Underbid, 12 months", "right", width=160,
                           tooltip="Cost beyond the quote of the jobs that went beyond it"),
                    Column("hour", "Per own hour", "right", width=116),
                ],
                text={
                    "tested": self._compared,
                    "quoted": lambda row: self._time(row.quoted_minutes),
                    "corrected": lambda row: self._time(row.corrected_minutes) if row.tested else "–",
                    "actual": lambda row: self._time(row.actual_minutes),
                    "under": lambda row: format_money(row.under_cents) if row.under_cents else "–",
                    "hour": lambda row: format_money(row.hour.per_hour_cents) if row.hour else "–",
                },
                sort_key={
                    "jobs": lambda row: row.jobs, "tested": lambda row: row.tested,
                    "quoted": lambda row: row.quoted_minutes,
                    "corrected": lambda row: row.corrected_minutes, "actual": lambda row: row.actual_minutes,
                    "under": lambda row: row.under_cents,
                    "hour": lambda row: row.hour.per_hour_cents if row.hour else None,
                },
                bar={"bar": self._bar},
                tone={
                    "actual": lambda row: "over"
                    if not self._reading and clearly_over(row.actual_minutes, row.quoted_minutes) else "",
                    "hour": lambda row: "over" if row.hour and row.hour.short_cents > 0 else "",
                },
                tip={"hour": lambda row: f"An own hour costs {format_money(row.hour.burdened_cents)}" if row.hour
                     else ""},
                row_id=lambda row: row.job_type,
            ),
            "Quoted, corrected and actual by job type",
        )  # fmt: skip

    def _compared(self, row: TypeRecord) -> str:
        return "reading…" if self._reading else str(row.tested) if row.tested else "none"

    def _time(self, minutes: int) -> str:
        """A dash for what is not known: while the finished jobs are read, and where there is no time."""
        return format_minutes(minutes) if minutes and not self._reading else "–"

    def _bar(self, row: TypeRecord) -> tuple[float, ...] | None:
        if self._reading or not row.quoted_minutes:
            return None
        known = (row.corrected_minutes, row.corrected_minutes) if row.tested else ()
        return row.quoted_minutes, row.actual_minutes, self._scale, *known

    def show_quoting(self) -> None:
        """Everything, as the finished jobs stand."""
        learned = self.shelf.look()
        results, today = self._results(), self.desk.today()
        self._reading = learned is None
        backtest = learned.backtest if learned else Backtest(())
        there = learned is None or learned.hours.jobs > 0
        self.empty.setVisible(not there)
        for card in self._cards:
            card.setVisible(there)
        if not there:
            return
        lately = backtest.last(SHOWN_TESTS)
        words = "Reading the finished jobs…" if learned is None else believe_words(backtest)
        self.believe.setText(words)
        self.plot.set_tests(lately.tests, words)
        self.rules.rows_model().set_rows(rules(backtest))
        for part in (self.plot, self.note, self.rules):
            part.setVisible(bool(lately.tests))
        self.under.setText(underbids(results, today).words)
        types = by_type(results, backtest.tests, today)
        self._scale = common_scale([(row.quoted_minutes, row.actual_minutes) for row in types])
        self.types.rows_model().set_rows(types)
        self.over_time.show_jobs(results, backtest.tests, sorted(row.job_type for row in types))
        self.suggestions.show_suggestions()

    def _again(self) -> None:
        if self.isVisible():
            once_nobody_types(self, self.show_quoting)


def _card(title: str, note: str, *parts: QWidget) -> Card:
    card = Card(title, note)
    for part in parts:
        card.add(part)
    return card
