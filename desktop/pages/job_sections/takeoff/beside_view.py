"""Beside the routes: joints, pits, circuits, crawl floors, paint, offcuts, extras, and the rules counted by."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.extras_card import ExtrasCard
from desktop.pages.job_sections.takeoff.part_cards import PartCard
from desktop.pages.job_sections.takeoff.rules_card import RulesCard
from desktop.widgets.cards import scroll_page
from domain.job_takeoff.parts import TITLES


class BesideView(QWidget):
    """Cards below each other on a page that scrolls."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.cards = {kind: PartCard(editing, kind) for kind in TITLES}
        self.extras = ExtrasCard(editing)
        self.rules = RulesCard(editing)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 16)
        column.setSpacing(10)
        for card in (*self.cards.values(), self.extras, self.rules):
            column.addWidget(card)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))

    def show_beside(self) -> None:
        """Show what is kept."""
        for card in self.cards.values():
            card.show_parts()
        self.extras.show_extras()
        self.rules.show_rules()
