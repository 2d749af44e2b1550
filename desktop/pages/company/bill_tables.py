"""The tables of the Bills part, and one bill in words."""

from __future__ import annotations

from typing import Any

from db.queries.books.bills import WholeBill
from desktop.widgets.table import Column, RowsModel
from domain.bills import BILL_KINDS, BILL_LINE_KINDS, BILL_MEANS
from domain.dates import format_day_short
from domain.money import format_money

_AGES = ("Current", "1–30 days", "31–60 days", "61–90 days", "Over 90 days")


def bills_model() -> RowsModel:
    """Bills, receipts and credits."""
    return RowsModel(
        [
            Column("day", "Dated", width=120),
            Column("supplier", "From", stretch=2),
            Column("kind", "Paper", width=80),
            Column("number", "Number", width=120),
            Column("due", "Due", width=120),
            Column("total", "Total", "right", width=108),
            Column("open", "Open", "right", width=108),
            Column("state", "", width=150, kind="state"),
        ],
        text={
            "day": lambda row: format_day_short(row.billed_on),
            "kind": lambda row: BILL_KINDS[row.kind],
            "due": lambda row: format_day_short(row.due_on) if row.due_on else "",
            "total": lambda row: format_money(row.total_cents),
            "open": lambda row: format_money(row.open_cents) if row.open_cents else "–",
            "state": lambda row: f"{row.to_log} to log" if row.to_log else "",
        },
        sort_key={
            "day": lambda row: (row.billed_on, row.id),
            "due": lambda row: row.due_on or row.billed_on,
            "total": lambda row: row.total_cents,
            "open": lambda row: row.open_cents,
        },
        tone={"state": lambda _: "caution"},
        tip={"supplier": lambda row: row.note or row.supplier},
        row_id=lambda row: row.id,
    )


def logged_model() -> RowsModel:
    """Entries of the logs that no bill has."""
    return RowsModel(
        [
            Column("day", "Day", width=112),
            Column("job", "Job", width=84),
            Column("kind", "Kind", width=120),
            Column("words", "What", stretch=2),
            Column("receipt", "Receipt", width=130),
            Column("cents", "Amount", "right", width=108),
        ],
        text={
            "day": lambda row: format_day_short(row.day),
            "kind": lambda row: BILL_LINE_KINDS[row.kind],
            "cents": lambda row: format_money(row.cents),
        },
        sort_key={"day": lambda row: (row.day, row.id), "cents": lambda row: row.cents},
        row_id=lambda row: (row.table, row.id),
    )


def payables_model() -> RowsModel:
    """What is owed to each supplier, by age."""

    def bucket(place: int) -> Any:
        return lambda row: format_money(row.buckets[place]) if row.buckets[place] else "–"

    return RowsModel(
        [
            Column("supplier", "Supplier", stretch=2),
            *(Column(f"b{place}", title, "right", width=112) for place, title in enumerate(_AGES)),
            Column("credit", "Credits", "right", width=104),
            Column("balance", "Balance", "right", width=112),
        ],
        text={
            **{f"b{place}": bucket(place) for place in range(len(_AGES))},
            "credit": lambda row: format_money(row.credit_cents) if row.credit_cents else "–",
            "balance": lambda row: format_money(row.balance_cents),
        },
        sort_key={
            **{f"b{place}": (lambda row, at=place: row.buckets[at]) for place in range(len(_AGES))},
            "credit": lambda row: row.credit_cents,
            "balance": lambda row: row.balance_cents,
        },
        tone={f"b{place}": lambda _: "over" for place in (3, 4)},
        row_id=lambda row: row.supplier_id,
    )


def whole_words(whole: WholeBill) -> str:
    """A bill's lines and payments on a few lines."""
    lines = [
        f"{line.description or BILL_LINE_KINDS[line.kind]} ({BILL_LINE_KINDS[line.kind].lower()}"
        f"{f', job {whole.jobs[line.job_id]}' if line.job_id else ''}"
        f"{', in its log' if line.logged else ', not in its log yet' if line.to_log else ''})"
        f" {format_money(line.net_cents)}"
        for line in whole.lines
    ]
    if whole.bill.tax_cents:
        lines.append(f"sales tax {format_money(whole.bill.tax_cents)}")
    paid = [
        f"{format_money(one.amount_cents)} {BILL_MEANS.get(one.means, 'set off').lower()}"
        f" {format_day_short(one.paid_on)}"
        for one in whole.payments
    ]
    words = "; ".join(lines) + "."
    if paid:
        words += f" Paid: {'; '.join(paid)}."
    return f"{words} {whole.bill.note}".strip()
