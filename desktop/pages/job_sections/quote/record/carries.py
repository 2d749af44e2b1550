"""In the price panel, at a glance: how many of ten jobs like it this price would lose money on, and what holds."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import label, set_tone
from domain.job_price import carries_sentence, floor_sentence, goodwill_sentence, short_chance_words, ten_dots
from domain.money import format_money
from domain.units import format_percent


class CarryLines(QWidget):
    """Does this price carry the job? Two rows of ten dots, then the middle case and the prices to know."""

    def __init__(self, seen: QuoteOutlook) -> None:
        super().__init__()
        self.seen = seen
        self.loss, self.target = label("", "small"), label("", "small")
        self.holds, self.goodwill = label("", "small", wrap=True), label("", "small", "goodwill", wrap=True)
        self._loss_dots, self._target_dots = label("", "small"), label("", "small")
        self._target_name = label("", "small", "soft")
        self._odds = QWidget()
        grid = QGridLayout(self._odds)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(1)
        grid.setColumnStretch(2, 1)
        for row, parts in enumerate(
            (
                (label("Loses money", "small", "soft"), self._loss_dots, self.loss),
                (self._target_name, self._target_dots, self.target),
            )
        ):
            for place, part in enumerate(parts):
                grid.addWidget(part, row, place)
            parts[2].setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self._odds)
        column.addSpacing(2)
        for part in (self.holds, self.goodwill):
            part.setAlignment(Qt.AlignmentFlag.AlignLeft)
            column.addWidget(part)
        seen.changed.connect(self.show_outlook)

    def show_outlook(self) -> None:
        """What the price does to jobs like this one."""
        outlook = self.seen.outlook
        if outlook is None or not outlook.hours.quoted_minutes:
            self.hide()
            return
        self.show()
        self._odds.setVisible(outlook.tells_odds)
        set_tip(self, "Of ten jobs like it, as finished jobs end" if outlook.tells_odds else "")
        given = goodwill_sentence(outlook)
        self.goodwill.setText(given)
        self.goodwill.setVisible(bool(given))
        said = [carries_sentence(outlook), floor_sentence(outlook)]
        if not outlook.tells_odds:
            self.holds.setText(" ".join(["No odds yet: too few finished jobs of this type.", *said]).strip())
            return
        said.insert(1, f"{format_money(outlook.price_without_loss())} holds in 8 of 10.")
        self.holds.setText(" ".join(said).strip())
        lost, reached = outlook.loss_chance, outlook.target_chance
        self._loss_dots.setText(ten_dots(lost))
        self.loss.setText(short_chance_words(lost))
        self._target_name.setText(f"Reaches {format_percent(outlook.target_percent)}")
        self._target_dots.setText(ten_dots(reached))
        self.target.setText(short_chance_words(reached))
        for part in (self.loss, self._loss_dots):
            set_tone(part, "over" if lost >= 0.5 else "")
