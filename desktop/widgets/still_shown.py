"""Beneath a field that says which data stands below: while its words cannot be read, what is still shown."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject

from desktop.widgets.error_line import FloatingError


def tell_still_shown(field: Any) -> None:
    """Say it from now on, whenever the field has a problem; nothing is made before."""

    def say(problem: str) -> None:
        label = getattr(field, "still_shown", None)
        if label is None and problem:
            label = field.still_shown = StillShown(field.window(), field)
        if label is not None:
            label.say(still_shown(field, problem) if problem else "")

    field.problem_changed.connect(say)


def still_shown(field: Any, problem: str) -> str:
    """``“abc” is no day. Shown is still Thu, Nov 12, 2026.``"""
    value = field.value()
    if value in (None, ""):
        return f"{problem} What is shown stays as it was."
    if hasattr(field, "values"):
        words = field.itemText(field.values().index(value)) if value in field.values() else str(value)
    else:
        words = field._show(value)
    return f"{problem} Shown is still {words}."


class StillShown(FloatingError):
    """Floats over what is below, and goes with its field."""

    def _is_wide(self) -> bool:
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Hide:
            self.hide()
        elif event.type() == QEvent.Type.Show and self.text():
            self.show()
            self.place()
        return super().eventFilter(watched, event)
