"""The dated prices of one item, newest first, side by side."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from db.commands.price_list import remove_price
from db.queries.price_list import PriceRow
from desktop.desk import Desk
from desktop.pages.company.part import attempt
from desktop.widgets.cards import FlowLayout, label, tool_button
from domain.dates import format_day_short
from domain.money import format_unit_cost
from domain.price_list import ItemPrice

_MOST = 6
_HEIGHT = 32


class PriceHistory(QWidget):
    """A line beneath the price list: what the chosen item cost, and since when."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self._title = label("", "small", "soft")
        self._flow = FlowLayout(spacing=14)
        self._shown: list[QWidget] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(2, 0, 0, 0)
        self._title.setFixedHeight(_HEIGHT)
        row.addWidget(self._title, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(self._flow, 1)
        self.setMinimumHeight(34)

    def show_prices(self, row: PriceRow | None, prices: Sequence[ItemPrice]) -> None:
        """Show the newest few prices of this item; each but the only one can be taken away."""
        for old in self._shown:
            self._flow.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._shown = []
        self._title.setText(f"Prices of {row.item.code}:" if row else "")
        for price in prices[:_MOST]:
            self._shown.append(self._price(price, len(prices) > 1, row.item.unit if row else ""))
        if len(prices) > _MOST:
            self._shown.append(label(f"and {len(prices) - _MOST} before", "small", "faint"))
        for one in self._shown:
            self._flow.addWidget(one)
            one.show()

    def _price(self, price: ItemPrice, can_go: bool, unit: str) -> QWidget:
        made = QWidget()
        made.setFixedHeight(_HEIGHT)
        line = QHBoxLayout(made)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(2)
        words = f"{format_unit_cost(price.unit_cost)} a {unit} from {format_day_short(price.starts_on)}"
        if unit == "each":
            words = f"{format_unit_cost(price.unit_cost)} each from {format_day_short(price.starts_on)}"
        line.addWidget(label(words, "small"))
        if can_go:
            line.addWidget(tool_button("cross", f"Remove: {words}", lambda: self._remove(price)))
        return made

    def _remove(self, price: ItemPrice) -> None:
        attempt(
            self.desk, "Remove a price", lambda edit: remove_price(edit, price.id),
            say="Price removed; the one before it counts again.", undo=True,
        )  # fmt: skip
