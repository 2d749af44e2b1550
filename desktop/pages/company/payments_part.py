"""Payments of all customers: the newest, search, what is not matched yet, and the entry of a new one."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import billing
from db.queries.billing.payment_list import ALL, BACK, LEFT, NEWEST, owed_by, payer_choices, payment_list, unmatched
from db.queries.billing.payment_rows import settled_invoices
from desktop.desk import CUSTOMERS, JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.company.part import Part
from desktop.pages.job_sections.money.asking import AskCard
from desktop.pages.job_sections.money.papers import receipt_pdf
from desktop.pages.job_sections.money.payment_form import PaymentForm
from desktop.pages.job_sections.money.payments_card import PaymentVerbs, payments_model
from desktop.widgets.cards import Card, SearchBox, button, label, on_keys, segments, tool_button
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField
from desktop.widgets.table import RowsTable
from domain.billing.job_money import PaymentRow
from domain.money import format_money

ENTRY_WIDTH = 400
ROOM_FOR_ALL = 1300
"""From this width on all columns fit beside the entry."""


class PaymentsPart(Part):
    """A table to search; beside it one enters what came, whoever paid."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Payments", "What came in and what went back. Each cent settles an invoice or is the customer's"
            " credit.",
        )  # fmt: skip
        self._saver = Autosave(desk)
        self.search = SearchBox("Customer, reference, job or amount")
        self.search.searched.connect(lambda _: self.refresh())
        self.which = segments(
            [(ALL, "All"), (LEFT, "Not matched"), (BACK, "Went back")], lambda _: self.refresh(), "Payments shown"
        )
        self.counted = label("", "small", "soft")
        self.table = RowsTable(payments_model(everywhere=True), "Payments")
        self.search.target = self.table
        self.asking = AskCard(desk)
        self.match = button("Match", self._ask_match, "quiet", "check", "Settle an invoice with what is left of it")
        self.unmatch = button("Take off", self._ask_unmatch, "quiet", "undo", "Take it off an invoice it settles")
        self.job = button("Open the job", self._open, "quiet", "right")
        self.verbs = PaymentVerbs(desk, self.asking, [self.match, self.unmatch], [self.job])
        self.table.current_changed.connect(self._chosen)
        self.table.row_activated.connect(lambda _: self._open())
        self.verbs.paper_asked.connect(self.show_receipt)
        self.entry = Card("Take a payment")
        self.customer = ChoiceField([], "who owes, or whose payment it is", required=True)
        self.customer.edited.connect(lambda _: self._show_owed())
        whose = Form(above=True)
        whose.add("Customer", self.customer)
        self.payment = PaymentForm(desk)
        self.payment.taken.connect(self._taken)
        self.entry.add(whose)
        self.entry.add(self.payment)
        self.close_entry = tool_button("cross", "Close the entry (Escape)", self._close_entry)
        self.entry.add_action(self.close_entry)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self.entry)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self._close_entry)
        self.new = button("New payment", self.open_entry, "primary", "plus", "Enter a payment (Ctrl+N)")
        on_keys(self.new, "Ctrl+N")
        self.head.add_action(self.new)
        self._arrange()
        self._chosen(None)

    def _arrange(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(8)
        line = QHBoxLayout()
        line.addWidget(self.search, 1)
        line.addWidget(self.which)
        left.addLayout(line)
        left.addWidget(self.asking)
        left.addWidget(self.table, 1)
        left.addWidget(self.verbs)
        left.addWidget(self.counted)
        self.right = right = QWidget()
        right.setFixedWidth(ENTRY_WIDTH)
        right.hide()
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.addWidget(self.entry)
        beside.addStretch(1)
        body = QWidget()
        both = QHBoxLayout(body)
        both.setContentsMargins(0, 0, 0, 0)
        both.setSpacing(12)
        both.addLayout(left, 1)
        both.addWidget(right, 0, Qt.AlignmentFlag.AlignTop)
        self.stack = PaperStack(self.desk, body, "Back to the payments")
        self.add(self.stack, 1)

    def open_entry(self) -> None:
        """Show the entry of a payment beside the table, ready to type whose it is."""
        self.right.show()
        self._fit_columns()
        self.refresh()
        self.customer.setFocus(Qt.FocusReason.OtherFocusReason)

    def _close_entry(self) -> None:
        self.right.hide()
        self._fit_columns()
        self.new.setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Beside the entry a small window has no room for everything of a payment."""
        narrow = self.width() < ROOM_FOR_ALL and not self.right.isHidden()
        for key in ("job", "means", "settles"):
            self.table.setColumnHidden(self.table.rows_model().column_of(key), narrow)

    def refresh(self) -> None:
        words, which = self.search.text().strip(), str(self.which.value())
        with self.desk.read() as conn:
            rows = payment_list(conn, words, which)
            left = unmatched(conn)
            choices = payer_choices(conn) if not self.right.isHidden() else None
        self.table.rows_model().set_rows(rows)
        many = f"the newest {NEWEST}" if len(rows) == NEWEST else f"{len(rows)} shown"
        rest = f" · {format_money(left.cents)} of {left.count} not matched" if left.count else " · all matched"
        self.counted.setText(many + rest if rows or left.count else "")
        self._guide(bool(words), which)
        if choices is not None:
            self.customer.set_choices(choices)
            self._show_owed()
        self._chosen(self.table.current_row())

    def _guide(self, searched: bool, which: str) -> None:
        if searched:
            self.table.set_empty("Nothing found", "Try a part of the name, the check number, or the amount.")
        elif which == LEFT:
            self.table.set_empty("Everything is matched", "A payment of which something is left stands here.")
        elif which == BACK:
            self.table.set_empty("Nothing went back", "Refunds and returned checks stand here.")
        else:
            self.table.set_empty(
                "No payment yet", "Money that comes is entered here, or on its job's Money section.", "New payment",
                self.open_entry,
            )  # fmt: skip

    def _show_owed(self) -> None:
        whose = self.customer.value()
        self.payment.setVisible(whose is not None)
        if whose is not None:
            with self.desk.read() as conn:
                owed = owed_by(conn, whose)
            self.payment.show_owed(whose, owed)

    def _taken(self) -> None:
        self.customer.reset()
        self.payment.hide()
        self.customer.setFocus()

    def _chosen(self, row: PaymentRow | None) -> None:
        self.verbs.show_row(row)
        self.match.setEnabled(row is not None and row.left_cents > 0)
        self.unmatch.setEnabled(row is not None and bool(row.settles))
        self.job.setEnabled(row is not None)
        self.job.setText("Open the job" if row is None or row.payment.job_id else "Open the customer")

    def _open(self) -> None:
        row: PaymentRow | None = self.table.current_row()
        if row is None:
            return
        if row.payment.job_id is not None:
            self.desk.go(JOBS, row.payment.job_id, "money")
        else:
            self.desk.go(CUSTOMERS, row.payment.customer_id)

    def _ask_match(self) -> None:
        row: PaymentRow | None = self.table.current_row()
        if row is None:
            return
        with self.desk.read() as conn:
            owed = owed_by(conn, row.payment.customer_id)
        if not owed:
            self.desk.say(f"Nothing of {row.customer} is open: the money stays their credit, or is given back.")
            return
        choices = [(one.id, f"{one.number}, {format_money(one.open_cents)} open") for one in owed]

        def settle(values: list[Any]) -> str:
            invoice_id, amount = values
            return self._saver.refusal(
                "Match a payment",
                lambda edit: billing.match_payment(edit, row.payment.id, invoice_id, self.desk.today(), amount),
                say="Matched", undo=True,
            )  # fmt: skip

        self.asking.ask(
            f"Match {format_money(row.left_cents)} of {row.customer}", "",
            [
                ("Invoice", ChoiceField(choices, required=True), owed[0].id),
                ("Amount", MoneyField(required=True, least=1), min(row.left_cents, owed[0].open_cents)),
            ],
            "Match", settle,
        )  # fmt: skip

    def _ask_unmatch(self) -> None:
        row: PaymentRow | None = self.table.current_row()
        if row is None:
            return
        with self.desk.read() as conn:
            choices = settled_invoices(conn, row.payment.id)

        def take_off(values: list[Any]) -> str:
            return self._saver.refusal(
                "Take a payment off an invoice",
                lambda edit: billing.unmatch_payment(edit, row.payment.id, values[0], values[1]),
                say="The invoice is open again", undo=True,
            )  # fmt: skip

        self.asking.ask(
            "Take the payment off an invoice", "The invoice is open again; the money becomes the customer's credit.",
            [
                ("Invoice", ChoiceField(choices, required=True), choices[0][0]),
                ("Day", DateField(self.desk.today, required=True), self.desk.today()),
            ],
            "Take it off", take_off,
        )  # fmt: skip

    def show_receipt(self, payment_id: int) -> None:
        """Show a payment's receipt as it was handed out."""
        if (receipt := receipt_pdf(self.desk, payment_id)) is not None:
            self.stack.show_paper(*receipt)
