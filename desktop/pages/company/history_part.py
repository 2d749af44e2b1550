"""Who changed what: every step that was saved, newest first, with what it changed in words."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from db.queries.books.history import PAGE, HistoryRow, history
from db.queries.calendar import job_of_number
from desktop.desk import Desk
from desktop.pages.company.part import Part
from desktop.widgets.cards import Card, Notice, SearchBox, button, label, panes
from desktop.widgets.form import TextField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_moment


class HistoryPart(Part):
    """A page of steps; the one under the cursor is told in full beside the list."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Journal", "Every step as it was saved on this computer. A step that was undone or is"
            " final says so.",
        )  # fmt: skip
        self._rows: list[HistoryRow] = []
        self.search = SearchBox("Words of the step")
        self.search.searched.connect(lambda _: self.refresh())
        self.job = TextField("Job number")
        only_asks(self.job)
        self.job.setAccessibleName("Only what changed the job with this number")
        self.job.setFixedWidth(150)
        self.job.edited.connect(lambda _: self.refresh())
        self.problem = Notice("caution")
        self.table = RowsTable(_model(), "Steps")
        self.table.set_empty("No step like that", "Try fewer words, or leave the job out.")
        self.table.current_changed.connect(self._show)
        self.search.target = self.table
        self.words = label("", "body", "", wrap=True)
        self.words.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.more = button("Older steps", self.show_older, "quiet", "down")
        line = QHBoxLayout()
        line.addWidget(self.search, 1)
        line.addWidget(label("Job", "body", "soft"))
        line.addWidget(self.job)
        self._column.addLayout(line)
        self.add(self.problem)
        self.told = Card("What it changed")
        self.told.add(self.words, 1)
        self.add(panes(self.table, self.told, (3, 2), Qt.Orientation.Horizontal), 1)
        foot = QHBoxLayout()
        foot.addWidget(self.more)
        foot.addStretch(1)
        self._column.addLayout(foot)

    def refresh(self) -> None:
        self._rows = self._page(None)
        self._fill()

    def _page(self, before: int | None) -> list[HistoryRow]:
        number = self.job.text().strip()
        with self.desk.read() as conn:
            job_id = job_of_number(conn, number) if number else None
            self.problem.set_words("caution", "" if job_id or not number else f"There is no job {number}.")
            found = history(conn, words=self.search.text(), job_id=job_id, before=before)
        self.more.setEnabled(len(found) == PAGE)
        return found

    def _fill(self) -> None:
        self.table.rows_model().set_rows(self._rows)
        self._show(self.table.current_row())

    def show_older(self) -> None:
        """Add the next page beneath."""
        if self._rows:
            self._rows += self._page(self._rows[-1].id)
            self._fill()

    def _show(self, row: HistoryRow | None) -> None:
        self.told.header.set_words(row.label if row else "What it changed")
        self.words.setText(row.words if row else "Choose a step in the list.")


def _model() -> RowsModel:
    return RowsModel(
        [
            Column("day", "When", width=176),
            Column("label", "Step", stretch=2),
            Column("changes", "Rows", "right", width=60),
            Column("state", "", width=90, kind="state"),
        ],
        text={
            "day": lambda row: format_moment(row.made_at),
            "changes": lambda row: str(row.changes) if row.changes else "–",
            "state": lambda row: "undone" if row.undone else "final" if row.final else "",
        },
        sort_key={"day": lambda row: row.id, "changes": lambda row: row.changes},
        tone={"state": lambda row: "caution" if row.undone else "info"},
        row_id=lambda row: row.id,
    )
