"""The words of the paper: scope, what is not included, warranty, high results, cautions, terms."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from db.commands.quotes import set_pricing, set_texts
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.scope_printing import ScopePrinting
from desktop.widgets.cards import Card, label, scroll_page
from desktop.widgets.form import NotesField, TextField

FIELDS = (
    ("scope_text", "What we will do", "the work in the customer's words; a line that begins with - is a point"),
    ("not_included_text", "What is not included", "each line a point"),
    ("above_action_text", "If the result is not below the action level", "what you do then, and at whose cost"),
    ("warranty_text", "Warranty", "as you give it"),
    ("caution_text", "Please note", "dust, noise, smells, flues, electricity, lead paint: what people should know"),
    ("terms_text", "Terms", "payment, changes, permits"),
)


class TextsTab(QWidget):
    """A field for each text of the proposal; each saves itself."""

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self.title = TextField("a short name, for yourself")
        self.title.setAccessibleName("Name of this version")
        editing.saver.bind(
            self.title, "Name the quote", lambda edit, v: set_pricing(edit, editing.quote.id, title=v), editing.record
        )
        self.fields: dict[str, NotesField] = {}
        card = Card("On the paper", "what stood in the firm's and the job type's texts when this version was begun")
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(10)
        for number, (name, words, hint) in enumerate(FIELDS):
            field = self.fields[name] = NotesField(hint, lines=7 if name == "scope_text" else 5)
            field.setAccessibleName(words)
            editing.saver.bind(field, f"Write {words.lower()}", self._writer(name), editing.record)
            wide = name == "scope_text"
            row, side = (0, 0) if wide else ((number + 1) // 2, (number + 1) % 2)
            whole = _labelled(words, field)
            if wide:
                self.scope = ScopePrinting(editing)
                field.textChanged.connect(lambda: self.scope.show_promised(self.fields["scope_text"].toPlainText()))
                whole.layout().addWidget(self.scope)
            grid.addWidget(whole, row, side, 1, 2 if wide else 1, Qt.AlignmentFlag.AlignTop)
        card.add(_labelled("Name", self.title))
        card.add(grid)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 16)
        column.addWidget(card)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))

    def _writer(self, name: str) -> Any:
        return lambda edit, text: set_texts(edit, self.editing.quote.id, **{name: text})

    def show_texts(self, fresh: bool) -> None:
        """Show the stored texts; `fresh`: another quote is shown than before."""
        quote = self.editing.quote
        self.title.setReadOnly(quote.frozen)
        if fresh:
            self.title.reset(quote.title)
        self.editing.saver.show(self.title, quote.title)
        for name, field in self.fields.items():
            field.setReadOnly(quote.frozen)
            if fresh:
                field.reset(getattr(quote, name))
            self.editing.saver.show(field, getattr(quote, name))
        self.scope.show_printing(self.fields["scope_text"].toPlainText())


def _labelled(words: str, field: QWidget) -> QWidget:
    box = QWidget()
    column = QVBoxLayout(box)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(3)
    name = label(words, "body", "soft")
    name.setBuddy(field)
    column.addWidget(name)
    column.addWidget(field)
    return box
