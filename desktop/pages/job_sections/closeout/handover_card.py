"""What is missing before the pack is handed over, and the pack and the label themselves."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QPushButton, QWidget

from db.queries.closeout import CloseoutPage
from desktop.desk import Desk
from desktop.widgets.cards import Card, FlowLayout, button, label
from domain.closeout.handover import LABEL_SIZES, Missing, missing_parts

ALL_THERE = "Everything the pack speaks of is noted."


class HandoverCard(Card):
    """The list of missing parts, each a way to where it is entered; then the papers."""

    def __init__(
        self, desk: Desk, go_to: Callable[[Missing], object], look: Callable[[], object],
        issue: Callable[[], object], show_label: Callable[[int], object], write_letter: Callable[[], object],
        keep_label: Callable[[], object],
    ) -> None:  # fmt: skip
        super().__init__("Hand over", "the pack for the house and its next owner")
        self._go_to = go_to
        self.look = button("Look at the pack", look, "plain", "paper", tip="Ctrl+P")
        self.issue = button("Hand over the pack…", issue, "primary", "check",
                            tip="Keeps the pack for good, exactly as it is handed over")  # fmt: skip
        self.letter = button("Letter…", write_letter, "plain", "paper",
                             tip="For the buyer, an agent or an inspector: the system and its tests")  # fmt: skip
        self.labels = [
            button(f"Label {words}", lambda n=n: show_label(n), "plain", "paper",
                   tip="The system label at its real size: print it at 100%")
            for n, (words, _, _) in enumerate(LABEL_SIZES)
        ]  # fmt: skip
        self.keep_label = button("Keep the label…", keep_label, "quiet", "archive",
                                 tip="Keeps the label among the papers as it was put up")  # fmt: skip
        self.words = label("", "body", "soft", wrap=True)
        place = QWidget()
        self._links = FlowLayout(place, spacing=6)
        self.issued = label("", "small", "soft", wrap=True)
        doing = QWidget()
        line = FlowLayout(doing, spacing=8)
        for one in (self.look, self.issue, self.letter, *self.labels, self.keep_label):
            line.addWidget(one)
        for part in (self.words, place, doing, self.issued):
            self.add(part)
        self._shown: list[Missing] = []
        self._buttons: list[QPushButton] = []

    def show_page(self, page: CloseoutPage, issued: str) -> None:
        """Show what is missing, and when a pack was handed over last."""
        missing = missing_parts(page.facts)
        number = len([one for one in missing if one.needed])
        more = len(missing) - number
        self.words.setText(
            f"The pack would say that {number} {'part is' if number == 1 else 'parts are'} not noted"
            f"{f'; {more} more can be added' if more else ''}:" if number else ALL_THERE
        )  # fmt: skip
        self.issued.setText(issued)
        self.issued.setVisible(bool(issued))
        if missing == self._shown:
            return
        self._shown = missing
        for gone in self._buttons:
            self._links.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        self._buttons = []
        for one in missing:
            words = one.part[:1].upper() + one.part[1:] + ("" if one.needed else " (left out)")
            link = button(words, lambda one=one: self._go_to(one), "quiet", "right")
            link.setAccessibleDescription("Goes to where it is entered")
            self._links.addWidget(link)
            self._buttons.append(link)
