"""What was given away on the price: goodwill as it was quoted, and write-offs, which are entered here."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.write_offs import remove_write_off, write_off
from db.queries.outcome import JobOutcome
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.widgets.cards import Card, Notice, button, label, tool_button
from desktop.widgets.form import Form, MoneyField, TextField
from domain.actuals import PriceAdjustment
from domain.dates import format_day_short
from domain.money import format_money


class PriceSide(Card):
    """Goodwill and write-offs of one job, a closed one too: money that never comes is known late."""

    def __init__(self, desk: Desk, job_id: Callable[[], int]) -> None:
        super().__init__("Given up on the price")
        self._desk, self._job_id, self._saver = desk, job_id, Autosave(desk)
        self._entries = QVBoxLayout()
        self._entries.setSpacing(2)
        self._empty = label("No goodwill was given and nothing is written off.", "body", "soft", wrap=True)
        self.amount = MoneyField(least=1)
        self.reason = TextField("why it will not be paid")
        form = Form()
        form.add("Write off", self.amount)
        form.add("Reason", self.reason)
        self.draft = Draft(desk, "write-off", {"amount": self.amount, "reason": self.reason}, job_id)
        self.enter = button("Write it off", self._write_off, "plain", "check")
        self.reason.returnPressed.connect(self._write_off)
        self.problem = Notice("caution")
        self._form = QWidget()
        column = QVBoxLayout(self._form)
        column.setContentsMargins(0, 6, 0, 0)
        column.addWidget(form)
        column.addWidget(self.problem)
        column.addWidget(self.enter, 0, Qt.AlignmentFlag.AlignRight)
        self._closed = label(
            "The job is closed: a write-off lowers what Margins says it brought, from its closing day on.",
            "small", "soft", wrap=True,
        )  # fmt: skip
        self.add(self._empty)
        self.add(self._entries)
        self.add(self._form)
        self.add(self._closed)

    def show_outcome(self, outcome: JobOutcome) -> None:
        """Show one job; what is half typed stays."""
        while (taken := self._entries.takeAt(0)) is not None:
            if taken.widget():
                taken.widget().hide()
                taken.widget().deleteLater()
        for given in outcome.goodwill:
            self._entries.addWidget(
                _line(f"Goodwill{': ' + given.reason if given.reason else ''}", given.amount_cents, "goodwill")
            )
        for entry in outcome.write_offs:
            self._entries.addWidget(self._write_off_line(entry))
        self._empty.setVisible(not (outcome.goodwill or outcome.write_offs))
        self._form.setVisible(outcome.cancelled_on is None)
        self._closed.setVisible(outcome.closed_on is not None)
        self.setVisible(outcome.cancelled_on is None or bool(outcome.goodwill or outcome.write_offs))

    def forget_typed(self) -> None:
        """Another job is shown: nothing typed for the last one may stay."""
        self.amount.reset()
        self.reason.reset()
        self.problem.set_words("caution", "")
        self.draft.turn()

    def _write_off_line(self, entry: PriceAdjustment) -> QWidget:
        words = f"{format_day_short(entry.day)}: {entry.reason}"
        line = _line(words, entry.amount_cents, "over")
        remove = tool_button(
            "trash", f"Take back the write-off of {format_money(entry.amount_cents)}", lambda: self._remove(entry)
        )
        line.layout().addWidget(remove)
        return line

    def _remove(self, entry: PriceAdjustment) -> None:
        refused = self._saver.refusal(
            f"Take back a write-off of {format_money(entry.amount_cents)}",
            lambda edit: remove_write_off(edit, entry.id),
            say="The write-off is taken back.",
            undo=True,
        )
        self.problem.set_words("caution", refused)

    def _write_off(self) -> None:
        if not (self.amount.commit() and self.reason.commit()):
            return
        cents, reason = self.amount.value(), self.reason.value()
        if cents is None:
            self.problem.set_words("caution", "Type the amount that will not be paid.")
            self.amount.setFocus()
            return
        today = self._desk.today()
        refused = self._saver.refusal(
            f"Write off {format_money(cents)}",
            lambda edit: write_off(edit, self._job_id(), today, cents, reason, today=today),
            say=f"{format_money(cents)} written off.",
            undo=True,
        )
        self.problem.set_words("caution", refused)
        if not refused:
            self.amount.reset()
            self.reason.reset()


def _line(words: str, cents: int, tone: str) -> QWidget:
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(label(words, wrap=True), 1)
    row.addWidget(label(format_money(-cents), "strong", tone))
    return made
