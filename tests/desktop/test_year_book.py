"""The year's workbook, worked out by another program, comes to what the screen shows; the csv balances."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from db.commands.billing import credit_invoice, draft_invoice, issue_invoice, take_payment, write_off_bad_debt
from db.commands.bills import enter_bill, pay_bill, set_subcontractor
from db.commands.month_close import name_account
from db.commands.trips import add_trip
from db.queries.billing.accounts import aging_at
from db.queries.books.bills import payables_at
from db.queries.books.ledger import accounts, ledger_entries, trial
from db.queries.books.miles import miles_log
from db.queries.books.subcontractors import subcontractor_year
from db.queries.books.tax import tax_by_place
from db.queries.books.wip import wip
from db.tables import supplier
from desktop.books.ledger_csv import LEDGER_HEADS, write_ledger_csv, write_miles_csv
from desktop.books.year_book import ORDER, write_year_book
from domain.bills import BillLineDraft
from domain.money import parse_money
from tests.db.billing_company import AgreedJob, BillingCompany
from tests.desktop.other_program import worked_out

TODAY = date(2026, 6, 10)
FIRST, LAST = date(2026, 1, 1), date(2026, 12, 31)
NASTY = "=1+1"


@pytest.fixture(scope="module")
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    on = date(2026, 3, 21)
    with made.company:
        customer_id = made.customer(NASTY)
        job_id = made.job(customer_id, AgreedJob(treatment="separated", percent="8.875", goodwill_cents=1_111))
        made.do(issue_invoice, made.do(draft_invoice, "deposit", on, job_id=job_id), on)
        made.do(take_payment, customer_id, on, 70_000, "check")
        final = made.do(draft_invoice, "final", on, job_id=job_id)
        made.do(issue_invoice, final, on)
        made.do(credit_invoice, final, on, "scratch", gives_up=True, amount_cents=4_321)
        made.do(write_off_bad_debt, final, date(2026, 4, 1), "gone", 1_234)
        other = made.job(customer_id, AgreedJob(treatment="none"))
        made.do(issue_invoice, made.do(draft_invoice, "deposit", on, job_id=other), on)
        made.do(take_payment, customer_id, date(2026, 5, 1), 999, "cash", matches={})
        lines = [BillLineDraft("subcontractor", 250_000, "Circuit", other)]
        bill_id = made.do(enter_bill, "Volt Works", "bill", on, lines, number="@7", tax_cents=77)
        made.do(pay_bill, bill_id, on, 200_000, means="transfer")
        made.do(pay_bill, bill_id, on, 10_000, means="card")
        for seller in made.ask(lambda conn: conn.execute(select(supplier.c.id)).scalars().all()):
            made.do(set_subcontractor, seller, True)
        made.do(add_trip, date(2026, 2, 2), Decimal("12.3"), "bank")
        made.do(name_account, "bank", "1010", "Checking")
        yield made


@pytest.fixture(scope="module")
def sheets(shop: BillingCompany, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[dict[str, Any]]]:
    """Every sheet's rows by heading, as the other program worked them out."""
    folder = tmp_path_factory.mktemp("year")
    with shop.company.read() as conn:
        write_year_book(conn, folder / "year.xlsx", 2026, TODAY)
    book = worked_out(folder / "year.xlsx", folder)
    assert tuple(book.sheetnames) == ORDER
    found = {}
    for page in book:
        heads, *rows = page.iter_rows(values_only=True)
        found[page.title] = [dict(zip(heads, row, strict=True)) for row in rows]
    return found


def cents(value: Any) -> int:
    return round(float(value or 0) * 100)


def test_accounts_come_to_the_balance_on_the_screen(shop: BillingCompany, sheets: dict[str, Any]) -> None:
    books = shop.ask(trial, FIRST, LAST)
    *rows, last = sheets["Balance"]
    assert [(row["Account"], cents(row["Debits"]), cents(row["Credits"]), cents(row["After"])) for row in rows] == [
        (row.account.name, row.debit_cents, row.credit_cents, row.closing_cents) for row in books.rows
    ]
    assert cents(last["Debits"]) == cents(last["Credits"]) == books.debit_cents > 0
    assert rows[0]["Number"] == "1010"


def test_tax_ages_miles_and_work_come_to_the_screen(shop: BillingCompany, sheets: dict[str, Any]) -> None:
    places = shop.ask(tax_by_place, FIRST, LAST)
    tax = sheets["Tax"]
    assert [cents(row["Tax invoiced, credits and bad debts off"]) for row in tax[:-1]] == [p.due_cents for p in places]
    assert cents(tax[-1]["Tax invoiced, credits and bad debts off"]) == sum(p.due_cents for p in places) > 0
    titles = ("Current", "1-30 days", "31-60 days", "61-90 days", "Over 90 days")
    owed, owing = shop.ask(aging_at, TODAY), shop.ask(payables_at, TODAY)
    for name, aged in (("Receivables", owed), ("Payables", owing)):
        last = sheets[name][-1]
        assert tuple(cents(last[title]) for title in titles) == aged.buckets
        assert cents(last["Credit"]) == aged.credit_cents
        assert cents(last["Open"]) == aged.balance_cents > 0
    log = shop.ask(miles_log, FIRST, LAST)
    assert cents(sheets["Miles"][-1]["Amount"]) == log.cents == 892
    work = shop.ask(wip)
    last = sheets["Progress"][-1]
    assert cents(last["Earned"]) == work.earned_cents
    assert cents(last["Over-billed"]) == work.over_billed_cents > 0
    assert cents(last["Under-billed"]) == work.under_billed_cents


def test_subcontractors_come_to_the_screen(shop: BillingCompany, sheets: dict[str, Any]) -> None:
    heads = ("Paid, cards left out", "Paid by card")
    assert [
        (row["Subcontractor"], *(cents(row[head]) for head in heads), row["To report"] == "yes")
        for row in sheets["Subcontractors"]
    ] == [(one.name, one.counted_cents, one.card_cents, one.to_report) for one in shop.ask(subcontractor_year, 2026)]
    assert any(row["To report"] == "yes" for row in sheets["Subcontractors"])


def test_text_that_looks_like_a_formula_stays_text(sheets: dict[str, Any]) -> None:
    assert {row["Customer"] for row in sheets["Sales"]} == {NASTY}
    assert sheets["Paid"][0]["Bill"] == "@7"


def test_the_ledger_csv_balances_entry_by_entry(shop: BillingCompany, tmp_path: Path) -> None:
    with shop.company.read() as conn:
        entries, named = ledger_entries(conn, FIRST, LAST), accounts(conn)
        write_ledger_csv(entries, named, tmp_path / "ledger.csv")
        write_miles_csv(miles_log(conn, FIRST, LAST), tmp_path / "miles.csv")
    with (tmp_path / "ledger.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert tuple(rows[0]) == LEDGER_HEADS
    sums: dict[str, int] = {}
    for row in rows:
        change = parse_money(row["debit"] or "0") - parse_money(row["credit"] or "0")
        sums[row["entry"]] = sums.get(row["entry"], 0) + change
    assert len(sums) == len(entries)
    assert set(sums.values()) == {0}
    assert {row["account"] for row in rows if row["name"] == "Checking"} == {"1010"}
    assert {row["party"] for row in rows if row["entry"].startswith("invoice")} == {f"'{NASTY}"}
    drives = (tmp_path / "miles.csv").read_text(encoding="utf-8-sig").splitlines()
    assert drives[1:] == ["2026-02-02,12.300,0.725,8.92,bank,,"]
