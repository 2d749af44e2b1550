"""An invoice without a job: what was sold or done for a customer outside of any contract."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import billing
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.list_table import AddRow
from desktop.pages.job_sections.money.asking import all_there
from desktop.pages.job_sections.money.draft_lines import DraftLines
from desktop.widgets.cards import Card, Notice, button, label
from desktop.widgets.form import (
    ChoiceField,
    DateField,
    Form,
    MoneyField,
    NotesField,
    PercentField,
    QuantityField,
    SwitchField,
    TextField,
)
from domain.billing.job_money import LooseMoney
from domain.money import format_money
from domain.quoting.tax import SEPARATED, TREATMENT_WORDS
from domain.unlikely import amount_doubt, done_on, quantity_doubt


class LooseInvoiceCard(Card):
    """The draft with its lines and terms; hidden while there is none.

    Signals:
        paper_asked: (invoice id).
    """

    paper_asked = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__("Invoice without a job, draft")
        self._desk, self._saver = desk, Autosave(desk)
        self._draft_id = 0
        self.words, self.price = TextField("What for"), MoneyField(least=1, doubt=amount_doubt)
        self.quantity = QuantityField(doubt=lambda many: quantity_doubt(many, ""))
        self.quantity.setPlaceholderText("How many")
        self.price.setPlaceholderText("$ for one")
        self.taxed = SwitchField("Taxed")
        self.add_line = AddRow(
            [self.words, self.quantity, self.price], "Add", self._add_line, draft=(desk, "line of an invoice")
        )
        self.lines = DraftLines(desk)
        self.total = label("", "section")
        self.form = Form(columns=2)
        self._fields: dict[str, Any] = {
            "bill_to": self.form.add("Bill to", NotesField("name and address", lines=3)),
            "note": self.form.add("Note", NotesField("a line on the invoice, if any", lines=3)),
            "tax_treatment": self.form.add("Sales tax", ChoiceField(list(TREATMENT_WORDS.items()), required=True)),
            "tax_percent": self.form.add("Tax rate", PercentField(required=True, least=Decimal(0), most=Decimal(30))),
            "due_on": self.form.add("Due", DateField(desk.today, placeholder="the usual days after")),
        }
        for name, field in self._fields.items():
            self._saver.bind(
                field, "Change an invoice", self._writer(name),
                lambda: self._draft_id and ("invoice", self._draft_id), name,
            )  # fmt: skip
        self.issue_day = self.form.add("Issue it on", DateField(desk.today, required=True, doubt=done_on(desk.today)))
        self.problem = Notice("caution")
        self.away = button("Remove", self._throw_away, "quiet", "trash")
        self.paper = button("See it", lambda: self.paper_asked.emit(self._draft_id), "plain", "paper")
        self.issue = button("Issue", self.issue_draft, "primary", "check", "Give it its number; then it never changes")
        self._arrange()
        self.hide()

    def _arrange(self) -> None:
        adding = QHBoxLayout()
        adding.addWidget(self.add_line, 1)
        adding.addWidget(self.taxed)
        foot = QHBoxLayout()
        for one in (self.away, self.paper, self.issue):
            foot.addWidget(one)
        foot.insertStretch(1, 1)
        sums = QHBoxLayout()
        sums.addStretch(1)
        sums.addWidget(self.total)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        for part in (adding, self.lines, sums, self.form, self.problem, foot):
            column.addWidget(part) if isinstance(part, QWidget) else column.addLayout(part)
        self.add(inside)

    def _writer(self, name: str) -> Callable[[Edit, Any], None]:
        def write(edit: Edit, value: Any) -> None:
            billing.change_draft(edit, self._draft_id, **{name: value})

        return write

    def show_money(self, money: LooseMoney) -> None:
        """Show the customer's draft, if there is one; what is half typed stays."""
        draft = money.draft
        self.setVisible(draft is not None)
        if draft is None:
            self._draft_id = 0
            return
        fresh, self._draft_id = draft.invoice.id != self._draft_id, draft.invoice.id
        for name, field in self._fields.items():
            value = getattr(draft.invoice, name)
            if fresh:
                field.reset(value)
            self._saver.show(field, value)
        if fresh:
            self.issue_day.reset(self._desk.today())
            self.problem.set_words("caution", "")
        taxes = draft.invoice.tax_treatment == SEPARATED
        self.taxed.setVisible(taxes)
        self.lines.show_draft(draft)
        tax = f", {format_money(draft.amounts.tax_cents)} of it tax" if taxes else ""
        self.total.setText(f"Total {format_money(draft.amounts.total_cents)}{tax}")

    def begin(self, customer_id: int) -> None:
        """Begin an invoice for a customer and put the cursor where its first line is typed."""
        today = self._desk.today()
        self._saver.do(
            "Begin an invoice without a job",
            lambda edit: billing.draft_invoice(edit, "other", today, customer_id=customer_id), undo=True,
        )  # fmt: skip
        self.words.setFocus()

    def _add_line(self) -> str | tuple[str, QWidget] | None:
        words, cents = self.words.value(), self.price.value()
        if not words:
            return "Say what it is for.", self.words
        if cents is None:
            return "Say what one costs.", self.price
        quantity = self.quantity.value() or Decimal(1)
        return self._saver.refusal(
            "Add a line to an invoice",
            lambda edit: billing.add_line(
                edit, self._draft_id, "extra", words, Decimal(cents).scaleb(-2), quantity=quantity,
                taxed=self.taxed.value(),
            ),
        ) or None  # fmt: skip

    def issue_draft(self) -> None:
        """Issue the draft; what cannot be is said beneath its fields."""
        if not self._draft_id or not all_there(self.form, [self.issue_day]):
            return
        draft_id, day, today = self._draft_id, self.issue_day.value(), self._desk.today()

        def run(edit: Edit) -> None:
            from desktop.papers.keeping import keep_invoice

            billing.issue_invoice(edit, draft_id, day, today=today)
            keep_invoice(edit, draft_id, day)

        reason = self._saver.refusal("Issue an invoice", run, say="The invoice is issued and kept among the papers")
        self.problem.set_words("caution", reason)

    def _throw_away(self) -> None:
        draft_id = self._draft_id
        self._saver.do(
            "Remove a draft invoice", lambda edit: billing.delete_draft_invoice(edit, draft_id),
            say="The draft is gone", undo=True,
        )  # fmt: skip
