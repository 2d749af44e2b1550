"""How a paper is typed in: its card, what is wrong with it beneath, its buttons last; the whole scrolls."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desktop.widgets.cards import Card, Notice, scroll_page


def fill_entry_page(host: QWidget, card: Card, problem: Notice, actions: QHBoxLayout) -> None:
    """Lay a form out in `host`."""
    inside = QWidget()
    column = QVBoxLayout(inside)
    column.setContentsMargins(0, 0, 8, 8)
    column.setSpacing(10)
    column.addWidget(card)
    column.addWidget(problem)
    column.addLayout(actions)
    column.addStretch(1)
    outer = QVBoxLayout(host)
    outer.setContentsMargins(0, 0, 0, 0)
    outer.addWidget(scroll_page(inside))
