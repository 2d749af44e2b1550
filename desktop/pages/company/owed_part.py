"""What customers owe on a day, by age, a row a customer; the sums tie to the books' receivables."""

from __future__ import annotations

from datetime import date

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.edit import Edit
from db.queries.billing.accounts import aging_at, receivable_at
from desktop.desk import CUSTOMERS, Desk
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.company.part import Part, attempt
from desktop.pages.job_sections.money.papers import kept_pdf
from desktop.widgets.cards import Figure, button, flowing, label
from desktop.widgets.form import DateField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.billing.aging import BUCKETS, Aging, AgingRow
from domain.dates import format_day
from domain.money import format_money

_TITLES = ("Current", "1–30 days", "31–60 days", "61–90 days", "Over 90 days")


class OwedPart(Part):
    """The open invoices of all customers, aged from their due day; Enter opens the customer."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "What is owed", "Open invoices by how long they are past their due day. A credit is money that is"
            " there and settles no invoice yet.",
        )  # fmt: skip
        self._aging = Aging(desk.today(), ())
        self.figures = {key: Figure(key) for key in ("Open", "Overdue", "Credits", "Balance")}
        self.day = DateField(desk.today, required=True)
        only_asks(self.day)
        self.day.setAccessibleName("As of")
        self.day.setFixedWidth(190)
        self.day.set_value(desk.today())
        self.day.edited.connect(lambda _: self.refresh())
        self.table = RowsTable(_model(), "What customers owe, by age")
        self.table.current_changed.connect(self._chosen)
        self.table.row_activated.connect(lambda _: self._open_customer())
        self.ties = label("", "small", "soft")
        self.customer = button("Open the customer", self._open_customer, "quiet", "right")
        self.statement = button("Statement", lambda: self._keep("statement"), "quiet", "paper",
                                "Draw up a statement of account, keep it and show it")  # fmt: skip
        self.reminder = button("Polite reminder", lambda: self._keep("reminder"), "quiet", "mail",
                               "A letter about what is overdue, kept and shown")  # fmt: skip
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(flowing(*self.figures.values(), label("As of", "body", "soft"), self.day))
        column.addWidget(self.table, 1)
        column.addWidget(flowing(self.customer, self.statement, self.reminder, self.ties))
        self.stack = PaperStack(desk, body, "Back to what is owed")
        self.add(self.stack, 1)
        self._chosen(None)

    def refresh(self) -> None:
        day: date = self.day.value() or self.desk.today()
        with self.desk.read() as conn:
            self._aging = found = aging_at(conn, day, is_today=day == self.desk.today())
            books = receivable_at(conn, day)
        self.figures["Open"].set_values(format_money(found.open_cents))
        self.figures["Overdue"].set_values(
            format_money(found.overdue_cents), "", "over" if found.overdue_cents else ""
        )
        self.figures["Credits"].set_values(format_money(found.credit_cents))
        self.figures["Balance"].set_values(format_money(found.balance_cents))
        self.table.rows_model().set_rows([*found.rows, _sum_row(found)] if found.rows else [])
        apart = format_money(found.balance_cents - books)
        self.ties.setText(f"Receivables in the books {format_money(books)}, difference {apart}")
        self.table.set_empty(
            f"Nobody owes anything on {format_day(day)}",
            "An invoice that is issued stands here until it is settled, with its age.",
        )
        self._chosen(self.table.current_row())

    def _chosen(self, row: AgingRow | None) -> None:
        one = row is not None and row.customer_id != 0
        self.customer.setEnabled(one)
        self.statement.setEnabled(one)
        self.reminder.setEnabled(row is not None and one and row.overdue_cents > 0)

    def _open_customer(self) -> None:
        row: AgingRow | None = self.table.current_row()
        if row is not None and row.customer_id:
            self.desk.go(CUSTOMERS, row.customer_id)

    def _keep(self, kind: str) -> None:
        row: AgingRow | None = self.table.current_row()
        if row is None:
            return
        kept: list[int] = []

        def run(edit: Edit) -> None:
            from desktop.papers import keeping

            keep = keeping.keep_reminder if kind == "reminder" else keeping.keep_statement
            kept.append(keep(edit, row.customer_id, self.desk.today()))

        words = "reminder" if kind == "reminder" else "statement of account"
        said = f"The {words} is kept among the papers"
        if attempt(self.desk, f"Draw up a {words}", run, say=said, undo=True) is None:
            self.stack.show_paper(*kept_pdf(self.desk, kept[0]))


def _sum_row(found: Aging) -> AgingRow:
    first, second, third, fourth, fifth = found.buckets
    return AgingRow(0, "All customers", (first, second, third, fourth, fifth), found.credit_cents, 0)


def _money(cents: int) -> str:
    return format_money(cents) if cents else "–"


def _model() -> RowsModel:
    ages = [f"age{place}" for place in range(len(BUCKETS))]

    def last(value: object, row: AgingRow) -> object:
        return None if row.customer_id == 0 else value  # what has no value stays below when the table is sorted

    return RowsModel(
        [
            Column("customer", "Customer", stretch=2),
            *(Column(key, title, "right", width=100) for key, title in zip(ages, _TITLES, strict=True)),
            Column("open", "Open", "right", width=104),
            Column("credit", "Credit", "right", width=92, gives_way=True),
            Column("balance", "Balance", "right", width=104, gives_way=True),
        ],
        text={
            **{key: lambda row, place=place: _money(row.buckets[place]) for place, key in enumerate(ages)},
            "open": lambda row: _money(row.open_cents),
            "credit": lambda row: _money(-row.credit_cents),
            "balance": lambda row: format_money(row.balance_cents),
        },
        sort_key={
            "customer": lambda row: last(row.customer.lower(), row),
            **{key: lambda row, place=place: last(row.buckets[place], row) for place, key in enumerate(ages)},
            "open": lambda row: last(row.open_cents, row),
            "credit": lambda row: last(row.credit_cents, row),
            "balance": lambda row: last(row.balance_cents, row),
        },
        tone={
            key: lambda row, place=place: "over" if place >= 3 and row.buckets[place] else None
            for place, key in enumerate(ages)
        },
        tip={"customer": lambda row: f"the oldest {row.oldest_days} days overdue" if row.oldest_days > 0 else ""},
        row_id=lambda row: row.customer_id,
        strong=lambda row: row.customer_id == 0,
    )
