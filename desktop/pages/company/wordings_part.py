"""Words on papers: the sentences the owner may set, each with the built-in one to go back to."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.papers import set_paper_text, use_built_in_text
from db.queries.papers import own_texts
from desktop.desk import Desk
from desktop.pages.company.part import Part, attempt
from desktop.widgets.cards import Card, button, column, label
from desktop.widgets.form import NotesField
from domain.papers import PAPER_KINDS, TextPart, parts_of


class WordingsPart(Part):
    """A card for each paper that has words of its own."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Words on papers", "What your papers say besides the figures. Change a sentence here and every paper"
            " issued from now on uses it; what went out stays as it was. The texts of proposals that change from job to"
            " job are set under Name and terms.",
        )  # fmt: skip
        self.words: dict[tuple[str, str], _Words] = {}
        cards: list[QWidget | None] = []
        for kind in PAPER_KINDS:
            if parts := parts_of(kind.key):
                card = Card(kind.title)
                for part in parts:
                    self.words[part.kind, part.part] = one = _Words(desk, part)
                    card.add(one)
                cards.append(card)
        self.add_scrolling(column(*cards, None))

    def refresh(self) -> None:
        with self.desk.read() as conn:
            own = own_texts(conn)
        for key, one in self.words.items():
            one.show_words(own.get(key))


class _Words(QWidget):
    """One wording: saved when it is left, with a way back to the built-in one."""

    def __init__(self, desk: Desk, part: TextPart) -> None:
        super().__init__()
        self.desk, self.part = desk, part
        self.field = NotesField(lines=3)
        self.field.setAccessibleName(part.label)
        self.field.edited.connect(self._save)
        self.own = label("", "body", "soft")
        self.back = button("Use the built-in words", self._back, "quiet")
        self.back.setAccessibleDescription(part.label)
        head = QHBoxLayout()
        title = label(part.label, "strong")
        title.setBuddy(self.field)
        head.addWidget(title)
        head.addWidget(self.own, 1)
        head.addWidget(self.back)
        lines = QVBoxLayout(self)
        lines.setContentsMargins(0, 0, 0, 6)
        lines.addLayout(head)
        lines.addWidget(self.field)

    def show_words(self, own: str | None) -> None:
        """Show the owner's wording, or the built-in one when there is none."""
        self.back.setVisible(own is not None)
        self.own.setText("" if own is None else "your own words")
        if not self.field.hasFocus():
            self.field.reset(self.part.wording if own is None else own)

    def _save(self, typed: str) -> None:
        problem = attempt(
            self.desk, f"Change the words “{self.part.label}”",
            lambda edit: set_paper_text(edit, self.part.kind, self.part.part, typed),
        )  # fmt: skip
        if problem:  # what was typed stays in the field; Escape has nothing to lose
            self.own.setText(problem)

    def _back(self) -> None:
        if not attempt(
            self.desk, f"Use the built-in words “{self.part.label}”",
            lambda edit: use_built_in_text(edit, self.part.kind, self.part.part), undo=True,
        ):  # fmt: skip
            self.field.reset(self.part.wording)
