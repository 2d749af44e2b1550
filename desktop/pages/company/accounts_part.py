"""Accounts: the balance of every account over a month or year, named as the bookkeeper has them; work in progress."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QStackedWidget

from db.commands.month_close import name_account
from db.queries.books.ledger import accounts, ledger_entries, trial
from db.queries.books.wip import wip
from desktop.desk import JOBS, Desk
from desktop.pages.company.adding_up import AddingUp
from desktop.pages.company.part import Part, attempt
from desktop.pages.company.saving import ask_where, write_in_background
from desktop.widgets.cards import button, label, segments
from desktop.widgets.form import TypedField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.bookkeeping import parse_period
from domain.dates import format_day_short
from domain.ledger import TrialBalance, TrialRow
from domain.ledger.roles import SIDE_WORDS
from domain.money import format_money
from domain.units import format_percent

_EXPECTED = (
    "Cost so far and what is still to come: the rest as quoted, or at the pace of the work where you said how much is"
    " done"
)
_VIEWS = (("accounts", "Balance of accounts"), ("wip", "Work in progress"))


class AccountsPart(Part):
    """Type a number or name into the table to give an account the bookkeeper's own."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Accounts", "What the invoices, payments and bills come to on each account. Type the number and name"
            " your bookkeeper uses; the files use them too.",
        )  # fmt: skip
        self.adding_up = AddingUp(desk)
        self.period = TypedField(parse_period, _period_words, required=True, placeholder="2026 or 2026-11")
        self.period.setAccessibleName("Year or month")
        self.period.setFixedWidth(130)
        self.period.set_value(parse_period(str(desk.today().year)))
        self.period.edited.connect(lambda _: self.refresh())
        self.view = segments(_VIEWS, lambda _: self.refresh(), "What is shown")
        self.accounts = RowsTable(self._accounts_model(), "Balance of all accounts")
        self.work = RowsTable(_work_model(), "Work in progress")
        self.work.set_empty("No job is running", "A job is here from its accepted proposal until it is closed.")
        self.work.row_activated.connect(lambda job: desk.go(JOBS, job.job_id, "money"))
        self.stack = QStackedWidget()
        self.stack.addWidget(self.accounts)
        self.stack.addWidget(self.work)
        self.total = label("", "small", "soft", wrap=True)
        self.csv = button("Ledger as csv", self.save_csv, "quiet", "save", "Every posting of the period, one a row")
        self.book = button(
            "Year workbook", self.save_book, "quiet", "table", "Sales, tax, what is owed, miles, ledger; with formulas"
        )
        for one in (self.csv, self.book):
            self.head.add_action(one)
        line = QHBoxLayout()
        line.addWidget(self.view)
        line.addStretch(1)
        words = label("Year or month", "body", "soft")
        words.setBuddy(self.period)
        line.addWidget(words)
        line.addWidget(self.period)
        self._column.addLayout(line)
        self.add(self.stack, 1)
        self.add(self.total)

    def _accounts_model(self) -> RowsModel:
        return RowsModel(
            [
                Column("number", "Number", width=92, editable=True, tooltip="Your bookkeeper's number of the account"),
                Column("name", "Account", stretch=2, editable=True, tooltip="Empty takes our own name again"),
                Column("side", "Kind", width=124),
                Column("opening", "Before", "right", width=120),
                Column("debit", "Debits", "right", width=120),
                Column("credit", "Credits", "right", width=120),
                Column("closing", "After", "right", width=120),
            ],
            text={
                "number": lambda row: row.account.number,
                "name": lambda row: row.account.name,
                "side": lambda row: SIDE_WORDS[row.account.role.side],
                "opening": lambda row: _money(row.opening_cents),
                "debit": lambda row: _money(row.debit_cents),
                "credit": lambda row: _money(row.credit_cents),
                "closing": lambda row: _money(row.closing_cents),
            },
            sort_key={
                "opening": lambda row: row.opening_cents,
                "debit": lambda row: row.debit_cents,
                "credit": lambda row: row.credit_cents,
                "closing": lambda row: row.closing_cents,
            },
            tone={"side": lambda _: "ink_soft"},
            tip={"name": lambda row: row.account.role.holds, "side": lambda row: row.account.role.holds},
            row_id=lambda row: row.account.role.key,
            setter=self._rename,
        )

    def refresh(self) -> None:
        first, last = self.period.value()
        work = self.view.value() == "wip"
        self.stack.setCurrentWidget(self.work if work else self.accounts)
        self.period.setEnabled(not work)
        if work:
            with self.desk.read() as conn:
                running = wip(conn)
            self.work.rows_model().set_rows(running.jobs)
            self.total.setText(
                f"Earned {format_money(running.earned_cents)}, billed {format_money(running.billed_cents)}:"
                f" over-billed {format_money(running.over_billed_cents)},"
                f" under-billed {format_money(running.under_billed_cents)}. How far a job is, is told by its cost"
                " so far and the cost expected; billed counts deposits."
            )
            return
        self.adding_up.ask(
            (first, last), lambda conn: trial(conn, first, last), self._show,
            lambda: self.total.setText("Adding up the books…"),
        )  # fmt: skip

    def _show(self, books: TrialBalance) -> None:
        if self.view.value() == "wip":
            return
        self.accounts.rows_model().set_rows(books.rows)
        self.total.setText(
            f"Debits {format_money(books.debit_cents)} and credits {format_money(books.credit_cents)}. Income less"
            f" costs {format_money(books.result_cents)}, before your own wage; hours and miles are not in it."
            " Debits stand above nothing, credits below. Income and costs begin anew with each year; what earlier"
            " years earned is your bookkeeper's to book."
        )

    def _rename(self, row: TrialRow, key: str, typed: str) -> str | None:
        number = typed if key == "number" else row.account.number
        name = typed if key == "name" else row.account.name
        role = row.account.role
        return attempt(
            self.desk, f"Name account {row.account.name}", lambda edit: name_account(edit, role.key, number, name)
        )

    def save_csv(self) -> None:
        """Ask where, and write every posting of the period."""
        first, last = self.period.value()
        words = _period_words((first, last))
        path = ask_where(self, "Ledger as csv", f"Ledger {words}.csv", "Comma-separated (*.csv)")
        if path is None:
            return

        def write(path: Any) -> Any:
            from desktop.books.ledger_csv import write_ledger_csv

            with self.desk.read() as conn:
                return write_ledger_csv(ledger_entries(conn, first, last), accounts(conn), path)

        write_in_background(self.desk, path, write)

    def save_book(self) -> None:
        """Ask where, and write the workbook of the period's year."""
        year, today = self.period.value()[0].year, self.desk.today()
        path = ask_where(self, "Year workbook", f"Books {year}.xlsx", "Workbook (*.xlsx)")
        if path is None:
            return

        def write(path: Any) -> Any:
            from desktop.books.year_book import write_year_book

            with self.desk.read() as conn:
                return write_year_book(conn, path, year, today)

        write_in_background(self.desk, path, write)


def _work_model() -> RowsModel:
    return RowsModel(
        [
            Column("number", "Job", width=76),
            Column("customer", "Customer", stretch=2),
            Column("contract", "Contract", "right", width=94),
            Column("spent", "Cost so far", "right", width=94),
            Column("expected", "Expected", "right", width=94, tooltip=_EXPECTED),
            Column("done", "Done", "right", width=70),
            Column("earned", "Earned", "right", width=94),
            Column("billed", "Billed", "right", width=94),
            Column("over", "Over-billed", "right", width=98),
            Column("under", "Under-billed", "right", width=108),
        ],
        text={
            "contract": lambda job: format_money(job.contract_cents),
            "spent": lambda job: format_money(job.spent_cents),
            "expected": lambda job: format_money(job.expected_cents),
            "done": lambda job: format_percent(job.percent_done),
            "earned": lambda job: format_money(job.earned_cents),
            "billed": lambda job: format_money(job.billed_cents),
            "over": lambda job: _money(job.over_billed_cents),
            "under": lambda job: _money(job.under_billed_cents),
        },
        sort_key={
            "contract": lambda job: job.contract_cents,
            "spent": lambda job: job.spent_cents,
            "expected": lambda job: job.expected_cents,
            "done": lambda job: job.percent_done,
            "earned": lambda job: job.earned_cents,
            "billed": lambda job: job.billed_cents,
            "over": lambda job: job.over_billed_cents,
            "under": lambda job: job.under_billed_cents,
        },
        tone={"expected": lambda job: "over" if job.loss_cents else None},
        tip={
            "customer": lambda job: f"{job.customer}, {job.title}",
            "expected": lambda job: f"Heads for a loss of {format_money(job.loss_cents)}." if job.loss_cents else "",
        },
        row_id=lambda job: job.job_id,
    )


def _money(cents: int) -> str:
    return format_money(cents) if cents else "–"


def _period_words(period: tuple[date, date]) -> str:
    first, last = period
    if (first.month, first.day, last.month) == (1, 1, 12):
        return str(first.year)
    return f"{first.year}-{first.month:02d}" if first.month == last.month else format_day_short(first)
