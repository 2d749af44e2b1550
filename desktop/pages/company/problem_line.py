"""A line beneath fields that stand side by side: what is wrong with one of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QSizePolicy

from desktop.look.fonts import font


class ProblemLine(QLabel):
    """Shows the first problem of its fields, and is not there while there is none."""

    def __init__(self, fields: Sequence[Any]) -> None:
        super().__init__()
        self._fields = [field for field in fields if hasattr(field, "problem_changed")]
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(font("small"))
        self.setProperty("tone", "error")
        self.setWordWrap(True)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        for field in self._fields:
            field.problem_changed.connect(lambda _: self._tell())
        self.hide()

    def _tell(self) -> None:
        words = next((field.problem() for field in self._fields if field.problem()), "")
        self.setText(words)
        self.setVisible(bool(words))
