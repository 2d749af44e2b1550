"""A customer's account: what is owed, the statement line by line, and the papers about it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout

from db.edit import Edit
from db.queries.billing.accounts import customer_account, customer_statement
from desktop.desk import COMPANY, JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_rows import fit_height
from desktop.widgets.cards import Card, Figure, button
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.billing.statement import AccountLine
from domain.dates import format_day_short
from domain.money import format_money

LAST = 12
"""Lines of the account that are shown, the newest first; a statement has them all."""


class AccountCard(Card):
    """Hidden while a customer has neither invoices nor payments."""

    def __init__(self, desk: Desk, customer_id: Callable[[], int]) -> None:
        super().__init__("Account", "the newest first; Enter opens the job")
        self._desk, self._saver, self._customer_id = desk, Autosave(desk), customer_id
        self.figures = {key: Figure(key) for key in ("Balance", "Overdue", "Credit")}
        self.table = RowsTable(_model(), "Account of the customer")
        self.table.heights_changed.connect(lambda: fit_height(self.table, most=LAST))
        self.table.row_activated.connect(self._open)
        self.statement = button("Statement of account", lambda: self._keep("statement"), "quiet", "paper",
                                "Draw it up, keep it among the papers")  # fmt: skip
        self.reminder = button("Polite reminder", lambda: self._keep("reminder"), "quiet", "mail",
                               "A letter about what is overdue, kept among the papers")  # fmt: skip
        self.papers = button("Papers issued", lambda: desk.go(COMPANY, None, "papers"), "quiet", "right")
        head, foot = QHBoxLayout(), QHBoxLayout()
        for figure in self.figures.values():
            head.addWidget(figure)
        head.addStretch(1)
        for one in (self.statement, self.reminder, self.papers):
            foot.addWidget(one)
        foot.addStretch(1)
        self.add(head)
        self.add(self.table)
        self.add(foot)
        self._jobs: dict[str, int] = {}

    def show_account(self, jobs: dict[str, int]) -> None:
        """Read the account of the customer shown; `jobs` are the ids of their jobs by number."""
        self._jobs, today = jobs, self._desk.today()
        with self._desk.read() as conn:
            lines = customer_statement(conn, self._customer_id(), today).lines
            account = customer_account(conn, self._customer_id(), today) if lines else None
        self.setVisible(account is not None)
        if account is None:
            return
        self.figures["Balance"].set_values(format_money(account.balance_cents))
        late = account.overdue_cents
        self.figures["Overdue"].set_values(format_money(late), "", "over" if late else "")
        self.figures["Credit"].set_values(format_money(account.credit_cents))
        self.reminder.setEnabled(late > 0)
        self.table.rows_model().set_rows(lines[::-1][:LAST])
        fit_height(self.table, most=LAST)

    def _open(self, row: AccountLine | None) -> None:
        if row is not None and row.job in self._jobs:
            self._desk.go(JOBS, self._jobs[row.job], "money")

    def _keep(self, kind: str) -> None:
        def run(edit: Edit) -> None:
            from desktop.papers import keeping

            keep = keeping.keep_reminder if kind == "reminder" else keeping.keep_statement
            keep(edit, self._customer_id(), self._desk.today())

        words = "reminder" if kind == "reminder" else "statement of account"
        self._saver.do(f"Draw up a {words}", run, say=f"The {words} is kept: see Papers issued", undo=True)


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
