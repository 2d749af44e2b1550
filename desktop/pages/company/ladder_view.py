"""A cost drawn as a ladder: each rung with what it is, what it adds, and what the hour has reached."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from desktop.look.theme import current_tokens
from desktop.widgets.cards import Notice, label
from domain.company_costs import Ladder, LadderStep
from domain.money import format_money


class LadderView(QWidget):
    """The rungs one below the other, the total, and the check that they add up."""

    def __init__(self, total_label: str, empty_text: str) -> None:
        super().__init__()
        self._total_label, self._empty_text = total_label, empty_text
        self._shown: Ladder | None = None
        self._rungs = QWidget()
        self._check = Notice("good")
        self._notes = label("", "small", "faint", wrap=True)
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(current_tokens().space.small)
        for part in (self._rungs, self._check, self._notes):
            self._box.addWidget(part)
        self._box.addStretch(1)
        self.set_ladder(None)

    def set_ladder(self, ladder: Ladder | None, sources: bool = False) -> None:
        """Draw this ladder; None says what is missing. `sources` lists where its tax figures are from."""
        if ladder is not None and ladder == self._shown:
            return
        self._shown = ladder
        fresh = self._drawn(ladder) if ladder else label(self._empty_text, "body", "soft", wrap=True)
        self._box.replaceWidget(self._rungs, fresh)
        self._rungs.hide()
        self._rungs.deleteLater()
        self._rungs = fresh
        if ladder is None:
            self._check.set_words("info", "")
            self._notes.hide()
            return
        fits = ladder.adds_up
        words = "The rungs add up to the total. " if fits else "The rungs do not add up to the total: tell us. "
        self._check.set_words("good" if fits else "error", words + ladder.check_note)
        self._notes.setText("\n".join(ladder.notes) if sources else "\n".join(ladder.notes[:2]))
        self._notes.setVisible(bool(ladder.notes))
        self._rungs.show()

    def _drawn(self, ladder: Ladder) -> QWidget:
        made = QWidget()
        grid = QGridLayout(made)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(current_tokens().space.medium)
        grid.setVerticalSpacing(current_tokens().space.tight)
        grid.setColumnStretch(0, 1)
        for column, words in ((2, "Adds"), (3, "Hour so far")):
            grid.addWidget(_figure(words, "small", "soft"), 0, column)
        top = max((step.running_cents for step in ladder.steps), default=1) or 1
        for row, step in enumerate(ladder.steps, 1):
            self._add_rung(grid, row, step, top)
        row = len(ladder.steps) + 1
        grid.addWidget(label(self._total_label, "strong"), row, 0)
        grid.addWidget(_Span(0, ladder.total_cents, top, total=True), row, 1)
        grid.addWidget(_figure(format_money(ladder.total_cents), "strong"), row, 3)
        return made

    def _add_rung(self, grid: QGridLayout, row: int, step: LadderStep, top: int) -> None:
        words = QWidget()
        box = QVBoxLayout(words)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(label(step.label, wrap=True))
        box.addWidget(label(step.explanation, "small", "soft", wrap=True))
        grid.addWidget(words, row, 0)
        middle = Qt.AlignmentFlag.AlignVCenter
        grid.addWidget(
            _Span(step.running_cents - step.cents_per_hour, step.running_cents, top), row, 1, middle
        )
        grid.addWidget(_figure(format_money(step.cents_per_hour, signed=True)), row, 2, middle)
        grid.addWidget(_figure(format_money(step.running_cents), tone="soft"), row, 3, middle)


def _figure(text: str, role: str = "body", tone: str = "") -> QLabel:
    made = label(text, role, tone)  # type: ignore[arg-type]
    made.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return made


class _Span(QWidget):
    """The piece of the hour one rung adds, on the scale of the whole."""

    def __init__(self, start: int, end: int, top: int, total: bool = False) -> None:
        super().__init__()
        self._start, self._end, self._top, self._total = start, end, top, total
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(120, current_tokens().bar_height + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        painter = QPainter(self)
        scale = (self.width() - 4) / self._top
        left, right = sorted((self._start * scale, self._end * scale))
        bar = QRectF(2 + left, 2, max(right - left, 1.5), tokens.bar_height)
        painter.setPen(QPen(QColor(tokens.line_strong), 1, Qt.PenStyle.DotLine))
        painter.drawLine(2, self.height() - 1, self.width() - 2, self.height() - 1)
        painter.fillRect(bar, QColor(tokens.accent if not self._total else tokens.actual))
        painter.setPen(QPen(QColor(tokens.quoted), 1))
        painter.drawRect(bar)
        painter.end()
