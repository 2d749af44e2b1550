"""What was invoiced on a job: a row an invoice or credit note, with what is open and what can be done about it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout

from db.commands import billing
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_rows import fit_height
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import Card, button
from desktop.widgets.form import ChoiceField, DateField, MoneyField, TextField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.billing.job_money import InvoiceRow, JobMoney, LooseMoney
from domain.billing.records import INVOICE_KINDS
from domain.dates import format_day_short
from domain.money import format_money

_WRONG, _UP = "wrong", "up"


class InvoicesCard(Card):
    """Enter shows the paper; the buttons credit, write off, and use a customer's credit.

    Signals:
        paper_asked: (invoice id).
    """

    paper_asked = Signal(int)

    def __init__(self, desk: Desk, asking: AskCard, title: str = "Invoices") -> None:
        super().__init__(title, "Enter shows the paper; an issued invoice never changes, it is credited")
        self._desk, self._saver, self._asking = desk, Autosave(desk), asking
        self._money: JobMoney | LooseMoney | None = None
        self.table = RowsTable(self._model(), "Invoices of the job")
        self.table.set_empty("No invoice yet", "A deposit, a part, or the whole: begin one beside this.")
        self.table.heights_changed.connect(lambda: fit_height(self.table, most=7))
        self.table.current_changed.connect(self._chosen)
        self.table.row_activated.connect(lambda row: row is not None and self.paper_asked.emit(row.invoice.id))
        self.paper = button("Paper", lambda: self._with_current(self._show_paper), "quiet", "paper")
        self.credit = button("Credit", lambda: self._with_current(self._ask_credit), "quiet", "undo",
                             "Take it back, in part or whole")  # fmt: skip
        self.use = button("Use the credit", lambda: self._with_current(self._use_credit), "quiet", "check",
                          "Settle it with what is left of the customer's payments")  # fmt: skip
        self.lost = button("Write off as unpaid", lambda: self._with_current(self._ask_bad_debt), "quiet", "cross",
                           "Write the open rest off as a bad debt")  # fmt: skip
        line = QHBoxLayout()
        for one in (self.paper, self.credit, self.use, self.lost):
            line.addWidget(one)
        line.addStretch(1)
        self.add(self.table)
        self.add(line)

    def _model(self) -> RowsModel:
        today = self._desk.today
        return RowsModel(
            [
                Column("number", "Number", width=92),
                Column("kind", "What", stretch=1),
                Column("issued", "Issued", width=92),
                Column("total", "Total", "right", width=104),
                Column("open", "Open", "right", width=104),
                Column("state", "", kind="state", width=144),
            ],
            text={
                "number": lambda row: row.invoice.number or "",
                "kind": _kind_words,
                "issued": lambda row: format_day_short(row.invoice.issued_on).partition(",")[0],
                "total": lambda row: format_money(row.invoice.total_cents),
                "open": lambda row: format_money(row.open_cents) if row.open_cents else "–",
                "state": lambda row: row.words(today()),
            },
            sort_key={
                "issued": lambda row: (row.invoice.issued_on, row.invoice.id),
                "total": lambda row: row.invoice.total_cents,
                "open": lambda row: row.open_cents,
            },
            tone={
                "state": lambda row: "over" if row.overdue(today()) else "info" if row.open_cents else "plain",
                "open": lambda row: None if row.open_cents else "ink_faint",
            },
            tip={
                "issued": lambda row: f"{format_day_short(row.invoice.issued_on)}, due"
                f" {format_day_short(row.invoice.due_on)}",
                "kind": lambda row: row.invoice.reason,
            },
            row_id=lambda row: row.invoice.id,
        )

    def show_money(self, money: JobMoney | LooseMoney) -> None:
        """Show the invoices of a job, or of a customer without one."""
        self._money = money
        self.table.rows_model().set_rows(money.invoices)
        fit_height(self.table, most=7)
        if self.table.current_row() is None and money.invoices:
            owing = [row for row in money.invoices if row.open_cents > 0]
            self.table.select_id((owing or money.invoices)[-1].invoice.id)
        self._chosen(self.table.current_row())

    def _chosen(self, row: InvoiceRow | None) -> None:
        own = row is not None and row.invoice.kind != "credit_note"
        owing = row is not None and own and row.open_cents > 0
        self.paper.setEnabled(row is not None)
        self.credit.setEnabled(own)
        self.lost.setEnabled(owing)
        credit = self._money.credit_cents if self._money else 0
        self.use.setVisible(credit > 0 and bool(self._money and self._money.open_cents))
        self.use.setEnabled(owing)
        self.use.setText(f"Use the credit of {format_money(credit)}")

    def _with_current(self, work: Callable[[InvoiceRow], object]) -> None:
        if (row := self.table.current_row()) is not None:
            work(row)

    def _show_paper(self, row: InvoiceRow) -> None:
        self.paper_asked.emit(row.invoice.id)

    def _ask_credit(self, row: InvoiceRow) -> None:
        one, desk = row.invoice, self._desk

        def credit(values: list[Any]) -> str:
            why, amount, reason, day = values

            def run(edit: Edit) -> None:
                from desktop.papers.keeping import keep_invoice

                credit_id = billing.credit_invoice(
                    edit, one.id, day, reason, gives_up=why == _UP, amount_cents=amount, today=desk.today()
                )
                keep_invoice(edit, credit_id, day)

            return self._saver.refusal(f"Credit {one.number}", run, say="The credit note is issued and kept")

        amount_field = MoneyField(least=1)
        amount_field.setPlaceholderText("all of it")
        self._asking.ask(
            f"Credit {one.name[0].lower()}{one.name[1:]}",
            "A credit note is issued and never undone. What was already paid of it becomes the customer's credit.",
            [
                ("Why", ChoiceField(
                    [(_WRONG, "Invoiced wrongly: still to be invoiced"), (_UP, "Money given up: not asked for again")],
                    required=True,
                ), _WRONG),
                ("Amount", amount_field, None),
                ("Reason", TextField("stands on the credit note", required=True), ""),
                ("Day", DateField(desk.today, required=True), desk.today()),
            ],
            "Issue the credit note", credit,
        )  # fmt: skip

    def _ask_bad_debt(self, row: InvoiceRow) -> None:
        one, desk = row.invoice, self._desk

        def write_off(values: list[Any]) -> str:
            amount, reason, day = values
            return self._saver.refusal(
                f"Write {one.number} off",
                lambda edit: billing.write_off_bad_debt(edit, one.id, day, reason, amount, today=desk.today()),
                say=f"{format_money(amount)} written off, in the job's margin too", undo=True,
            )  # fmt: skip

        self._asking.ask(
            f"{one.number} will not be paid",
            "Its part before tax lowers the job's margin. Whether the tax may be claimed back is for the state's"
            " revenue office to say.",
            [
                ("Amount", MoneyField(required=True, least=1), row.open_cents),
                ("Reason", TextField("why it will not come", required=True), ""),
                ("Day", DateField(desk.today, required=True), desk.today()),
            ],
            "Write it off", write_off,
        )  # fmt: skip

    def _use_credit(self, row: InvoiceRow) -> None:
        self._saver.do(
            f"Use the credit for {row.invoice.number}",
            lambda edit: billing.apply_credit(edit, row.invoice.id, self._desk.today()), say="Settled", undo=True,
        )  # fmt: skip


def _kind_words(row: InvoiceRow) -> str:
    return INVOICE_KINDS[row.invoice.kind]
