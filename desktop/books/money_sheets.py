"""The sheets of the year's workbook about money: each paper a row, every sum a formula over those rows."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import Connection

from db.queries.billing.open_items import free_of, open_invoices
from db.queries.books.bills import open_bills
from db.queries.books.ledger import accounts, ledger_entries, trial
from db.queries.books.miles import miles_log
from db.queries.books.names import customer_names
from db.queries.books.sales import sales_rows
from db.queries.books.subcontractors import paid_out, subcontractor_year
from db.queries.books.tax import tax_by_place
from db.queries.books.wip import wip
from desktop.books.book import Book
from desktop.books.entry_sheets import dollars, yes
from desktop.books.sheet import COUNT, DAY, MONEY, QUANTITY, SHARE, UNIT_COST, Formula, Sheet, SheetColumn
from domain.billing.aging import bucket_of
from domain.billing.records import INVOICE_KINDS
from domain.bills import BILL_KINDS, BILL_MEANS

NO_PLACE = "no place given"
_PERCENT = "0.000"
_BUCKETS = (
    SheetColumn("b0", "Current", 13, MONEY),
    SheetColumn("b1", "1-30 days", 13, MONEY),
    SheetColumn("b2", "31-60 days", 13, MONEY),
    SheetColumn("b3", "61-90 days", 13, MONEY),
    SheetColumn("b4", "Over 90 days", 13, MONEY),
    SheetColumn("credit", "Credit", 13, MONEY),
)
_BETWEEN = (
    "{late}<=0",
    "AND({late}>0,{late}<=30)",
    "AND({late}>30,{late}<=60)",
    "AND({late}>60,{late}<=90)",
    "{late}>90",
)


def write_sales(book: Book, conn: Connection, first: date, last: date) -> None:
    """Sales: every invoice, credit note and bad debt; Tax: each place and rate by formulas over it."""
    sheet = Sheet(
        book, "Sales",
        (
            SheetColumn("number", "Number", 12), SheetColumn("kind", "Paper", 18), SheetColumn("day", "Day", 13, DAY),
            SheetColumn("customer", "Customer", 28), SheetColumn("job", "Job", 11),
            SheetColumn("place", "Tax place", 22),
            SheetColumn("percent", "Tax, %", 9, _PERCENT), SheetColumn("net", "Net", 13, MONEY),
            SheetColumn("deposit", "Deposit in it", 13, MONEY), SheetColumn("sold", "Sales", 13, MONEY),
            SheetColumn("taxable", "Taxed part", 13, MONEY), SheetColumn("tax", "Sales tax", 12, MONEY),
            SheetColumn("total", "Total", 13, MONEY),
        ),
    )  # fmt: skip
    for row in sales_rows(conn, first, last):
        sheet.add((
            row.number, INVOICE_KINDS.get(row.kind, "Bad debt"), row.day, row.customer, row.job, row.place or NO_PLACE,
            row.percent, dollars(row.net_cents), dollars(row.deposit_cents),
            Formula("={net}-{deposit}").worth(dollars(row.net_cents - row.deposit_cents)), dollars(row.taxable_cents),
            dollars(row.tax_cents), Formula("={net}+{tax}").worth(dollars(row.net_cents + row.tax_cents)),
        ))  # fmt: skip
    sheet.finish()
    tax = Sheet(
        book, "Tax",
        (
            SheetColumn("place", "Tax place", 28), SheetColumn("percent", "Tax, %", 9, _PERCENT),
            SheetColumn("taxable", "Taxed part", 14, MONEY),
            SheetColumn("tax", "Tax invoiced, credits and bad debts off", 18, MONEY),
        ),
        ("taxable", "tax"),
    )  # fmt: skip
    for one in tax_by_place(conn, first, last):
        picked = f"({sheet.range('place')}={{place}})*({sheet.range('percent')}={{percent}})"
        tax.add((
            one.place or NO_PLACE, one.percent,
            Formula(f"=SUMPRODUCT({picked}*{sheet.range('taxable')})").worth(dollars(one.taxable_cents)),
            Formula(f"=SUMPRODUCT({picked}*{sheet.range('tax')})").worth(dollars(one.due_cents)),
        ))  # fmt: skip
    tax.add_total("All places")


def _aged(sheet: Sheet, row: tuple[Any, ...], open_cents: int, late: int | None) -> None:
    """A paper with what is open of it in its bucket; a payment is in none, and has no days past due."""
    places = [
        Formula(f"=IF(AND({{open}}>0,{between}),{{open}},0)").worth(
            dollars(open_cents) if open_cents > 0 and bucket_of(late) == n else 0
        )
        for n, between in enumerate(_BETWEEN)
        if late is not None
    ]
    days = None if late is None else Formula("={day}-{due}").worth(late)
    credit = Formula("=IF({open}<0,-{open},0)").worth(dollars(max(-open_cents, 0)))
    sheet.add((*row, days, dollars(open_cents), *(places or [None] * len(_BETWEEN)), credit))


def _aging_sheet(book: Book, title: str, party: str) -> Sheet:
    return Sheet(
        book, title,
        (
            SheetColumn("number", "Number", 14), SheetColumn("kind", "Paper", 18), SheetColumn("party", party, 28),
            SheetColumn("due", "Due", 13, DAY), SheetColumn("day", "As of", 13, DAY),
            SheetColumn("late", "Days past due", 9, COUNT), SheetColumn("open", "Open", 13, MONEY), *_BUCKETS,
        ),
        _AGED,
    )  # fmt: skip


_AGED = ("open", "b0", "b1", "b2", "b3", "b4", "credit")


def write_open_invoices(book: Book, conn: Connection, day: date) -> None:
    """Receivables on a day: open invoices by age, and payments that settle nothing yet."""
    sheet = _aging_sheet(book, "Receivables", "Customer")
    names, of_payments = customer_names(conn)
    for one in open_invoices(conn, day=day):
        kind, who = INVOICE_KINDS[one.kind], names[one.customer_id]
        _aged(sheet, (one.number, kind, who, one.due_on, day), one.open_cents, one.days_overdue(day))
    for payment_id, cents in free_of(conn, day=day).items():
        _aged(sheet, ("", "Payment not matched", of_payments[payment_id], None, day), -cents, None)
    sheet.add_total("All")


def write_open_bills(book: Book, conn: Connection, day: date) -> None:
    """Payables on a day: open bills by age, and suppliers' credits."""
    sheet = _aging_sheet(book, "Payables", "Supplier")
    for one in open_bills(conn, day=day):
        row = one.number, BILL_KINDS[one.kind], one.supplier, one.due_on, day
        _aged(sheet, row, one.open_cents, one.days_overdue(day))
    sheet.add_total("All")


def write_paid(book: Book, conn: Connection, first: date, last: date) -> None:
    """Paid: every payment of a bill; Subcontractors: each one's year by formulas over it."""
    sheet = Sheet(
        book, "Paid",
        (
            SheetColumn("day", "Day", 13, DAY), SheetColumn("supplier", "Supplier", 28),
            SheetColumn("sub", "Subcontractor", 12), SheetColumn("number", "Bill", 16), SheetColumn("means", "How", 14),
            SheetColumn("reference", "Reference", 18), SheetColumn("amount", "Paid", 13, MONEY),
        ),
    )  # fmt: skip
    for one in paid_out(conn, first, last):
        sheet.add((
            one.day, one.supplier, yes(one.subcontractor), one.number, BILL_MEANS[one.means], one.reference,
            dollars(one.cents),
        ))  # fmt: skip
    sheet.finish()
    subs = Sheet(
        book, "Subcontractors",
        (
            SheetColumn("name", "Subcontractor", 28), SheetColumn("counted", "Paid, cards left out", 14, MONEY),
            SheetColumn("card", "Paid by card", 13, MONEY),
            SheetColumn("threshold", "Threshold of the year", 13, MONEY),
            SheetColumn("report", "To report", 10), SheetColumn("form", "Tax form in on", 13, DAY),
        ),
    )  # fmt: skip
    card = BILL_MEANS["card"]
    for year in subcontractor_year(conn, first.year):
        picked = f"({sheet.range('supplier')}={{name}})"
        subs.add((
            year.name,
            Formula(f'=SUMPRODUCT({picked}*({sheet.range("means")}<>"{card}")*{sheet.range("amount")})')
            .worth(dollars(year.counted_cents)),
            Formula(f'=SUMPRODUCT({picked}*({sheet.range("means")}="{card}")*{sheet.range("amount")})')
            .worth(dollars(year.card_cents)),
            None if year.threshold_cents is None else dollars(year.threshold_cents),
            Formula('=IF({threshold}="","",IF(ROUND({counted}-{threshold},2)>=0,"yes","no"))')
            .worth("" if year.threshold_cents is None else "yes" if year.to_report else "no"),
            year.tax_form_on,
        ))  # fmt: skip


def write_miles(book: Book, conn: Connection, first: date, last: date) -> None:
    """Miles: every drive at the rate of its day, each amount rounded to the cent."""
    sheet = Sheet(
        book, "Miles",
        (
            SheetColumn("what", "What for", 36), SheetColumn("day", "Day", 13, DAY), SheetColumn("job", "Job", 11),
            SheetColumn("route", "Route", 28), SheetColumn("miles", "Miles", 10, QUANTITY),
            SheetColumn("rate", "A mile", 10, UNIT_COST), SheetColumn("amount", "Amount", 13, MONEY),
        ),
        ("miles", "amount"),
    )  # fmt: skip
    amount = Formula("=ROUND(ROUND({miles}*1000,0)*ROUND({rate}*10000,0)/100000,0)/100")
    for one in miles_log(conn, first, last).drives:
        sheet.add((one.purpose, one.day, one.job, one.route, one.miles, one.rate, amount.worth(dollars(one.cents))))
    sheet.add_total("All miles")


def write_progress(book: Book, conn: Connection) -> None:
    """Work in progress of the jobs that run today, by cost."""
    sheet = Sheet(
        book, "Progress",
        (
            SheetColumn("number", "Job", 11), SheetColumn("customer", "Customer", 26),
            SheetColumn("title", "What for", 36),
            SheetColumn("contract", "Contract", 13, MONEY), SheetColumn("budget", "Quoted cost", 13, MONEY),
            SheetColumn("spent", "Cost so far", 13, MONEY), SheetColumn("to_come", "Cost still to come", 13, MONEY),
            SheetColumn("expected", "Cost expected", 13, MONEY),
            SheetColumn("share", "Done", 9, SHARE), SheetColumn("earned", "Earned", 13, MONEY),
            SheetColumn("billed", "Billed", 13, MONEY), SheetColumn("over", "Over-billed", 13, MONEY),
            SheetColumn("under", "Under-billed", 13, MONEY), SheetColumn("done", "Invoiced in full", 9),
        ),
        ("contract", "budget", "spent", "to_come", "expected", "earned", "billed", "over", "under"),
    )  # fmt: skip
    cents = "ROUND({contract}*100,0)*ROUND({spent}*100,0)/ROUND({expected}*100,0)"
    for job in wip(conn).jobs:
        sheet.add((
            job.number, job.customer, job.title, dollars(job.contract_cents), dollars(job.budget_cents),
            dollars(job.spent_cents), dollars(0 if job.finished else job.to_come_cents),
            Formula("={spent}+{to_come}").worth(dollars(job.expected_cents)),
            Formula('=IF({done}="yes",1,IF({expected}>0,{spent}/{expected},0))').worth(job.share_done),
            Formula(f'=IF({{done}}="yes",{{contract}},IF({{expected}}>0,ROUND({cents},0)/100,0))')
            .worth(dollars(job.earned_cents)),
            dollars(job.billed_cents),
            Formula("=MAX(ROUND({billed}-{earned},2),0)").worth(dollars(job.over_billed_cents)),
            Formula("=MAX(ROUND({earned}-{billed},2),0)").worth(dollars(job.under_billed_cents)),
            yes(job.finished),
        ))  # fmt: skip
    sheet.add_total("All")


def write_ledger(book: Book, conn: Connection, first: date, last: date) -> None:
    """Ledger: every posting; Balance: all accounts by formulas over it."""
    sheet = Sheet(
        book, "Ledger",
        (
            SheetColumn("day", "Day", 13, DAY), SheetColumn("entry", "Entry", 16),
            SheetColumn("reference", "Reference", 16), SheetColumn("number", "Account", 10),
            SheetColumn("name", "Name", 24), SheetColumn("debit", "Debit", 13, MONEY),
            SheetColumn("credit", "Credit", 13, MONEY), SheetColumn("words", "What", 34),
            SheetColumn("party", "Customer or supplier", 28), SheetColumn("job", "Job", 11),
        ),
    )  # fmt: skip
    named = accounts(conn)
    for one in ledger_entries(conn, first, last):
        for posting in one.postings:
            account = named[posting.role]
            sheet.add((
                one.day, f"{one.source.replace('_', '-')}-{one.source_id}", one.reference, account.number, account.name,
                dollars(posting.debit_cents) if posting.debit_cents else None,
                dollars(posting.credit_cents) if posting.credit_cents else None, one.words, one.party, one.job,
            ))  # fmt: skip
    sheet.finish()
    balance = Sheet(
        book, "Balance",
        (
            SheetColumn("name", "Account", 28), SheetColumn("number", "Number", 10),
            SheetColumn("opening", "Before the year", 14, MONEY), SheetColumn("debit", "Debits", 14, MONEY),
            SheetColumn("credit", "Credits", 14, MONEY), SheetColumn("closing", "After", 14, MONEY),
        ),
        ("opening", "debit", "credit", "closing"),
    )  # fmt: skip
    for row in trial(conn, first, last).rows:
        picked = f"({sheet.range('name')}={{name}})*({sheet.range('number')}&\"\"={{number}}&\"\")"
        balance.add((
            row.account.name, row.account.number, dollars(row.opening_cents),
            Formula(f"=SUMPRODUCT({picked},{sheet.range('debit')})").worth(dollars(row.debit_cents)),
            Formula(f"=SUMPRODUCT({picked},{sheet.range('credit')})").worth(dollars(row.credit_cents)),
            Formula("={opening}+{debit}-{credit}").worth(dollars(row.closing_cents)),
        ))  # fmt: skip
    balance.add_total("All accounts")
