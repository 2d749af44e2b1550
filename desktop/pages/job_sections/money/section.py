"""The Money section: what was agreed, invoiced, paid and is open; the next step; invoices and payments."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.queries.billing.job_money import job_money
from desktop.desk import Desk
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.job_rows import fit_height
from desktop.pages.job_sections.money.asking import AskCard
from desktop.pages.job_sections.money.draft_card import DraftCard
from desktop.pages.job_sections.money.invoices_card import InvoicesCard
from desktop.pages.job_sections.money.papers import invoice_pdf, receipt_pdf
from desktop.pages.job_sections.money.payment_form import PaymentForm
from desktop.pages.job_sections.money.payments_card import PaymentVerbs, payments_model
from desktop.pages.page import Section
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import Card, Figure, Notice, scroll_page
from desktop.widgets.table import RowsTable
from domain.billing.job_money import JobMoney
from domain.money import format_money

ROOM_FOR_SIDE = 940
"""Below this width (the facts stand open in a small window) draft and payment stand beneath the lists."""

SIDE_WIDTH = 420
NARROW_SIDE = 368
WIDE = 1150
"""Room for the draft and the payment beside the lists."""


class MoneySection(Section):
    """Invoices, credits and payments of one job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.figures = {
            "agreed": Figure("Agreed"),
            "invoiced": Figure("Invoiced"),
            "paid": Figure("Paid"),
            "open": Figure("Open"),
        }
        self.step = Notice()
        self.asking = AskCard(desk, lambda: self.job_id)
        self.invoices = InvoicesCard(desk, self.asking)
        self.draft = DraftCard(desk, self.asking)
        self.payment = PaymentForm(desk)
        self.payments = RowsTable(payments_model(), "Payments of the job")
        self.payments.set_empty("Nothing paid yet", "A payment is entered beside this: its amount stands there.")
        self.payments.heights_changed.connect(lambda: fit_height(self.payments, most=6))
        self.verbs = PaymentVerbs(desk, self.asking)
        self.payments.current_changed.connect(self.verbs.show_row)
        self.payments.row_activated.connect(lambda _: self.verbs.receipt.click())
        self.invoices.paper_asked.connect(self.show_invoice)
        self.draft.paper_asked.connect(self.show_invoice)
        self.draft.issued.connect(self._issued)
        self.verbs.paper_asked.connect(self.show_receipt)
        self._arrange()

    def _arrange(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(4, 0, 0, 0)
        for figure in self.figures.values():
            head.addWidget(figure, 0, Qt.AlignmentFlag.AlignTop)
        head.addStretch(1)
        paid = Card("Payments")
        paid.add(self.payments)
        paid.add(self.verbs)
        left = QWidget()
        lists = QVBoxLayout(left)
        lists.setContentsMargins(0, 0, 0, 0)
        lists.setSpacing(12)
        for part in (self.asking, self.invoices, paid):
            lists.addWidget(part)
        lists.addStretch(1)
        self.take_card = Card("Take a payment")
        self.take_card.add(self.payment)
        right = QWidget()
        right.setFixedWidth(SIDE_WIDTH)
        self._side = right
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(12)
        beside.addWidget(self.draft)
        beside.addWidget(self.take_card)
        beside.addStretch(1)
        both = self._both = QHBoxLayout()
        both.setSpacing(12)
        both.addWidget(left, 1)
        both.addWidget(right, 0, Qt.AlignmentFlag.AlignTop)
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(24, 10, 24, 24)
        column.setSpacing(12)
        column.addLayout(head)
        column.addWidget(self.step)
        column.addLayout(both, 1)
        self.stack = PaperStack(self.desk, scroll_page(inside), "Back to the money", margin=20)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.stack)
        self._order = EyeOrder(inside)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < ROOM_FOR_SIDE
        self._side.setFixedWidth(SIDE_WIDTH if self.width() >= WIDE else NARROW_SIDE)
        self._both.setDirection(
            QHBoxLayout.Direction.TopToBottom if narrow else QHBoxLayout.Direction.LeftToRight
        )

    def show_job(self, job_id: int) -> None:
        self.asking.hide()
        if self.stack.shows_paper:
            self.stack.setCurrentIndex(0)
        super().show_job(job_id)

    def refresh(self) -> None:
        with self.desk.read() as conn:
            money = job_money(conn, self.job_id)
        self._show_figures(money)
        tone, words = money.step_words(self.desk.today())
        step = money.next_step
        starts = {"deposit": "Deposit invoice", "final": "Final invoice"}
        begin = (starts[step], lambda: self.draft.begin_kind(step)) if step in starts else None
        self.step.set_words(tone, words, begin)
        self.invoices.show_money(money)
        self.draft.show_money(money)
        self.take_card.setVisible(bool(money.invoices) or money.contract is not None)
        self.payment.show_owed(money.job.customer_id, money.open_invoices, money.job.id, payer=money.payer)
        self.payments.rows_model().set_rows(money.payments)
        fit_height(self.payments, most=6)
        self.verbs.show_row(self.payments.current_row())
        self._order.apply()

    def show_invoice(self, invoice_id: int) -> None:
        """Show an invoice as it was issued, or a draft as it would be read."""
        self.stack.show_paper(*invoice_pdf(self.desk, invoice_id))

    def show_receipt(self, payment_id: int) -> None:
        """Show a payment's receipt as it was handed out."""
        if (receipt := receipt_pdf(self.desk, payment_id)) is not None:
            self.stack.show_paper(*receipt)

    def _issued(self) -> None:
        self.payment.amount.setFocus()
        self.payment.amount.selectAll()

    def _show_figures(self, money: JobMoney) -> None:
        tax = money.contract.tax_cents if money.contract else 0
        self.figures["agreed"].set_values(
            format_money(money.agreed_cents) if money.contract else "–",
            f"with {format_money(tax)} tax" if tax else "",
        )
        left = money.left_cents
        self.figures["invoiced"].set_values(
            format_money(money.invoiced_cents), f"{format_money(left)} to come" if left > 0 else ""
        )
        credit = f"{format_money(money.credit_cents)} more is the customer's credit" if money.credit_cents else ""
        self.figures["paid"].set_values(format_money(money.paid_cents), credit)
        late = any(row.overdue(self.desk.today()) for row in money.invoices)
        lost = money.written_off_cents
        self.figures["open"].set_values(
            format_money(money.open_cents), f"{format_money(lost)} written off" if lost else "", "over" if late else ""
        )
