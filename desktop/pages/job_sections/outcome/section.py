"""The outcome of a job: at a glance, as a waterfall, and row by row."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from db.queries.outcome import JobOutcome, job_outcome
from desktop.desk import JOBS, Desk
from desktop.pages.job_sections.outcome.closing_card import ClosingCard
from desktop.pages.job_sections.outcome.head import OutcomeHead
from desktop.pages.job_sections.outcome.judged import JudgedCard
from desktop.pages.job_sections.outcome.price_side import PriceSide
from desktop.pages.job_sections.outcome.progress import ProgressCard
from desktop.pages.job_sections.outcome.rows import (
    MATERIALS,
    OTHER,
    PART_OF_STEP,
    TIME,
    OutcomeRow,
    outcome_rows,
    waterfall_steps,
)
from desktop.pages.learning import SuggestionsCard
from desktop.pages.page import Section
from desktop.record_shelf import shelf_of
from desktop.widgets.cards import Card, EmptyPage, Notice, button, scroll_page, segments
from desktop.widgets.flow import start_at_top
from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.table import Column, RowsModel, RowsTable
from desktop.widgets.waterfall import WaterfallView
from domain.costing import VarianceTree, difference_text, variance_tree
from domain.money import format_money

WIDE = 900
"""From this width on the price side stands beside the waterfall."""
ROOM_FOR_PARTS = 1500
"""From this width on the table says in a column what a difference is made of; below, the tool tip does."""


class OutcomeSection(Section):
    """Quoted against actual of one job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._shown_job = 0
        self._rows: list[OutcomeRow] = []
        self._scale = 1.0
        self._running = False
        self.head, self.closing = OutcomeHead(), ClosingCard(desk)
        self.close_button = button(
            "Close the job", self.begin_closing, "plain", "check", tip="A short review first, then it counts in Margins"
        )
        self.nothing_logged = Notice("info")
        self.waterfall = WaterfallView()
        self.waterfall.activated.connect(self._show_step)
        self.price_side = PriceSide(desk, lambda: self.job_id)
        self.judged, self.progress, self.suggestions = JudgedCard(desk), ProgressCard(desk), SuggestionsCard(desk)
        shelf_of(desk).changed.connect(self._relearned)
        self.parts = segments(
            [("", "Everything"), (TIME, "Time"), (MATERIALS, "Materials"), (OTHER, "Other costs")],
            self._show_part,
            "Rows",
        )
        self.table = RowsTable(self._model(), "Quoted and actual, row by row")
        self.table.set_empty("Nothing here", "No quoted or logged row belongs to this part.")
        self.table.heights_changed.connect(self._fit)
        self._arrange()
        self.closing.left.connect(self.refresh)

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("name", "What", stretch=1),
                Column("quoted", "Quoted", "right"),
                Column("actual", "Actual", "right"),
                Column("quoted_cents", "Quoted cost", "right"),
                Column("actual_cents", "Actual cost", "right"),
                Column("bar", "", kind="bar", width=120, tooltip="Quoted and actual cost, all rows in one scale"),
                Column("cents", "Difference", "right", tooltip="Favorable is positive"),
                Column("verdict", "", kind="state", width=130),
                Column("made_of", "Made of", tooltip="Time or quantity at the quoted rate, and the rate itself"),
            ],
            text={
                "quoted_cents": lambda row: format_money(row.quoted_cents),
                "actual_cents": lambda row: format_money(row.actual_cents),
                "cents": lambda row: difference_text(row.cents),
                "verdict": lambda row: row.word(running=self._running),
            },
            sort_key={
                "quoted_cents": lambda row: row.quoted_cents,
                "actual_cents": lambda row: row.actual_cents,
                "cents": lambda row: row.cents,
                "verdict": lambda row: row.cents,
            },
            bar={"bar": lambda row: (row.quoted_cents, row.actual_cents, self._scale)},
            tone={
                "cents": lambda row: row.tone(running=self._running),
                "verdict": lambda row: row.tone(running=self._running) or "plain",
                "quoted": _quoted_tone,
            },
            tip={"cents": lambda row: row.made_of, "verdict": lambda row: row.made_of},
            row_id=lambda row: row.id,
        )

    def _arrange(self) -> None:
        self._waterfall_card = Card("From quoted to actual margin", "favorable to the right")
        self._waterfall_card.add(self.waterfall)
        self._waterfall_card.body.addStretch(1)
        table_card = Card("Row by row")
        table_card.add_action(self.parts)
        table_card.add(self.table)
        self._pair = QHBoxLayout()
        self._pair.setSpacing(12)
        self._pair.addWidget(self._waterfall_card, 5)
        self._pair.addWidget(self.price_side, 3, Qt.AlignmentFlag.AlignTop)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 10, 28, 24)
        column.setSpacing(12)
        column.addWidget(self.closing)
        column.addWidget(self.close_button, 0, Qt.AlignmentFlag.AlignRight)
        column.addWidget(self.nothing_logged)
        column.addWidget(self.head)
        column.addLayout(self._pair)
        column.addWidget(self.judged)
        column.addWidget(self.progress)
        column.addWidget(table_card)
        column.addWidget(self.suggestions)
        column.addStretch(1)
        self.empty = EmptyPage(
            "Nothing to compare yet",
            "Here stands what the job was quoted to take beside what it took, to the cent. It needs an accepted "
            "quote, or work that was logged.",
            "Go to the quote",
            lambda: self.desk.go(JOBS, self.job_id, "quote"),
            "margins",
        )
        self.stack = QStackedWidget()
        self._scroll = scroll_page(inside)
        self.stack.addWidget(self._scroll)
        self.stack.addWidget(self.empty)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.stack)
        self._fit()

    # Showing.

    def showEvent(self, event: QShowEvent) -> None:
        """However one comes here, it opens at its top."""
        super().showEvent(event)
        if not event.spontaneous():
            start_at_top(self)

    def refresh(self) -> None:
        """Read the job again."""
        if not self.job_id:
            return
        if self.job_id != self._shown_job:
            self._shown_job = self.job_id
            self._scroll.verticalScrollBar().setValue(0)
            self.price_side.forget_typed()
            self.parts.set_value("")
        with self.desk.read() as conn:
            outcome = job_outcome(conn, self.job_id)
        tree = variance_tree(outcome.figures)
        now = self.window().focusWidget()
        reviewed = now is not None and self.closing.isAncestorOf(now)
        ended = outcome.closed_on is not None or outcome.cancelled_on is not None
        self.closing.show_job(self.job_id, closed=outcome.closed_on is not None, unanswered=outcome.unanswered)
        self.close_button.setVisible(not ended and self.closing.isHidden())
        if reviewed and (now is None or not now.isVisible()):  # closed: the cursor goes into no entry by itself
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
            self._scroll.verticalScrollBar().setValue(0)
        figures = outcome.figures
        seen = figures.sold or figures.anything_logged or outcome.write_offs
        there = bool(seen) or not self.closing.isHidden()
        self.stack.setCurrentIndex(0 if there else 1)
        if there:
            self._show(outcome, tree)

    def begin_closing(self) -> None:
        """Show the review of closing and put the cursor on the first line that wants an answer."""
        self.closing.begin(self.job_id)
        self.refresh()
        self._scroll.verticalScrollBar().setValue(0)
        self.closing.take_focus()

    def _show(self, outcome: JobOutcome, tree: VarianceTree) -> None:
        self.head.show_outcome(outcome, tree, self.closing.answers.not_done_minutes)
        logged = outcome.figures.anything_logged
        words = "" if logged else "Nothing is logged yet: this is the quoted side alone."
        self.nothing_logged.set_words("info", words, None if logged else ("Log the day", self._go_to_log))
        self.waterfall.set_steps(waterfall_steps(tree, settled=outcome.settled))
        self._waterfall_card.setVisible(logged and not outcome.running)
        self.price_side.show_outcome(outcome)
        self._show_learned(outcome, tree)
        self._rows, self._running = outcome_rows(tree), not outcome.settled
        self._scale = common_scale([(row.quoted_cents, row.actual_cents) for row in self._rows])
        self._show_part(self.parts.value())

    def _show_learned(self, outcome: JobOutcome, tree: VarianceTree) -> None:
        """What the job says about quoting: only once it is closed; where it is heading while it is open."""
        closed = outcome.closed_on is not None and outcome.cancelled_on is None
        self.judged.show_job(self.job_id, tree.quoted_minutes, tree.actual_minutes, closed=closed and outcome.settled)
        self.progress.show_job(self.job_id, outcome.figures, running=outcome.running and outcome.installed_on is None)
        self.suggestions.setVisible(closed)
        if closed:
            self.suggestions.show_suggestions(self.job_id)

    def _relearned(self) -> None:
        if self.isVisible():
            self.refresh()

    def _go_to_log(self) -> None:
        self.desk.go(JOBS, self.job_id, "log")

    def _show_part(self, part: object) -> None:
        self.table.rows_model().set_rows([row for row in self._rows if not part or row.part == part])
        self._fit()

    def _show_step(self, key: str) -> None:
        """From a step of the waterfall to the rows behind it."""
        part = PART_OF_STEP.get(key)
        if part is None:
            if key == "write_offs":
                self.price_side.amount.setFocus()
            else:
                self.desk.go(JOBS, self.job_id, "quote")
            return
        self.parts.set_value(part)
        self._show_part(part)
        self.table.setFocus()
        rows = self.table.rows_model().rows
        if rows:
            self.table.select_id(rows[0].id)

    # Fitting: the page scrolls, the table shows all its rows.

    def _fit(self) -> None:
        height = self.table.verticalHeader().defaultSectionSize()
        heading = max(self.table.horizontalHeader().sizeHint().height(), height)
        self.table.setFixedHeight(heading + self.table.rows_height(least=3) + 6)
        self.table.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        made_of = self.table.rows_model().column_of("made_of")
        self.table.setColumnHidden(made_of, self.width() < ROOM_FOR_PARTS)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        wide = self.width() >= WIDE
        self._pair.setDirection(QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom)
        self._fit()


def _quoted_tone(row: OutcomeRow) -> str:
    return "over" if row.quoted == "not quoted" else ""
