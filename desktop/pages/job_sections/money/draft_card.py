"""The next invoice: which kind to begin, and the draft with its lines, terms and totals until it is issued."""

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
from desktop.pages.drafts import half_of_job
from desktop.pages.job_sections.money.asking import AskCard, all_there
from desktop.pages.job_sections.money.draft_lines import DraftLines
from desktop.widgets.cards import Card, Notice, button, label, on_keys
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField, NotesField, PercentField, TextField
from domain.billing.job_money import JobMoney
from domain.billing.records import INVOICE_KINDS
from domain.money import format_money
from domain.units import format_percent
from domain.unlikely import done_on

_NOBODY = 0


class DraftCard(Card):
    """Without a draft the three ways to begin one; with a draft all that is on it.

    Signals:
        paper_asked: (invoice id): show it as it will be read.
        issued: an invoice has been issued.
    """

    paper_asked = Signal(int)
    issued = Signal()

    def __init__(self, desk: Desk, asking: AskCard) -> None:
        super().__init__("New invoice")
        self._desk, self._saver, self._asking = desk, Autosave(desk), asking
        self._money: JobMoney | None = None
        self._shown_draft = 0
        self._offered_day = desk.today()
        self.begin = self._make_begin()
        self.stale = Notice("caution")
        self.lines = DraftLines(desk)
        self.totals = label("", "body", "soft", wrap=True)
        self.total = label("", "section")
        self.form = Form()
        self._fields = self._make_fields()
        self.issue_day = DateField(desk.today, required=True, doubt=done_on(desk.today))
        self.form.add("Issue it on", self.issue_day)
        self.problem = Notice("caution")
        self.issue = button("Issue", self.issue_draft, "primary", "check", "Give it its number; from then on it is only"
                            " credited (Ctrl+Return)")  # fmt: skip
        on_keys(self.issue, "Ctrl+Return")
        self.paper = button("See it", lambda: self.paper_asked.emit(self._draft_id), "plain", "paper")
        self.discount = button("Discount", self._ask_discount, "quiet", "plus")
        self.away = button("Remove draft", self._throw_away, "quiet", "trash")
        self.draft = self._make_draft()
        self.add(self.begin)
        self.add(self.draft)

    @property
    def _draft_id(self) -> int:
        return self._money.draft.invoice.id if self._money and self._money.draft else 0

    def _make_begin(self) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        self.begin_words = label("", "body", "soft", wrap=True)
        self.begin_buttons = {
            "deposit": button("Deposit", self._ask_deposit, tip="An advance on the whole, without tax"),
            "progress": button("Progress", self._ask_progress, tip="A part of the agreed price"),
            "final": button("Final", lambda: self._begin("final"), tip="All that was agreed, less what was invoiced"),
        }
        line = QHBoxLayout()
        for one in self.begin_buttons.values():
            line.addWidget(one)
        line.addStretch(1)
        column.addWidget(self.begin_words)
        column.addLayout(line)
        return made

    def _make_fields(self) -> dict[str, Any]:
        fields = {
            "due_on": DateField(self._desk.today, placeholder="the usual days after"),
            "payer_id": ChoiceField([], "the customer"),
            "payer_reference": TextField("escrow or file number"),
            "bill_to": NotesField("name and address", lines=3),
            "note": NotesField("a line on the invoice, if any", lines=1),
        }
        titles = ("Due", "Who pays", "Their reference", "Bill to", "Note")
        for title, (name, field) in zip(titles, fields.items(), strict=True):
            self.form.add(title, field)
            self._saver.bind(
                field, f"Change “{title.lower()}” of an invoice", self._writer(name),
                lambda: self._shown_draft and ("invoice", self._shown_draft),
            )  # fmt: skip
        return fields

    def _writer(self, name: str) -> Callable[[Edit, Any], None]:
        def write(edit: Edit, value: Any) -> None:
            billing.change_draft(edit, self._draft_id, **{name: (value or None) if name == "payer_id" else value})

        return write

    def _make_draft(self) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        first = QHBoxLayout()
        first.addWidget(self.discount)
        first.addStretch(1)
        first.addWidget(self.total)
        last = QHBoxLayout()
        last.addWidget(self.away)
        last.addStretch(1)
        last.addWidget(self.paper)
        last.addWidget(self.issue)
        for part in (self.stale, self.lines):
            column.addWidget(part)
        column.addLayout(first)
        column.addWidget(self.totals)
        column.addWidget(self.form)
        column.addWidget(self.problem)
        column.addLayout(last)
        return made

    # Showing.

    def show_money(self, money: JobMoney) -> None:
        """Show the job's draft, or how to begin one; what is half typed stays."""
        self._money = money
        draft, contract = money.draft, money.contract
        self.begin.setVisible(draft is None)
        self.draft.setVisible(draft is not None)
        self.header.set_words(f"{INVOICE_KINDS[draft.invoice.kind]}, draft" if draft else "New invoice")
        if draft is None:
            self._shown_draft = 0
            complete = contract is not None and money.so_far.complete(contract)
            for kind, one in self.begin_buttons.items():
                one.setEnabled(contract is not None and not complete and not (kind == "deposit" and money.so_far.final))
            self.begin_words.setText(self._begin_words(money, complete))
            return
        invoice = draft.invoice
        if invoice.id != self._shown_draft:
            self._shown_draft = invoice.id
            self.problem.set_words("caution", "")
            for name, field in self._fields.items():
                field.reset(getattr(invoice, name) or ("" if name != "due_on" else None))
            self._offer_today()
        elif self.issue_day.value() == self._offered_day != self._desk.today():  # left open overnight
            self._offer_today()
        self._fields["payer_id"].set_choices(
            [(_NOBODY, "The customer"), *((one.id, f"{one.name} ({one.role})") for one in money.parties)]
        )
        for name, field in self._fields.items():
            value = getattr(invoice, name)
            self._saver.show(field, (value or _NOBODY) if name == "payer_id" else value)
        self.lines.show_draft(draft)
        self.discount.setVisible(invoice.kind == "final")
        self.total.setText(f"Total {format_money(draft.amounts.total_cents)}")
        self.totals.setText(_tax_words(draft.amounts.net_cents, draft.amounts.tax_cents, money))
        self.totals.setVisible(draft.amounts.tax_cents != 0)
        changed = "What was agreed or invoiced before has changed since." if draft.stale else ""
        beside = _orders_words(money.open_orders) if invoice.kind == "final" else ""
        self.stale.set_words(
            "caution", " ".join(part for part in (changed, beside) if part),
            ("Bring up to date", self._bring_up) if draft.stale else None,
        )  # fmt: skip

    def _offer_today(self) -> None:
        self._offered_day = self._desk.today()
        self.issue_day.reset(self._offered_day)

    def _begin_words(self, money: JobMoney, complete: bool) -> str:
        if money.contract is None:
            return "An invoice asks for what was agreed; nothing is accepted on this job yet."
        if complete:
            return "All that was agreed is invoiced. What comes on top is a change order first."
        return f"{format_money(money.left_cents)} of the agreed {format_money(money.agreed_cents)} is not invoiced yet."

    # Doing.

    def begin_kind(self, kind: str) -> None:
        """Begin this kind of invoice, asking for its amount where it has one of its own."""
        {"deposit": self._ask_deposit, "progress": self._ask_progress}.get(kind, lambda: self._begin("final"))()

    def _begin(self, kind: str, **share: Any) -> str:
        job_id = self._money.job.id if self._money else 0
        reason = self._saver.refusal(
            f"Begin a {INVOICE_KINDS[kind].lower()}",
            lambda edit: billing.draft_invoice(edit, kind, self._desk.today(), job_id=job_id, **share),
        )
        if not reason:
            self.issue.setFocus()
        return reason

    def _ask_deposit(self) -> None:
        due = self._money.deposit_due_cents if self._money else 0
        if due:
            self._begin("deposit")
            return
        self._asking.ask(
            "Deposit invoice", "No deposit is left of what was agreed; one can be asked for all the same.",
            [("Amount", MoneyField(required=True, least=1), None)], "Begin it",
            lambda values: self._begin("deposit", amount_cents=values[0]),
        )  # fmt: skip

    def _ask_progress(self) -> None:
        def begin(values: list[Any]) -> str:
            percent, amount = values
            if amount is None and percent is None:
                return "Type so many percent, or an amount."
            return self._begin("progress", percent=percent, amount_cents=amount)

        self._asking.ask(
            "Progress invoice", "A part of the agreed price before tax; the rest comes on the final invoice.",
            [
                ("Percent", PercentField(least=Decimal(0), most=Decimal(100)), None),
                ("or an amount", MoneyField(least=1), None),
            ],
            "Begin it", begin,
        )  # fmt: skip

    def _ask_discount(self) -> None:
        draft_id = self._draft_id

        def give(values: list[Any]) -> str:
            words, cents = values
            price = -Decimal(cents).scaleb(-2)
            return self._saver.refusal(
                "Give a discount", lambda edit: billing.add_line(edit, draft_id, "discount", words, price)
            )

        self._asking.ask(
            "Discount on this invoice", "It is given up on the job when the invoice is issued, so Margins count it.",
            [("What for", TextField("why less is asked", required=True), ""),
             ("Amount", MoneyField(required=True, least=1), None)],
            "Take it off", give,
        )  # fmt: skip

    def issue_draft(self, *, asked: bool = False) -> None:
        """Issue the draft; what cannot be is said beneath its fields, and what is half typed is asked about."""
        if not self._draft_id or not all_there(self.form, [self.issue_day]):
            return
        half = half_of_job(self, self._desk, self._money.job.id) if self._money and not asked else []
        if half:
            go_on = ("Issue it all the same", lambda: self.issue_draft(asked=True))
            self.problem.set_words("caution", " ".join(half), go_on)
            return
        draft_id, day, today = self._draft_id, self.issue_day.value(), self._desk.today()
        numbers: list[str] = []

        def run(edit: Edit) -> None:
            from desktop.papers.keeping import keep_invoice

            numbers.append(billing.issue_invoice(edit, draft_id, day, today=today))
            keep_invoice(edit, draft_id, day)

        reason = self._saver.refusal("Issue an invoice", run)
        self.problem.set_words("caution", reason)
        if not reason:
            self._desk.say(f"Invoice {numbers[-1]} is issued and kept among the papers", "good")
            self.issued.emit()

    def _bring_up(self) -> None:
        draft_id = self._draft_id
        self._saver.do("Bring a draft up to date", lambda edit: billing.refresh_draft(edit, draft_id), undo=True)

    def _throw_away(self) -> None:
        draft_id = self._draft_id
        self._saver.do(
            "Remove a draft invoice", lambda edit: billing.delete_draft_invoice(edit, draft_id),
            say="The draft is gone", undo=True,
        )  # fmt: skip


def _tax_words(net_cents: int, tax_cents: int, money: JobMoney) -> str:
    percent = format_percent(money.contract.tax_percent) if money.contract else ""
    return f"{format_money(net_cents)} before tax, {format_money(tax_cents)} sales tax at {percent} on materials"


def _orders_words(count: int) -> str:
    """A final invoice closes the account: what is offered beside it and not answered is named."""
    if not count:
        return ""
    orders = "1 change order is" if count == 1 else f"{count} change orders are"
    return f"{orders} not accepted yet and not on this invoice."
