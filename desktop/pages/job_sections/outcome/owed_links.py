"""What a job still owes or is owed, each a link to where it is dealt with."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.queries.closing import Owed
from desktop.widgets.cards import FlowLayout, button, label


class OwedLinks(QWidget):
    """A title and the links; hidden while nothing is owed."""

    def __init__(self, go: Callable[[str], object]) -> None:
        super().__init__()
        self._go = go
        links = QWidget()
        self._flow = FlowLayout(links, spacing=6)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(label("Still owed", "strong"))
        column.addWidget(links)

    def show_owed(self, owed: Sequence[Owed]) -> None:
        """Show these."""
        while (taken := self._flow.takeAt(0)) is not None:
            if taken.widget():
                taken.widget().hide()
                taken.widget().deleteLater()
        for one in owed:
            link = button(one.words, lambda one=one: self._go(one.section), "quiet", "right")
            link.setAccessibleDescription("Goes to where it is dealt with")
            self._flow.addWidget(link)
        self.setVisible(bool(owed))

    def links(self) -> list[QWidget]:
        """The links as they stand."""
        return [self._flow.itemAt(n).widget() for n in range(self._flow.count())]
