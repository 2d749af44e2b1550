"""The options in the price panel: a tick beside each, to see the total with it and to accept it with."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.widgets.as_typed import set_tip
from desktop.widgets.buttons import Tick
from desktop.widgets.cards import label
from domain.money import format_money
from domain.quoting.price import PriceBuildUp


class OptionTicks(QWidget):
    """Options of the quote with their prices.

    Signals:
        ticked: the owner ticked or unticked one.
    """

    ticked = Signal()

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 0)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(0, 1)
        self._head = label("Options", "small_strong", "soft")
        self._grid.addWidget(self._head, 0, 0, 1, 2)
        self.boxes: dict[int, Tick] = {}
        self._prices: dict[int, QLabel] = {}

    def show_options(self) -> None:
        """One row an option."""
        document = self.editing.document
        wanted = [option.id for option in document.options]
        if wanted != list(self.boxes):
            self._rebuild(wanted)
        for option in document.options:
            box = self.boxes[option.id]
            box.setText(option.name)
            set_tip(box, option.description)
            box.setChecked(option.id in self.editing.ticked)
            box.setEnabled(document.quote.accepted_on is None)
        self.setVisible(bool(wanted))

    def show_prices(self, price: PriceBuildUp) -> None:
        """The price of each."""
        for part in price.options:
            if part.option is not None and part.option.id in self._prices:
                self._prices[part.option.id].setText(format_money(part.price_cents))

    def _rebuild(self, wanted: list[int]) -> None:
        for widget in (*self.boxes.values(), *self._prices.values()):
            self._grid.removeWidget(widget)
            widget.hide()
            widget.deleteLater()
        self.boxes, self._prices = {}, {}
        for row, option_id in enumerate(wanted, 1):
            box, amount = Tick(), label("")
            box.clicked.connect(lambda on, option_id=option_id: self._tick(option_id, on))
            self._grid.addWidget(box, row, 0)
            self._grid.addWidget(amount, row, 1)
            self.boxes[option_id], self._prices[option_id] = box, amount

    def _tick(self, option_id: int, on: bool) -> None:
        (self.editing.ticked.add if on else self.editing.ticked.discard)(option_id)
        self.ticked.emit()
