"""The lines of a quote: the part chosen, then work, materials, other costs, and the cautions of that work."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.materials import MaterialsCard
from desktop.pages.job_sections.quote.others import OthersCard
from desktop.pages.job_sections.quote.parts import PartStrip
from desktop.pages.job_sections.quote.work import WorkCard
from desktop.widgets.cards import Card, label, scroll_page
from domain.cautions import CLOSING_WORDS, survey_cautions
from domain.errors import NotUnderstood
from domain.money import format_money
from domain.quoting.price import PartPrice
from domain.units import format_minutes

ROOM_FOR_NOTES = 760


class LinesTab(QWidget):
    """Three tables, one below the other, on a page that scrolls."""

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self.parts = PartStrip(editing)
        self.work = WorkCard(editing, "Work", "minutes follow from the task and the access conditions")
        self.materials = MaterialsCard(editing, "Materials", "prices of the day, from the price list")
        self.others = OthersCard(
            editing, "Other costs", "electrical work goes to licensed trade where local code asks for it"
        )
        self.cautions = label("", "small", "soft", wrap=True)
        self.caution_card = Card("Before anyone works here")
        self.caution_card.add(self.cautions)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 16)
        column.setSpacing(10)
        for part in (self.parts, self.work, self.materials, self.others, self.caution_card):
            column.addWidget(part)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self._area = scroll_page(inside)
        outer.addWidget(self._area)
        editing.previewed.connect(self._show_sums)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for card in (self.work, self.materials, self.others):
            card.show_note(event.size().width() >= ROOM_FOR_NOTES)

    def go_to_top(self) -> None:
        """Another quote is shown: begin at its head."""
        self._area.verticalScrollBar().setValue(0)

    def show_lines(self) -> None:
        """The stored lines of the part chosen."""
        self.parts.show_parts()
        for card in (self.work, self.materials, self.others):
            card.show_lines("")
        self._show_sums()
        self._show_cautions()

    def _show_sums(self) -> None:
        try:
            price = self.editing.price()
        except NotUnderstood:
            return
        wanted = self.editing.option_id
        part = next((one for one in price.options if one.option and one.option.id == wanted), price.base)
        self._say_sums(part)

    def _say_sums(self, part: PartPrice) -> None:
        costs = part.costs
        self.work.total.setText(f"{format_minutes(costs.minutes)}   {format_money(costs.labour_cents)}")
        self.materials.total.setText(format_money(costs.materials_cents))
        self.others.total.setText(format_money(costs.other_cents))

    def _show_cautions(self) -> None:
        page = self.editing.page
        picks = [page.picks.task(line.task_id) for line in self.editing.document.labour] if page else []
        words = dict.fromkeys(pick.task.caution for pick in picks if pick is not None and pick.task.caution)
        of_house = survey_cautions(page.house) if page else []
        self.cautions.setText("\n".join((*of_house, *words, CLOSING_WORDS)))
        self.caution_card.setVisible(bool(of_house or words))
