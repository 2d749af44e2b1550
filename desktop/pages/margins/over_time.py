"""Quoted, corrected and actual over time: by year or quarter, all work or one job type, with what underbids cost."""

from __future__ import annotations

from collections.abc import Sequence

from desktop.widgets.cards import Card, label, segments
from desktop.widgets.form import ChoiceField
from desktop.widgets.full_table import FullTable
from desktop.widgets.half import only_asks
from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.table import Column, RowsModel
from domain.costing import JobResult
from domain.costing.over import clearly_over
from domain.money import format_money
from domain.quoting_periods import PeriodRecord, by_period, improving_words
from domain.track_record import JobTest
from domain.units import format_minutes, format_whole_percent

YEARS, QUARTERS = "years", "quarters"
ALL_WORK = ""


class OverTimeCard(Card):
    """A row for each year or quarter in which jobs were closed."""

    def __init__(self) -> None:
        super().__init__("Is quoting improving?", "the same jobs three times: quoted, with the record, as they ended")
        self._results: Sequence[JobResult] = ()
        self._tests: Sequence[JobTest] = ()
        self._scale = 1.0
        self.steps = segments([(YEARS, "Years"), (QUARTERS, "Quarters")], lambda _: self._show(), "By")
        self.kind = ChoiceField([(ALL_WORK, "All work")], required=True)
        only_asks(self.kind)
        self.kind.setAccessibleName("Job type")
        self.kind.setMinimumContentsLength(20)
        self.kind.set_value(ALL_WORK)
        self.kind.edited.connect(lambda _: self._show())
        self.add_action(self.kind)
        self.add_action(self.steps)
        self.words = label("", "body", wrap=True)
        self.table = self._table()
        for part in (self.words, self.table):
            self.add(part)

    def show_jobs(self, results: Sequence[JobResult], tests: Sequence[JobTest], types: Sequence[str]) -> None:
        """Take these jobs, and what would have been said of them beforehand; the choice made stays."""
        self._results, self._tests = results, tests
        chosen = self.kind.value() if self.kind.value() in types else ALL_WORK
        self.kind.set_choices([(ALL_WORK, "All work"), *((kind, kind) for kind in types)])
        self.kind.set_value(chosen)
        self._show()

    def _show(self) -> None:
        kind = self.kind.value() or None
        years = by_period(self._results, self._tests, job_type=kind)
        rows = years
        if self.steps.value() == QUARTERS:
            rows = by_period(self._results, self._tests, quarters=True, job_type=kind)
        self.words.setText(improving_words(years))
        self._scale = common_scale([(row.quoted_minutes, row.actual_minutes) for row in rows])
        self.table.rows_model().set_rows(rows)

    def _table(self) -> FullTable:
        return FullTable(
            RowsModel(
                [
                    Column("name", "Closed in", stretch=1),
                    Column("jobs", "Jobs", "right", width=60),
                    Column("over", "Ran over", "right", width=86, tooltip="Of the jobs with hours quoted and logged"),
                    Column("quoted", "Quoted", "right", width=88),
                    Column("corrected", "Corrected", "right", width=92,
                           tooltip="What the record would have said beforehand of the same jobs"),
                    Column("actual", "Actual", "right", width=88),
                    Column("bar", "", kind="bar", width=110, tooltip="Quoted and actual hours; the tick is what the "
                           "record would have said"),
                    Column("quote", "Quote off by", "right", width=108, tooltip="How far the job in the middle ended "
                           "from its quoted hours"),
                    Column("record", "Record off by", "right", width=112, tooltip="How far it ended from what the "
                           "record would have said"),
                    Column("under", "Underbid", "right", width=98,
                           tooltip="Cost beyond the quote of the jobs that went beyond it"),
                    Column("hour", "Per own hour", "right", width=108),
                ],
                text={
                    "over": lambda row: f"{row.over} of {row.timed}",
                    "quoted": lambda row: _hours(row, row.quoted_minutes),
                    "corrected": lambda row: _hours(row, row.corrected_minutes),
                    "actual": lambda row: _hours(row, row.actual_minutes),
                    "quote": lambda row: _percent(row.quote_miss), "record": lambda row: _percent(row.record_miss),
                    "under": lambda row: format_money(row.under_cents) if row.under_cents else "–",
                    "hour": lambda row: format_money(row.hour.per_hour_cents) if row.hour else "–",
                },
                sort_key={
                    "jobs": lambda row: row.jobs, "over": lambda row: row.over,
                    "quoted": lambda row: row.quoted_minutes, "corrected": lambda row: row.corrected_minutes,
                    "actual": lambda row: row.actual_minutes, "quote": lambda row: row.quote_miss,
                    "record": lambda row: row.record_miss, "under": lambda row: row.under_cents,
                    "hour": lambda row: row.hour.per_hour_cents if row.hour else None,
                },
                bar={"bar": lambda row: (row.quoted_minutes, row.actual_minutes, self._scale, row.corrected_minutes,
                                         row.corrected_minutes) if row.quoted_minutes else None},
                tone={
                    "actual": lambda row: "over" if clearly_over(row.actual_minutes, row.quoted_minutes) else "",
                    "hour": lambda row: "over" if row.hour and row.hour.short_cents > 0 else "",
                },
                tip={"hour": lambda row: f"An own hour costs {format_money(row.hour.burdened_cents)}" if row.hour
                     else ""},
                row_id=lambda row: row.name,
            ),
            "Quoted, corrected and actual over time",
        )  # fmt: skip


def _hours(row: PeriodRecord, minutes: int) -> str:
    """Hours of the jobs that could be forecast; a dash where none could."""
    return format_minutes(minutes) if row.quoted_minutes else "–"


def _percent(miss: int | None) -> str:
    return format_whole_percent(miss)
