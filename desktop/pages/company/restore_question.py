"""The question before a restore: what the backup holds, what is here, and a second press."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QPushButton

from desktop.widgets.cards import Card, button, label, row


class RestoreQuestion(Card):
    """Hidden while nothing is asked."""

    def __init__(self, restore: Callable[[], object]) -> None:
        super().__init__()
        self._words = label("", wrap=True)
        self.button: QPushButton = button("Restore it", restore, icon_name="undo")
        self.add(self._words)
        self.add(row(self.button, None))
        self.hide()

    def ask(self, words: str) -> None:
        """Ask with these words; empty ones ask nothing."""
        self._words.setText(words)
        self.setAccessibleName(words)
        self.setVisible(bool(words))

    def text(self) -> str:
        """The words now shown."""
        return self._words.text()
