"""Papers: everything that was handed out, newest first, each exactly as it was issued."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.queries.papers import NEWEST, issued_papers, paper_pdf
from desktop.desk import JOBS, Desk
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.company.part import Part
from desktop.widgets.cards import SearchBox, button, label
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short
from domain.papers import PAPER_KINDS, PaperRow, kind_of


class PapersPart(Part):
    """A list to search; Enter shows the paper in its place, Escape goes back."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Papers issued", "Each paper as it was handed out. Later changes to prices, texts or names never"
            " reach it.",
        )  # fmt: skip
        self.search = SearchBox("Number, customer or job")
        self.search.searched.connect(lambda _: self.refresh())
        self.kind = ChoiceField([("all", "Every kind"), *((kind.key, kind.title) for kind in PAPER_KINDS)])
        only_asks(self.kind)
        self.kind.set_value("all")
        self.kind.setAccessibleName("Kind of paper")
        self.kind.setFixedWidth(220)
        self.kind.edited.connect(lambda _: self.refresh())
        self.counted = label("", "body", "soft")
        self.table = _table()
        self.table.row_activated.connect(self.show_row)
        self.view = button("View", lambda: self.show_row(self.table.current_row()), icon_name="paper")
        self.job = button("Open the job", self._open_job, "quiet", "right")
        self.table.current_changed.connect(self._current)
        self._current(None)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        line = QHBoxLayout()
        line.addWidget(self.search, 1)
        for widget in (self.kind, self.counted, self.view, self.job):
            line.addWidget(widget)
        column.addLayout(line)
        column.addWidget(self.table, 1)
        self.stack = PaperStack(desk, body, "Back to the list")
        self.add(self.stack, 1)

    def refresh(self) -> None:
        kind = self.kind.value()
        narrowed = kind if kind and kind != "all" else ""
        with self.desk.read() as conn:
            rows = issued_papers(conn, kind=narrowed, words=self.search.text())
        self.table.rows_model().set_rows(rows)
        many = f"the newest {NEWEST}" if len(rows) == NEWEST else f"{len(rows)} paper{'' if len(rows) == 1 else 's'}"
        self.counted.setText(many if rows else "")
        if self.search.text() or narrowed:
            self.table.set_empty("No paper like that", "Try fewer words, or every kind.")
        else:
            self.table.set_empty(
                "No paper was issued yet",
                "A proposal that is sent, an invoice, a receipt or a closeout pack is kept here as it went out.",
            )

    def show_row(self, row: PaperRow | None) -> None:
        """Show a paper as it was issued."""
        if row is None:
            return
        with self.desk.read() as conn:
            kept, pdf = paper_pdf(conn, row.id)
        self.stack.show_paper(pdf, f"{kept.title}.pdf")

    def _current(self, row: PaperRow | None) -> None:
        self.view.setEnabled(row is not None)
        self.job.setEnabled(row is not None and row.job_id is not None)

    def _open_job(self) -> None:
        row = self.table.current_row()
        if row is not None and row.job_id is not None:
            self.desk.go(JOBS, row.job_id)


def _table() -> RowsTable:
    model = RowsModel(
        [
            Column("day", "Issued", width=116),
            Column("kind", "Paper", width=160),
            Column("title", "What", stretch=2),
            Column("customer", "Customer", stretch=1),
            Column("job_number", "Job", width=84),
            Column("sent_to", "Given to", width=132),
            Column("pages", "Pages", "right", width=64),
        ],
        text={
            "day": lambda row: format_day_short(row.issued_on),
            "kind": lambda row: kind_of(row.kind).title,
        },
        sort_key={"day": lambda row: (row.issued_on, row.id), "pages": lambda row: row.pages},
        row_id=lambda row: row.id,
    )
    return RowsTable(model, "Papers issued")
