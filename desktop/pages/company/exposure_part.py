"""The exposure log of all jobs: each person's twelve months beside the limit, and every entry of the last years."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout

from db.queries.exposure_log import ExposureLog, exposure_log
from desktop.books.exposure_csv import write_exposure_csv
from desktop.desk import JOBS, Desk
from desktop.pages.company.paper_stack import save_csv
from desktop.pages.company.part import Part
from desktop.widgets.cards import Card, button, label
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.closeout.exposure import format_wlm, formula_words
from domain.dates import format_day_short
from domain.units import format_minutes, format_percent, format_radon
from domain.units.numbers import plain

PURPOSE = (
    "What those who work below houses have breathed, by hours and level. It is noted on the job, under Closeout, where"
    " the hours of its log are offered. A reading of your own at work says more than the test before it."
)
YEARS = ((1, "the last 12 months"), (3, "3 years"), (20, "20 years"))


class ExposurePart(Part):
    """Sums, the entries behind them, and the formula with its sources."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk, "Exposure log", PURPOSE)
        self._log: ExposureLog | None = None
        self.sums = label("", "strong", "", wrap=True)
        self.years = ChoiceField(YEARS, required=True)
        only_asks(self.years)
        self.years.setAccessibleName("Years shown")
        self.years.reset(1)
        self.years.edited.connect(lambda _: self.refresh())
        self.save = button("Save as CSV…", self._save, "plain", "save")
        line = QHBoxLayout()
        line.addWidget(self.years)
        line.addStretch(1)
        line.addWidget(self.save)
        self.table = RowsTable(self._model(), "Exposure log")
        self.table.set_empty(
            "Nothing noted", "Hours in a crawl space or basement are noted on the job they belong to, under Closeout.",
            "Jobs", lambda: desk.go(JOBS, "list"),
        )  # fmt: skip
        self.table.row_activated.connect(
            lambda row: desk.go(JOBS, row.entry.job_id, "closeout") if row.entry.job_id else None
        )
        self.formula = label("", "small", "soft", wrap=True)
        card = Card()
        card.add(self.sums)
        card.add(line)
        card.add(self.table, 1)
        card.add(self.formula)
        self.add(card, 1)

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("day", "Day", width=124),
                Column("person", "Who", width=112, stretch=1),
                Column("job_number", "Job", width=80),
                Column("place", "Where", width=140, stretch=2),
                Column("minutes", "Hours", "right", width=80),
                Column("level", "Level", "right", width=94),
                Column("level_from", "Level from", width=120, stretch=1, gives_way=True),
                Column("equilibrium", "Equilibrium", "right", width=90),
                Column("wlm", "Exposure", "right", width=110),
            ],
            text={
                "day": lambda row: format_day_short(row.entry.day),
                "minutes": lambda row: format_minutes(row.entry.minutes),
                "level": lambda row: format_radon(row.entry.level, self._log.radon_unit if self._log else "pCi/L"),
                "level_from": lambda row: row.entry.level_from,
                "equilibrium": lambda row: format_percent(row.entry.equilibrium_percent),
                "wlm": lambda row: format_wlm(row.wlm),
            },
            sort_key={
                "day": lambda row: row.entry.day, "minutes": lambda row: row.entry.minutes,
                "level": lambda row: row.entry.level, "wlm": lambda row: row.wlm,
            },
            row_id=lambda row: row.entry.id,
        )  # fmt: skip

    def refresh(self) -> None:
        with self.desk.read() as conn:
            log = self._log = exposure_log(conn, self.desk.today(), self.years.value() or 1)
        self.sums.setText("\n".join(f"{one.name}: {one.words}" for one in log.sums))
        self.sums.setVisible(bool(log.sums))
        self.table.rows_model().set_rows(log.entries)
        self.save.setEnabled(bool(log.entries))
        self.formula.setText(
            f"{formula_words(log.rules)} Limit of {plain(log.rules.limit.value)} WLM: {log.rules.limit.note} "
            f"Weekly average of {plain(log.rules.week_level.value)} pCi/L: {log.rules.week_level.note} "
            f"Keep the log {plain(log.keep_years)} years. Where you work another limit may count."
        )

    def _save(self) -> None:
        log = self._log
        if log is not None:
            save_csv(self.desk, self, "Exposure log.csv", lambda path: write_exposure_csv(log, path))
