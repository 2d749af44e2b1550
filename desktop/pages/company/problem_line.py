"""A line beneath fields that stand side by side: what is wrong with one of them. Its place is always kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from desktop.widgets.error_line import ErrorLine


class ProblemLine(ErrorLine):
    """Shows the first problem of its fields."""

    def __init__(self, fields: Sequence[Any]) -> None:
        super().__init__()
        self._fields = [field for field in fields if hasattr(field, "problem_changed")]
        for field in self._fields:
            field.problem_changed.connect(lambda _: self._tell())

    def _tell(self) -> None:
        self.say(next((field.problem() for field in self._fields if field.problem()), ""))
