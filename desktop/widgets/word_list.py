"""The list that opens beneath what one types: what fits best first, and nothing chosen before one chooses.

    words = WordList(line_edit); words.set_words(["Permit", "Travel"]); words.open_whole()
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtWidgets import QCompleter, QLineEdit

from domain.choosing import NameList

MOST_OFFERED = 200
"""More than anybody reads; what fits best is among them."""


class WordList(QCompleter):
    """A completer that ranks by `domain.choosing` instead of filtering."""

    def __init__(self, line: QLineEdit, words: Sequence[str] = ()) -> None:
        super().__init__(line)
        self._words: list[str] = []
        self._names = NameList(())
        self._offered = QStringListModel(self)
        self.setModel(self._offered)
        self.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.setMaxVisibleItems(14)
        self.set_words(words)
        line.textEdited.connect(self.rank)
        self._line = line

    def set_words(self, words: Sequence[str]) -> None:
        """Offer these from now on."""
        self._words = list(words)
        self._names = NameList(self._words)

    def rank(self, text: str) -> None:
        """Offer what fits this text, best first."""
        places = [place for _, place in self._names.ranks(text)[:MOST_OFFERED]]
        self._offered.setStringList([self._words[place] for place in places])

    def splitPath(self, path: str) -> list[str]:
        """All that is offered fits already: nothing is filtered out again."""
        return [""]

    def open_whole(self) -> None:
        """Open the whole list, as a click on a list box does; typing goes on in the line."""
        self._offered.setStringList(self._words)
        self.setCompletionPrefix("")
        self.complete()
