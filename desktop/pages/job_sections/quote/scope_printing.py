"""What is printed below the words of the scope, the quote's work and the route, and what the words promise beyond."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from db.commands.quotes import set_printing
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.widgets.cards import label
from domain.quoting.scope import listed_work, not_quoted, not_quoted_words

TICKS = (
    ("lists_work", "Print the work on this quote below it", "List the work of the quote"),
    ("shows_route", "Print the drawn route, also where the quote was not made from it", "Print the route"),
)


class ScopePrinting(QWidget):
    """Two ticks, the work as it will be listed, and what the owner's words name that is not quoted."""

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self.listed, self.promised = label("", "small", "soft", wrap=True), label("", "small", "over", wrap=True)
        self.ticks: dict[str, QCheckBox] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.promised)
        for name, words, done in TICKS:
            tick = self.ticks[name] = QCheckBox(words)
            tick.clicked.connect(lambda on, name=name, done=done: self._save(name, on, done))
            column.addWidget(tick)
            if name == "lists_work":
                column.addWidget(self.listed)

    def _save(self, name: str, on: bool, done: str) -> None:
        quote_id = self.editing.quote.id
        self.editing.save(done, lambda edit: set_printing(edit, quote_id, **{name: on}))

    def show_printing(self, text: str) -> None:
        """Show what is stored; ``text``: the words of the scope as they stand in their field."""
        quote = self.editing.quote
        proposal = quote.kind == "proposal"
        for name, tick in self.ticks.items():
            tick.setVisible(proposal)
            tick.setEnabled(not quote.frozen)
            tick.setChecked(getattr(quote, name))
        listed = ""
        if quote.lists_work:
            tasks = {pick.task.id: pick.task for pick in self.editing.page.picks.tasks} if self.editing.page else {}
            listed = quote.work_listed if quote.frozen else listed_work(self.editing.document, tasks)
        self.listed.setText("; ".join(line.removeprefix("- ") for line in listed.splitlines()))
        self.listed.setVisible(bool(listed))
        self.show_promised(text)

    def show_promised(self, text: str) -> None:
        """Say what these words name that is not on the quote, while they are typed."""
        page = self.editing.page
        if page is None or page.document is None:
            return
        tasks = [pick.task for pick in page.picks.tasks]
        draft = self.editing.quote.kind == "proposal" and not self.editing.quote.frozen
        words = not_quoted_words(not_quoted(text, self.editing.document, tasks)) if draft else ""
        self.promised.setText(words or " ")  # its place is kept: nothing moves while one types
