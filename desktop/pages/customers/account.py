"""A customer's account: what is owed, line by line, invoices without a job, and the papers about it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.edit import Edit
from db.queries.billing.accounts import customer_account, customer_statement
from db.queries.billing.job_money import loose_money
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.customers.loose_invoice import LooseInvoiceCard
from desktop.pages.drafts import half_of_customer
from desktop.pages.job_rows import fit_height
from desktop.pages.job_sections.money.asking import AskCard
from desktop.pages.job_sections.money.invoices_card import InvoicesCard
from desktop.widgets.cards import Card, Figure, button
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.billing.statement import AccountLine
from domain.dates import format_day_short
from domain.money import format_money

LAST = 12
"""Lines of the account that are shown, the newest first; a statement has them all."""


class CustomerAccountView(QWidget):
    """The account, with the invoices that belong to no job above it.

    Signals:
        invoice_asked: (invoice id): show its paper.
        paper_asked: (paper id): show a paper that was drawn up.
    """

    invoice_asked = Signal(int)
    paper_asked = Signal(int)

    def __init__(self, desk: Desk, customer_id: Callable[[], int]) -> None:
        super().__init__()
        self._desk, self._saver, self._customer_id = desk, Autosave(desk), customer_id
        self._jobs: dict[str, int] = {}
        self.card = Card("Account", "the newest first; Enter opens the job")
        self.figures = {key: Figure(key) for key in ("Balance", "Overdue", "Credit")}
        self.table = RowsTable(_model(), "Account of the customer")
        self.table.set_empty("Nothing on the account yet", "Invoices and payments stand here with the balance.")
        self.table.heights_changed.connect(lambda: fit_height(self.table, most=LAST))
        self.table.row_activated.connect(self._open)
        self.statement = button("Statement of account", lambda: self._keep("statement"), "quiet", "paper",
                                "Draw it up, keep it among the papers, show it")  # fmt: skip
        self.reminder = button("Polite reminder", lambda: self._keep("reminder"), "quiet", "mail",
                               "A letter about what is overdue, kept among the papers")  # fmt: skip
        self.new = button("Invoice without a job", lambda: self.draft.begin(self._customer_id()), "quiet", "plus",
                          "For what belongs to no job; a job is invoiced on its Money section")  # fmt: skip
        self.asking = AskCard(desk, self._customer_id)
        self.loose = InvoicesCard(desk, self.asking, "Invoices without a job")
        self.draft = LooseInvoiceCard(desk)
        for one in (self.loose, self.draft):
            one.paper_asked.connect(self.invoice_asked)
        self._arrange()

    def _arrange(self) -> None:
        head, foot = QHBoxLayout(), QHBoxLayout()
        for figure in self.figures.values():
            head.addWidget(figure)
        head.addStretch(1)
        for one in (self.statement, self.reminder, self.new):
            foot.addWidget(one)
        foot.addStretch(1)
        self.card.add(head)
        self.card.add(self.table)
        self.card.add(foot)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)
        for part in (self.draft, self.asking, self.loose, self.card):
            column.addWidget(part)

    def show_account(self, jobs: dict[str, int]) -> None:
        """Read the account of the customer shown; `jobs` are the ids of their jobs by number."""
        self._jobs, today, whose = jobs, self._desk.today(), self._customer_id()
        with self._desk.read() as conn:
            lines = customer_statement(conn, whose, today).lines
            account = customer_account(conn, whose, today)
            loose = loose_money(conn, whose)
        self.draft.show_money(loose)
        self.loose.setVisible(bool(loose.invoices))
        self.loose.show_money(loose)
        self.new.setEnabled(loose.draft is None)
        self.figures["Balance"].set_values(format_money(account.balance_cents))
        late = account.overdue_cents
        self.figures["Overdue"].set_values(format_money(late), "", "over" if late else "")
        self.figures["Credit"].set_values(format_money(account.credit_cents))
        self.statement.setEnabled(bool(lines))
        self.reminder.setEnabled(late > 0)
        self.table.rows_model().set_rows(lines[::-1][:LAST])
        fit_height(self.table, most=LAST)

    def _open(self, row: AccountLine | None) -> None:
        if row is not None and row.job in self._jobs:
            self._desk.go(JOBS, self._jobs[row.job], "money")

    def _keep(self, kind: str) -> None:
        words = "Polite reminder" if kind == "reminder" else "Statement of account"
        if half := half_of_customer(self._desk, self._customer_id()):
            self.asking.ask(words, half, [], "Draw it up all the same", lambda _: self._draw_up(kind))
        else:
            self._draw_up(kind)

    def _draw_up(self, kind: str) -> str:
        kept: list[int] = []

        def run(edit: Edit) -> None:
            from desktop.papers import keeping

            keep = keeping.keep_reminder if kind == "reminder" else keeping.keep_statement
            kept.append(keep(edit, self._customer_id(), self._desk.today()))

        words = "reminder" if kind == "reminder" else "statement of account"
        if self._saver.do(f"Draw up a {words}", run, say=f"The {words} is kept among the papers", undo=True):
            self.paper_asked.emit(kept[0])
        return ""


def _model() -> RowsModel:
    return RowsModel(
        [
            Column("day", "Day", width=116),
            Column("words", "What", stretch=1),
            Column("job", "Job", width=84),
            Column("due", "Due", width=116),
            Column("amount", "Amount", "right", width=108),
            Column("balance", "Balance", "right", width=108),
        ],
        text={
            "day": lambda line: format_day_short(line.day),
            "due": lambda line: format_day_short(line.due_on) if line.due_on else "",
            "amount": lambda line: format_money(line.amount_cents),
            "balance": lambda line: format_money(line.balance_cents),
        },
        sort_key={
            "day": lambda line: (line.day, line.kind, line.row_id),
            "due": lambda line: line.due_on,
            "amount": lambda line: line.amount_cents,
            "balance": lambda line: line.balance_cents,
        },
        tone={"amount": lambda line: "under" if line.amount_cents < 0 else None},
        row_id=lambda line: (line.kind, line.row_id),
    )
