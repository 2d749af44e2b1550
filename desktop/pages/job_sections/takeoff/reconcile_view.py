"""What taking the list into the quote would do, row by row, to be read and switched before it is applied."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QVBoxLayout, QWidget

from desktop.widgets.cards import Notice, button, label
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.job_takeoff.reconciliation import Reconciliation, Row
from domain.job_takeoff.reconciling_words import (
    RowSaid,
    answers_given,
    caution_words,
    counted_cost,
    counted_words,
    said_of,
    standing_cost,
    standing_words,
    summary_words,
    tone_of,
    totals_words,
)

THE_KEYS = (
    "Space or a click on the first column switches a row. Enter takes it into the {into}, Escape leaves all as it was."
)
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
COLUMNS = [
    Column("answer", "What becomes of it", width=150, tooltip="Click, or press Space, for the next choice"),
    Column("standing", "Usual, or on the quote", width=150, stretch=3),
    Column("before", "Costs", "right", width=96),
    Column("counted", "Counted", width=150, stretch=3, tooltip="By the takeoff, as it stands now"),
    Column("after", "Costs", "right", width=96),
    Column("why", "Why", width=170, stretch=4),
]


class RowsToSwitch(RowsTable):
    """The rows; Space switches the current one, Enter applies all, Escape leaves.

    Signals:
        switched: a row is wanted to have its next answer.
        applied, left: the keys that end the reading.
    """

    switched = Signal(object)
    applied = Signal()
    left = Signal()

    def __init__(self, model: RowsModel) -> None:
        super().__init__(model, name="What becomes of each line")
        self.setSortingEnabled(False)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setSortIndicatorShown(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.clicked.connect(self._clicked)

    def _clicked(self, index: QModelIndex) -> None:
        if index.column() == 0:
            self.switched.emit(self.rows_model().row_at(index.row()))

    def _double_clicked(self, index: QModelIndex) -> None:
        """A double click is two clicks; it applies nothing."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key == Qt.Key.Key_Space and self.current_row() is not None:
            self.switched.emit(self.current_row())
        elif key in ENTER:
            self.applied.emit()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


class ReconcileView(QWidget):
    """The page that is read before a list is taken into the quote.

    Signals:
        applied: take it as it stands now.
        left: leave everything as it was.
    """

    applied = Signal()
    left = Signal()

    def __init__(self, into: str = "quote") -> None:
        super().__init__()
        self.into = into
        self.own: Reconciliation | None = None  # as the program has it
        self.made: Reconciliation | None = None  # with what was switched
        self._said: dict[str, RowSaid] = {}
        self.table = RowsToSwitch(_model(lambda row: self._said[row.key], into))
        self.table.set_empty("Nothing to take", "Neither usual lines nor counted ones.")
        self.table.switched.connect(self.switch)
        self.table.applied.connect(self.applied)
        self.table.left.connect(self.left)
        self.before, self.after, self.change = label("", "strong"), label("", "strong"), label("", "strong")
        self.summary = label("", "small", "soft", wrap=True)
        self.caution = Notice("caution")
        self.apply = button(f"Take into the {into}", self.applied.emit, "primary", "right", "Enter")
        self.back = button("Leave it as it was", self.left.emit, "quiet", tip="Escape")
        self._arrange()

    def _arrange(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(6)
        totals = (("Before", self.before), ("after", self.after), ("change", self.change))
        for words, value in totals:
            head.addWidget(label(words, "small", "soft"))
            head.addWidget(value)
        head.addStretch(1)
        head.addWidget(self.back)
        head.addWidget(self.apply)
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 6, 16, 10)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self.summary)
        column.addWidget(self.table, 1)
        column.addWidget(self.caution)  # below the rows, which so stay where they are
        column.addWidget(label(THE_KEYS.format(into=self.into), "small", "faint", wrap=True))

    @property
    def answers(self) -> dict[str, str]:
        """The rows that were switched."""
        return answers_given(self.made, self.own) if self.made is not None and self.own is not None else {}

    def show_rows(self, own: Reconciliation) -> None:
        """Show these rows; what was switched in the same rows stays switched."""
        answers, afresh = self.answers, self.made is None
        known = {row.key: row.answers for row in own.rows}
        self.own = own
        self.made = own.answered({key: one for key, one in answers.items() if one in known.get(key, ())})
        self._show()
        if own.rows and (afresh or self.table.current_row() is None):
            self.table.select_id(own.rows[0].key)
            self.table.scrollToTop()

    def forget(self) -> None:
        """Begin anew the next time."""
        self.own = self.made = None

    def switch(self, row: Row) -> None:
        """The next answer of a row."""
        if self.made is not None:
            self.made = self.made.switched(row.key)
            self._show()

    def keep_typed(self) -> None:
        """Keep all that was typed or changed by hand."""
        if self.made is not None:
            self.made = self.made.with_what_was_typed()
            self._show()
            self.table.setFocus()

    def count_once(self) -> None:
        """Take what is counted of what would be charged twice, and nothing else of it."""
        if self.made is not None:
            self.made = self.made.counted_once()
            self._show()
            self.table.setFocus()

    def _show(self) -> None:
        made = self.made
        if made is None:
            return
        self._said = said_of(made, self.own or made)
        self.table.rows_model().set_rows(made.rows)
        for shown, words in zip((self.before, self.after, self.change), totals_words(made), strict=True):
            shown.setText(words)
        self.summary.setText(summary_words(made))
        action = ("Keep what was typed", self.keep_typed) if made.over_typed else None
        if made.twice:
            action = ("Count each once", self.count_once)
        self.caution.set_words("caution", caution_words(made), action)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves from the buttons as well; Enter on one presses it."""
        if event.key() == Qt.Key.Key_Escape or (event.key() in ENTER and self.back.hasFocus()):
            self.left.emit()
        elif event.key() in ENTER and self.apply.hasFocus():
            self.applied.emit()
        else:
            super().keyPressEvent(event)


def _columns(into: str) -> list[Column]:
    """A change order is read beside what was sold."""
    if into == "quote":
        return COLUMNS
    names = {"standing": "Sold so far", "counted": "All of it now"}
    return [replace(one, title=names.get(one.key, one.title)) for one in COLUMNS]


def _model(said: Callable[[Row], RowSaid], into: str) -> RowsModel:
    return RowsModel(
        _columns(into),
        text={
            "answer": lambda row: said(row).words, "standing": standing_words, "before": standing_cost,
            "counted": counted_words, "after": counted_cost, "why": lambda row: said(row).reason,
        },
        tone={
            "answer": lambda row: "over" if said(row).twice else tone_of(row), "why": lambda _: "ink_soft",
            "standing": lambda row: "" if row.keeps else "ink_faint",
            "before": lambda row: "" if row.keeps else "ink_faint",
            "counted": lambda row: "" if row.takes else "ink_faint",
            "after": lambda row: "" if row.takes else "ink_faint",
        },
        tip={"answer": lambda row: said(row).words, "why": lambda row: said(row).reason},
        row_id=lambda row: row.key,
    )  # fmt: skip
