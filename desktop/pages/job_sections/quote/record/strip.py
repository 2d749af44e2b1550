"""Above the lines: the owner's hours beside what finished jobs expect, and the correction to take."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.pages.job_sections.quote.record.words import choice_words
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import button, label
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.job_price import expected_sentence, left_words, starter_range_sentence, take_words
from domain.units import format_minutes

ALL, PART, NONE = Decimal(100), Decimal(50), Decimal(0)


class Choices(QWidget):
    """All, half or none of the correction."""

    def __init__(self, seen: QuoteOutlook) -> None:
        super().__init__()
        self.seen = seen
        self.all = button("Take it", lambda: seen.take(ALL), "plain", "check",
                          "Put the hours finished jobs expect in place of yours, line by line")  # fmt: skip
        self.half = button("Half", lambda: seen.take(PART), "plain", None, "Go half of the way")
        self.none = button("None", lambda: seen.take(NONE), "plain", None, "Keep your own hours")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        for made in (self.all, self.half, self.none):
            row.addWidget(made)
        for made, words in ((self.all, "Take the correction"), (self.half, "Half of it"), (self.none, "None of it")):
            made.setAccessibleName(words)

    def show_choice(self) -> None:
        """Nothing to choose where the record expects what the owner does, or a choice was made."""
        kept, outlook = self.seen.kept, self.seen.outlook
        share = kept.share_percent if kept else None
        useful = outlook is not None and bool(outlook.hours.quoted_minutes) and outlook.tells_odds
        if outlook is not None and useful:
            self.all.setText(take_words(outlook))
        for made, part in ((self.all, ALL), (self.half, PART), (self.none, NONE)):
            made.setEnabled(useful and share != part)


class RecordStrip(QWidget):
    """What finished jobs say, and beside it what to do about it."""

    def __init__(self, seen: QuoteOutlook, open_view: Callable[[], object]) -> None:
        super().__init__()
        self.seen = seen
        self.wanted = True
        """The view that is shown has room for it; what is learned in the background asks, too."""
        self.setAccessibleName("What finished jobs expect")
        self.bar = QuotedActualBar(lambda minutes: format_minutes(int(minutes)))
        self.bar.setFixedWidth(150)
        self.bar.setAccessibleName("Your hours and what finished jobs expect")
        self.words = label("", "small", wrap=True)
        self.choices = Choices(seen)
        self.more = button("Why", open_view, "link", None, "The jobs behind it, line by line (Ctrl+R)")
        said = QHBoxLayout()  # beside the words what to do about them: so the first line of work stands high
        said.setContentsMargins(0, 0, 0, 0)
        said.setSpacing(12)
        said.addWidget(self.words, 1, Qt.AlignmentFlag.AlignTop)
        beside = QVBoxLayout()
        beside.setSpacing(2)
        top = QHBoxLayout()
        top.addWidget(self.bar)
        top.addStretch(1)
        top.addWidget(self.more)
        beside.addLayout(top)
        beside.addWidget(self.choices)
        said.addLayout(beside)
        self.setLayout(said)
        seen.changed.connect(self.show_outlook)

    def show_outlook(self) -> None:
        """The outlook as it stands; the row is away where there is nothing to decide."""
        outlook = self.seen.outlook
        self.setVisible(self.wanted and self.seen.speaks)
        if not self.seen.speaks:
            return
        there = outlook is not None and bool(outlook.hours.quoted_minutes)
        odds = outlook is not None and there and outlook.tells_odds
        for part, shown in ((self.bar, odds), (self.choices, odds), (self.more, there)):
            part.setVisible(shown)
        if outlook is None:
            self.words.setText("Reading the finished jobs…" if self.seen.shelf.busy else "")
            return
        hours = outlook.hours
        if not odds:
            self.words.setText(expected_sentence(outlook, self.seen.cases.jobs))
            set_tip(self.words, starter_range_sentence(outlook))
            return
        low, high = hours.band(0.8)
        top = max(high, outlook.totals.costs.minutes) * 1.05
        self.bar.set_values(outlook.totals.costs.minutes, hours.median_minutes, top, low, high)
        choice = choice_words(self.seen.kept)
        said = (expected_sentence(outlook), left_words(outlook), choice)
        self.words.setText(" ".join(part for part in said if part))
        set_tip(self.words, hours.note)
        self.choices.show_choice()
