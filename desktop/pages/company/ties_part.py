"""Ties: sums reached by two ways, and their differences, which are zero."""

from __future__ import annotations

from db.queries.books.ties import ties
from desktop.desk import Desk
from desktop.pages.company.adding_up import AddingUp
from desktop.pages.company.part import Part
from desktop.widgets.cards import Notice
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.money import format_money
from domain.ties import Tie, all_hold


class TiesPart(Part):
    """A row a tie; what does not come out says where to look."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Ties", "Each sum is reached by two different ways. When the difference is not zero, something is"
            " entered on one side only.",
        )  # fmt: skip
        self.adding_up = AddingUp(desk)
        self.state = Notice("good")
        self.add(self.state)
        model = RowsModel(
            [
                Column("what", "What", stretch=2),
                Column("first_words", "One way", stretch=3),
                Column("first", "", "right", width=120),
                Column("second_words", "The other way", stretch=3),
                Column("second", "", "right", width=120),
                Column("difference", "Difference", "right", width=108),
                Column("advice", "Where to look", stretch=3),
            ],
            text={
                "first": lambda tie: format_money(tie.first_cents),
                "second": lambda tie: format_money(tie.second_cents),
                "difference": lambda tie: format_money(tie.difference_cents, signed=True),
                "advice": lambda tie: "" if tie.holds else tie.advice,
            },
            sort_key={
                "first": lambda tie: tie.first_cents,
                "second": lambda tie: tie.second_cents,
                "difference": lambda tie: abs(tie.difference_cents),
            },
            tone={"difference": lambda tie: "under" if tie.holds else "over"},
            row_id=lambda tie: tie.key,
        )
        self.table = RowsTable(model, "Ties of the books")
        self.add(self.table, 1)

    def refresh(self) -> None:
        today = self.desk.today()
        self.adding_up.ask(
            "ties", lambda conn: ties(conn, today), self._show,
            lambda: self.state.set_words("info", "Adding up the books…"),
        )  # fmt: skip

    def _show(self, found: list[Tie]) -> None:
        model = self.table.rows_model()
        model.set_rows(found)
        self.table.setColumnHidden(model.column_of("advice"), all_hold(found))
        self.state.set_words(*_state(found))


def _state(found: list[Tie]) -> tuple[str, str]:
    off = [tie for tie in found if not tie.holds]
    if not off:
        return "good", f"All {len(found)} ties come out: every difference is zero."
    what = "; ".join(f"{tie.what}, {format_money(tie.difference_cents, signed=True)}" for tie in off)
    advice = " ".join(tie.advice for tie in off if tie.advice)  # in the table it may be cut
    do = "does" if len(off) == 1 else "do"
    return "caution", f"{len(off)} of {len(found)} {do} not come out: {what}. {advice}".rstrip()
