"""The one error a person may read: what was typed cannot be used, why, and what to do."""

from __future__ import annotations


class NotUnderstood(ValueError):
    """An entry that cannot be used.

    ``str(error)`` is a whole sentence for the person at the screen. ``typed`` keeps what they typed, so a
    form can leave it standing for correction.
    """

    def __init__(self, message: str, typed: str = "") -> None:
        super().__init__(message)
        self.typed = typed


def as_typed(text: str) -> str:
    """The text in quotation marks for use inside a message, cut short when long."""
    text = " ".join(text.split())
    return f"“{text if len(text) <= 40 else text[:39] + '…'}”"
