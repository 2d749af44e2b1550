"""The paper as the customer will read it, in the window; made anew when the quote has changed."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.queries.papers import latest_paper_of, paper_pdf
from db.queries.proposals import proposal_facts
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.widgets.pdf_view import PaperView
from domain.quoting.proposal import ProposalFacts, paper_name


class PreviewTab(QWidget):
    """The proposal or change order in a PaperView; `paper` has zoom, save and open."""

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self.paper: PaperView | None = None
        self._facts: ProposalFacts | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 8, 12)

    def show_paper(self, visible: bool) -> None:
        """Make the paper when it is looked at and differs from the one shown."""
        if not visible:
            return
        with self.editing.desk.read() as conn:
            facts = proposal_facts(conn, self.editing.quote.id)
            if facts == self._facts:
                return
            quote = self.editing.quote
            kept = latest_paper_of(conn, quote.kind, quote_id=quote.id) if quote.sent_on else None
            pdf = paper_pdf(conn, kept)[1] if kept is not None else b""  # as it was sent
        from desktop.papers import proposal_pdf

        self._facts = facts
        if self.paper is None:
            self.paper = PaperView()
            self.paper.saved.connect(lambda path: self.editing.desk.say(f"Saved {path}", "good"))
            self.paper.failed.connect(lambda reason: self.editing.desk.say(reason, "error"))
            self._column.addWidget(self.paper)
        self.paper.show_paper(pdf or proposal_pdf(facts), paper_name(facts))
