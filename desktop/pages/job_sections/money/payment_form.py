"""Money comes in: the amount stands there already, Enter takes it, and it is said beforehand what it settles."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import billing
from db.queries.billing.same_payment import same_payments
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.pages.job_sections.money.asking import all_there
from desktop.widgets.cards import Notice, button, label
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField, TextField
from domain.billing.matching import OpenInvoice, left_over_cents, offer_matches, owed_cents
from domain.billing.records import MEANS
from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.money import format_money, parse_money
from domain.unlikely import done_on, payment_doubt


class PaymentForm(QWidget):
    """The fields of one payment. `show_owed` says whose it is and what is open.

    Signals:
        taken: a payment was entered.
    """

    taken = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver = desk, Autosave(desk)
        self._customer_id = 0
        self._job_id: int | None = None
        self._owed: Sequence[OpenInvoice] = ()
        self._payer = ("", "")
        self._key: tuple[int, int | None, int] = (0, None, 0)
        self._offered_day = desk.today()
        self.form = Form()
        self.amount = self.form.add("Amount", MoneyField(required=True, least=1, doubt=self._more))
        self.received = self.form.add("Received", DateField(desk.today, required=True, doubt=done_on(desk.today)))
        self.means = self.form.add("By", ChoiceField(list(MEANS.items()), required=True))
        self.reference = self.form.add("Reference", TextField("check, escrow or transfer number"))
        self.payer = self.form.add("Paid by", TextField("the customer, unless written here"))
        self.draft = Draft(
            desk, "payment",
            {"amount": self.amount, "received": self.received, "means": self.means, "reference": self.reference,
             "payer": self.payer},
            lambda: (self._customer_id, self._job_id) if self._customer_id else None,
        )  # fmt: skip
        self.offer = label("", "small", "soft", wrap=True)
        self.problem = Notice("caution")
        self.enter = button("Take payment", self.take, "primary", "check", "Enter in any line does it")
        for field in (self.amount, self.received, self.reference, self.payer):
            field.returnPressed.connect(self.take)
        self.amount.typed.connect(self._say_offer)
        self.amount.misread.connect(lambda _: self.offer.setText(""))  # of half an amount nothing is said
        self.reference.typed.connect(lambda _: self._say_offer(self._typed_amount()))
        line = QHBoxLayout()
        line.addWidget(self.offer, 1, Qt.AlignmentFlag.AlignTop)
        line.addWidget(self.enter, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.form)
        column.addWidget(self.problem)
        column.addLayout(line)
        self.means.set_value("check")

    def show_owed(
        self, customer_id: int, owed: Sequence[OpenInvoice], job_id: int | None = None,
        payer: tuple[str, str] = ("", ""),
    ) -> None:  # fmt: skip
        """Offer what is open of a customer, or of one job of his; what is half typed stays.

        Args:
            payer: who really pays and by which reference, when not the customer: then it comes by escrow.
        """
        key = (customer_id, job_id, owed_cents(owed))
        self._payer = payer
        fresh = key[:2] != self._key[:2]
        self._customer_id, self._job_id, self._owed = customer_id, job_id, owed
        if fresh:
            self._clear()
            self.draft.turn()
        elif key != self._key and not self.amount.isModified():
            self._offer_usual()
        elif key != self._key:
            self.amount.ask_anew()
        if self.received.value() == self._offered_day != self._desk.today():  # left open overnight
            self._offer_today()
        self._key = key
        self._say_offer(self._typed_amount())

    def take(self) -> None:
        """Enter the payment; when it looks like one that is there, ask first."""
        self._take(twice=False)

    def _take(self, *, twice: bool) -> None:
        if not all_there(self.form, (self.amount, self.received, self.means)):
            return
        customer_id, job_id, today = self._customer_id, self._job_id, self._desk.today()
        amount, day, means = self.amount.value(), self.received.value(), self.means.value()
        reference, payer = self.reference.value(), self.payer.value()
        if not twice and (known := self._known_already()):
            self.problem.set_words("caution", known, ("Enter it all the same", lambda: self._take(twice=True)))
            return
        reason = self._saver.refusal(
            "Take a payment",
            lambda edit: billing.take_payment(
                edit, customer_id, day, amount, means, job_id=job_id, payer=payer, reference=reference,
                twice=twice, today=today,
            ),
            say=f"{format_money(amount)} taken", undo=True,
        )  # fmt: skip
        self.problem.set_words("caution", reason)
        if not reason:
            self._clear()
            self.amount.setFocus()
            self.taken.emit()

    def _more(self, cents: int) -> str:
        return payment_doubt(cents, owed_cents(self._owed))

    def _known_already(self) -> str:
        with self._desk.read() as conn:
            known = same_payments(
                conn, self._customer_id, self.amount.value(), self.received.value(), self.reference.value()
            )
        if not known:
            return ""
        reference = f", reference {known[0].reference}" if known[0].reference else ""
        amount = format_money(known[0].amount_cents)
        return f"{amount} received {format_day_short(known[0].received_on)}{reference} is entered already. Twice?"

    def _typed_amount(self) -> int | None:
        """The amount as it stands there, entered or not; None where it cannot be read."""
        try:
            return parse_money(self.amount.text())
        except NotUnderstood:
            return None

    def _say_offer(self, amount: int | None) -> None:
        """What an amount would settle: the one that stands there, while it is typed, too."""
        if not amount:
            self.offer.setText("")
            return
        offered = offer_matches(amount, self.reference.text(), self._owed)
        numbers = {one.id: one.number for one in self._owed}
        parts = [f"{format_money(one.amount_cents)} for {numbers[one.invoice_id]}" for one in offered]
        rest = left_over_cents(amount, offered)
        if rest:
            parts.append(f"{format_money(rest)} stays the customer's credit")
        self.offer.setText("Settles " + ", ".join(parts) if offered else f"Nothing is open: {', '.join(parts)}")

    def _clear(self) -> None:
        self.form.clear_errors()
        self.problem.set_words("caution", "")
        self._offer_today()
        self._offer_usual()
        self._say_offer(self._typed_amount())

    def _offer_today(self) -> None:
        self._offered_day = self._desk.today()
        self.received.reset(self._offered_day)

    def _offer_usual(self) -> None:
        """All that is open, by check; by escrow when the closing pays."""
        name, reference = self._payer
        self.amount.reset(owed_cents(self._owed) or None)
        self.means.reset("escrow" if name or reference else "check")
        self.reference.reset(reference)
        self.payer.reset(name)


