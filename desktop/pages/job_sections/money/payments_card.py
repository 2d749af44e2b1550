"""What was paid on a job: a row a payment, refund or returned check, with what it settles and what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from db.commands import billing
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import FlowLayout, button
from desktop.widgets.form import ChoiceField, DateField, MoneyField, TextField
from desktop.widgets.table import Column, RowsModel
from domain.billing.job_money import PaymentRow
from domain.billing.records import MEANS
from domain.dates import format_day_short
from domain.money import format_money


def payments_model(*, everywhere: bool = False) -> RowsModel:
    """The model of a table of PaymentRow; everywhere: of all customers, with their names."""
    columns = [
        Column("day", "Received", width=116 if everywhere else 84),
        Column("customer", "Customer", stretch=2),
        Column("job", "Job", width=76),
        Column("means", "By", stretch=1),
        Column("reference", "Reference", stretch=1, gives_way=True),
        Column("settles", "Settles", stretch=2),
        Column("amount", "Amount", "right", width=104),
        Column("left", "Not matched", "right", width=100, tooltip="The customer's credit: left of this payment"),
    ]
    return RowsModel(
        [one for one in columns if everywhere or one.key not in ("customer", "job")],
        text={
            "day": lambda row: day_words(row.payment.received_on, everywhere),
            "customer": lambda row: row.customer,
            "job": lambda row: row.job_number,
            "means": means_words,
            "reference": lambda row: row.payment.reference,
            "settles": settles_words,
            "amount": lambda row: format_money(row.payment.amount_cents),
            "left": lambda row: format_money(row.left_cents) if row.left_cents else "",
        },
        sort_key={
            "day": lambda row: (row.payment.received_on, row.payment.id),
            "amount": lambda row: row.payment.amount_cents,
            "left": lambda row: row.left_cents,
        },
        tone={
            "left": lambda row: "caution",
            "amount": lambda row: "over" if row.payment.amount_cents < 0 else None,
            "settles": lambda row: None if row.settles else "ink_faint",
        },
        tip={"reference": lambda row: row.payment.note, "means": lambda row: row.payment.number or ""},
        row_id=lambda row: row.payment.id,
    )


def day_words(day: date, with_year: bool) -> str:
    """``Nov 3, 2026``, or without the year where it is plain."""
    words = format_day_short(day)
    return words if with_year else words.partition(",")[0]


def means_words(row: PaymentRow) -> str:
    """``Check``, ``Refund, check``, ``Closing escrow, Hill Title``."""
    means = MEANS.get(row.payment.means, row.payment.means)
    if row.payment.kind == "refund":
        return f"Refund, {means.lower()}"
    if row.payment.kind == "returned":
        return f"{means} was returned"
    return f"{means}, {row.payment.payer}" if row.payment.payer else means


def settles_words(row: PaymentRow) -> str:
    """Which invoices it settles, with the amounts where it is more than one."""
    if row.went_back:
        return "returned" if row.went_back == "returned" else _settled(row) or "given back"
    return _settled(row) or ("" if row.payment.kind != "payment" else "nothing yet")


def _settled(row: PaymentRow) -> str:
    if len(row.settles) == 1:
        return row.settles[0][0]
    return ", ".join(f"{number} {format_money(cents)}" for number, cents in row.settles)


class PaymentVerbs(QWidget):
    """The buttons under a table of payments, others before and after them; `show_row` says which payment is meant.

    Signals:
        paper_asked: (payment id): show its receipt.
    """

    paper_asked = Signal(int)

    def __init__(
        self, desk: Desk, asking: AskCard, first: Sequence[QWidget] = (), last: Sequence[QWidget] = ()
    ) -> None:
        super().__init__()
        self._desk, self._saver, self._asking = desk, Autosave(desk), asking
        self._row: PaymentRow | None = None
        self.receipt = button("Receipt", self._receipt, "quiet", "paper", "Number it, keep it and show it")
        self.refund = button("Refund", self._ask_refund, "quiet", "undo", "Give back what is not matched")
        self.back = button("Returned", self._ask_return, "quiet", "warning", "The bank returned the check")
        self.remove = button("Remove", self._remove, "quiet", "trash", "Entered by mistake")
        line = FlowLayout(self, spacing=4)
        for one in (*first, self.receipt, self.refund, self.back, self.remove, *last):
            line.addWidget(one)
        self.show_row(None)

    def show_row(self, row: PaymentRow | None) -> None:
        """Offer what can be done with this payment."""
        self._row = row
        came = row is not None and row.payment.kind == "payment"
        self.receipt.setEnabled(came)
        self.refund.setEnabled(row is not None and came and row.left_cents > 0)
        self.back.setEnabled(row is not None and came and not row.went_back)
        self.remove.setEnabled(row is not None and row.payment.kind != "returned" and not row.payment.number)

    def _do(self, label: str, work: Callable[[Edit], object], say: str) -> str:
        return self._saver.refusal(label, work, say=say, undo=True)

    def _receipt(self) -> None:
        if self._row is None:
            return
        payment, today = self._row.payment, self._desk.today()
        if payment.number:
            self.paper_asked.emit(payment.id)
            return

        def run(edit: Edit) -> None:
            from desktop.papers.keeping import keep_receipt

            billing.number_receipt(edit, payment.id, today)
            keep_receipt(edit, payment.id, today)

        if not self._saver.refusal("Hand out a receipt", run, say="The receipt is issued and kept"):
            self.paper_asked.emit(payment.id)

    def _ask_refund(self) -> None:
        if self._row is None:
            return
        row, desk = self._row, self._desk

        def give_back(values: list[Any]) -> str:
            amount, means, reference, day = values
            return self._do(
                "Give money back",
                lambda edit: billing.refund_payment(
                    edit, row.payment.id, day, amount, means=means, reference=reference, today=desk.today()
                ),
                f"{format_money(amount)} given back",
            )

        self._asking.ask(
            "Give money back", "What settles no invoice can go back to the customer.",
            [
                ("Amount", MoneyField(required=True, least=1), row.left_cents),
                ("By", ChoiceField(list(MEANS.items()), required=True), "check"),
                ("Reference", TextField("check number"), ""),
                ("Day", DateField(desk.today, required=True), desk.today()),
            ],
            "Give it back", give_back,
        )  # fmt: skip

    def _ask_return(self) -> None:
        if self._row is None:
            return
        row, desk = self._row, self._desk

        def came_back(values: list[Any]) -> str:
            note, day = values
            return self._do(
                "A check was returned",
                lambda edit: billing.return_payment(edit, row.payment.id, day, note=note, today=desk.today()),
                "What it had settled is open again",
            )

        self._asking.ask(
            "The check was returned", f"All of {format_money(row.payment.amount_cents)} is open again from that day.",
            [
                ("Note", TextField("what the bank said"), ""),
                ("Day", DateField(desk.today, required=True), desk.today()),
            ],
            "It was returned", came_back,
        )  # fmt: skip

    def _remove(self) -> None:
        if self._row is not None:
            payment_id = self._row.payment.id
            self._do("Remove a payment", lambda edit: billing.remove_payment(edit, payment_id), "Payment removed")
