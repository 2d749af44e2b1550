"""Close: what is to be looked at before a month is closed, the close itself, and corrections of closed months."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from sqlalchemy import Connection

from db.commands.month_close import close_month
from db.queries.books.closing import ToLookAt, before_closing, closed, month_to_close
from db.queries.books.corrections import corrections
from db.queries.books.ties import ties
from desktop.desk import COMPANY, Desk
from desktop.pages.company.adding_up import AddingUp
from desktop.pages.company.correct_card import CorrectCard
from desktop.pages.company.part import Part, attempt
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import Card, Notice, button, panes
from desktop.widgets.form import TextField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.bookkeeping import month_name, month_of
from domain.dates import format_day_short
from domain.money import format_money

IN_SPITE = "difference"
"""The word that closes a month though the books do not come out."""


class ClosePart(Part):
    """Months are closed in order and for good; what was wrong is put right in the open month, with its reason."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Close a month", "Nothing dated in a closed month can change any more. What turns out wrong is taken"
            " back and entered right in an open month, and both ends name each other.",
        )  # fmt: skip
        self._month: str | None = None
        self._first = False
        self._open_ties: int | None = None  # None: the books are still being added up
        self.adding_up = AddingUp(desk)
        self.state = Notice("info")
        self.add(self.state)
        self.close = button("Close the month", self.ask_close, "primary", "check")
        self.head.add_action(self.close)
        self.asking = AskCard(desk)
        self.add(self.asking)
        self.looked = RowsTable(_looked_model(), "Before closing")
        self.looked.row_activated.connect(lambda row: desk.go(COMPANY, row.place))
        self.looked.set_empty("Nothing to look at", "The first invoice, bill or hour begins the books.")
        self.months = RowsTable(_months_model(), "Closed months")
        self.months.set_empty("No month is closed yet", "The first close takes all earlier months with it.")
        self.corrections = RowsTable(_corrections_model(), "Corrections")
        self.corrections.set_empty(
            "No correction yet", "An entry of a closed month that was wrong is put right here, in an open month."
        )
        self.correct = CorrectCard(desk)
        self.new = button("Correct an entry", self.correct.begin, "quiet", "edit", "An entry of a closed month")
        tables = panes(
            self._card("Before closing", self.looked), self._card("Closed months", self.months), (1, 1),
            Qt.Orientation.Horizontal,
        )  # fmt: skip
        below = self._card("Corrections", self.corrections)
        below.add_action(self.new)
        for card in (tables, below):  # a correction needs the room for its entries and its question
            self.correct.opened.connect(lambda opened, card=card: card.setVisible(not opened))
        self.add(self.correct)
        self.add(panes(tables, below, (1, 1), Qt.Orientation.Vertical), 1)

    def _card(self, title: str, table: RowsTable) -> Card:
        card = Card(title)
        card.add(table, 1)
        return card

    def refresh(self) -> None:
        today = self.desk.today()
        with self.desk.read() as conn:
            self._month, self._first = month_to_close(conn)
            done = closed(conn)
            made = corrections(conn)
        self.months.rows_model().set_rows(done)
        self.corrections.rows_model().set_rows(made)
        ready = self._month is not None and self._month < month_of(today)
        self.close.setEnabled(ready)
        self.close.setText(f"Close {month_name(self._wanted())}" if ready else "Close the month")
        self.new.setEnabled(bool(done))
        if self._month is None:
            self.state.set_words("info", "Nothing is in the books yet.")
        elif not ready:
            self.state.set_words("good", f"All before {month_name(self._month)} is closed; that month still runs.")
        if self._month is None:
            self._show_looked([])
            return
        wanted = self._wanted()
        self._open_ties = None

        def question(conn: Connection) -> list[ToLookAt]:
            off = sum(not tie.holds for tie in ties(conn, today))
            one = "tie of the books that does not come out"
            many = "ties of the books that do not come out"
            return [ToLookAt("ties", many, off, "ties", one), *before_closing(conn, wanted)]

        def waiting() -> None:
            if ready:
                self.state.set_words("info", "Adding up the books…")

        self.adding_up.ask(wanted, question, self._show_looked, waiting)

    def _show_looked(self, rows: list[ToLookAt]) -> None:
        """List what is to be looked at first."""
        self._open_ties = sum(row.count for row in rows if row.key == "ties")
        # What is open stands on top: the list is low while the close is asked for.
        self.looked.rows_model().set_rows(sorted(rows, key=lambda row: not row.count))
        if self.close.isEnabled():
            open_ones = sum(1 for row in rows if row.count)
            words = "Nothing is left to look at." if not open_ones else "Look at what is listed first."
            if self._open_ties:
                words = _ties_words(self._open_ties)
            tone = "caution" if self._open_ties else "info" if open_ones else "good"
            self.state.set_words(tone, f"{month_name(self._wanted())} is next. {words}")

    def _wanted(self) -> str:
        """The month offered: the next one; at the first close the last that is over, as earlier ones go with it."""
        if not self._first or self._month is None:
            return self._month or ""
        today = self.desk.today()
        before = month_of(today.replace(day=1).fromordinal(today.replace(day=1).toordinal() - 1))
        return max(self._month, before)

    def ask_close(self) -> None:
        """Ask once more, as it cannot be undone."""
        if self._open_ties is None:
            self.state.set_words("info", "The books are still being added up; close the month when that is done.")
            return
        month, off = self._wanted(), self._open_ties
        earlier = (
            f" {month_name(self._month)} and all months after it are closed with it."
            if self._first and self._month and self._month != month
            else ""
        )
        self.asking.ask(
            f"Close {month_name(month)}",
            f"This cannot be undone.{earlier}{_second_word(off)}",
            [
                ("Note", TextField("optional, e.g. bank statement checked"), ""),
                *([("In spite of it", TextField(IN_SPITE, required=True), "")] if off else []),
            ],
            f"Close {month_name(month)} for good" if not off else f"Close {month_name(month)} with the difference",
            lambda values: self._close(month, values[0], *values[1:]),
        )  # fmt: skip

    def _close(self, month: str, note: str, word: str = IN_SPITE) -> str:
        if word.strip().casefold() != IN_SPITE:
            return f"Nothing is closed. Type {IN_SPITE} to close with the difference, or look at the ties first."
        today = self.desk.today()
        return (
            attempt(
                self.desk, f"Close {month_name(month)}",
                lambda edit: close_month(edit, month, today, note, today=today), say=f"{month_name(month)} is closed.",
            )
            or ""
        )  # fmt: skip


def _ties_words(off: int) -> str:
    does = "1 tie of the books does" if off == 1 else f"{off} ties of the books do"
    return f"{does} not come out. See Ties first."


def _second_word(off: int) -> str:
    keeps = f"The month would keep the difference for good. Type {IN_SPITE} to close it all the same."
    return f" {_ties_words(off)} {keeps}" if off else ""


def _looked_model() -> RowsModel:
    return RowsModel(
        [Column("count", "", "right", width=64), Column("words", "What is open", stretch=1)],
        text={"count": lambda row: str(row.count) if row.count else "none", "words": lambda row: row.what},
        sort_key={"count": lambda row: row.count},
        tone={"count": lambda row: "over" if row.count else "under"},
        tip={"words": lambda _: "Enter opens where it is put right"},
        row_id=lambda row: row.key,
    )


def _months_model() -> RowsModel:
    return RowsModel(
        [
            Column("month", "Month", width=140),
            Column("closed_on", "Closed on", width=122),
            Column("note", "Note", stretch=1),
        ],
        text={
            "month": lambda row: month_name(row.month),
            "closed_on": lambda row: format_day_short(row.closed_on),
        },
        sort_key={"month": lambda row: row.month, "closed_on": lambda row: row.closed_on},
        row_id=lambda row: row.id,
    )


def _corrections_model() -> RowsModel:
    def end(row: Any) -> str:
        job = f"job {row.job}, " if row.job else ""
        cents = f", {format_money(row.cents)}" if row.cents else ""
        return f"{format_day_short(row.day)}: {job}{row.words}{cents}"

    return RowsModel(
        [
            Column("made_on", "Made on", width=112),
            Column("wrong", "What was wrong", stretch=3),
            Column("right", "What stands for it", stretch=3),
            Column("reason", "Why", stretch=2),
        ],
        text={
            "made_on": lambda row: format_day_short(row.made_on),
            "wrong": lambda row: end(row.wrong),
            "right": lambda row: end(row.right),
        },
        sort_key={"made_on": lambda row: (row.made_on, row.id)},
        row_id=lambda row: row.id,
    )


