"""The look of a field that was not understood, or that is asked about."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget


def mark_wrong(widget: QWidget, wrong: bool, asks: bool = False) -> None:
    """Give a field the look of one that was not understood, or that is asked about, or take it away."""
    state = "asks" if wrong and asks else wrong
    if (widget.property("wrong") or False) != state:
        widget.setProperty("wrong", state)
        widget.style().unpolish(widget)
        widget.style().polish(widget)
