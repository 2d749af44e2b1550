"""Taxes, receivables and running jobs counted a second way, against screen, workbook, papers and command line."""

from __future__ import annotations

import shutil
import sqlite3
from argparse import Namespace
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from sqlalchemy import Connection

from db.commands.billing import credit_invoice, draft_invoice, issue_invoice
from db.company_file import open_for_reading
from db.queries.billing.accounts import aging_at
from db.queries.books.tax import tax_by_place
from db.queries.books.wip import wip
from db.queries.money_papers import statement_said
from desktop.books.year_book import write_year_book
from desktop.papers.money import make_money_paper
from desktop.reports import run_ties
from sample_company import write_sample
from tests.db.billing_company import AgreedJob, BillingCompany
from tests.sample.recount import Recount, over, receivables, table, taxes
from tests.sample.test_recount import EVENING, in_cents


@pytest.fixture(scope="module")
def six_hundred(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("large") / "Six hundred.riserbook"
    write_sample(path, 600)
    return path


@pytest.fixture(scope="module")
def taxed(sample_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample with sales tax on its invoices, which its own state does not ask for: two places, two rates."""
    path = tmp_path_factory.mktemp("taxed") / "Taxed.riserbook"
    shutil.copy2(sample_file, path)
    path.chmod(0o600)
    conn = sqlite3.connect(path)
    with conn:
        for rest, place, percent in ((1, "Lower County", 5_500), (2, "Upper County", 8_875)):
            conn.execute(
                "update invoice set tax_treatment = 'separated', tax_place = ?, tax_percent = ?, taxable_cents ="
                " net_cents, tax_cents = net_cents * ? / 100000 where issued_on is not null and id % 3 = ?",
                (place, percent, percent, rest),
            )
    conn.close()
    return path


@pytest.fixture(scope="module", params=["sample_file", "taxed", pytest.param("six_hundred", marks=pytest.mark.long)])
def file(request: pytest.FixtureRequest) -> Path:
    return request.getfixturevalue(request.param)  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def conn(file: Path) -> Iterator[Connection]:
    with open_for_reading(file) as company, company.read() as conn:
        yield conn


@pytest.fixture(scope="module")
def book(conn: Connection, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[dict[str, Any]]]:
    """The rows of every sheet of the year, by heading; the values beside the formulas."""
    path = write_year_book(conn, tmp_path_factory.mktemp("year") / "Year.xlsx", EVENING.year, EVENING)
    found = {}
    for page in load_workbook(path, data_only=True, read_only=True):
        heads, *rows = page.iter_rows(values_only=True)
        found[page.title] = [dict(zip(heads, row, strict=True)) for row in rows]
    return found


def balances(conn: Connection, day: str) -> pd.Series:
    """What each customer owes on a day, credits off: asked less paid less lost."""
    asked = table(conn, "select customer_id, net_cents + tax_cents as cents from invoice"
                        f" where issued_on <= '{day}'")  # fmt: skip
    came = table(conn, f"select customer_id, -amount_cents as cents from payment where received_on <= '{day}'")
    lost = table(conn, "select i.customer_id, -(b.net_cents + b.tax_cents) as cents from bad_debt b"
                       f" join invoice i on i.id = b.invoice_id where b.day <= '{day}'")  # fmt: skip
    return pd.concat([asked, came, lost]).groupby("customer_id").cents.sum()


def lost_tax(conn: Connection, first: str, last: str) -> int:
    return int(table(conn, "select coalesce(sum(tax_cents), 0) as cents from bad_debt"
                           f" where day between '{first}' and '{last}'").cents[0])  # fmt: skip


@pytest.mark.parametrize("treatment", ["none", "lump_sum", "separated"])
def test_the_tax_of_every_invoice_follows_its_treatment(treatment: str) -> None:
    """Issued by the program: deposit, final invoice, a credit. Only a separated contract taxes the customer."""
    shop, on = BillingCompany(), date(2026, 3, 21)
    with shop.company:
        customer_id = shop.customer("Ann Example")
        for percent in ("5.5", "8.875"):
            job_id = shop.job(customer_id, AgreedJob(treatment=treatment, percent=percent, goodwill_cents=1_111))
            shop.do(issue_invoice, shop.do(draft_invoice, "deposit", on, job_id=job_id), on)
            final = shop.do(draft_invoice, "final", on, job_id=job_id)
            shop.do(issue_invoice, final, on)
            shop.do(credit_invoice, final, on, "a scratch", gives_up=True, amount_cents=4_321)
        with shop.company.read() as conn:
            rows = table(conn, "select tax_percent, taxable_cents, tax_cents, net_cents, (select sum(net_cents) from"
                               " invoice_line where invoice_id = invoice.id) as lines from invoice")  # fmt: skip
    assert len(rows) == 6
    assert (rows.lines == rows.net_cents).all()
    if treatment != "separated":
        assert not rows.tax_cents.any()
        return
    assert (rows.taxable_cents.abs() <= rows.net_cents.abs()).all()
    # Each is rounded by itself, so that what is left for the last one of a job may be a cent beside its own share.
    assert ((rows.tax_cents - over(rows.taxable_cents * rows.tax_percent, 100_000)).abs() <= 1).all()
    assert rows.tax_cents.sum() > 0


def test_sales_tax_month_by_month(conn: Connection, file: Path) -> None:
    months = pd.period_range("2023-01", EVENING, freq="M")
    some = 0
    for month in months:
        first, last = month.start_time.date(), month.end_time.date()
        told = {
            (one.place, int(one.percent * 1000)): (one.taxable_cents, one.invoiced_cents + one.credited_cents)
            for one in tax_by_place(conn, first, last)
        }
        again = taxes(conn, first.isoformat(), last.isoformat())
        assert {key: sums for key, sums in told.items() if any(sums)} == again
        some += bool(again)
        lost = sum(one.lost_cents for one in tax_by_place(conn, first, last))
        assert lost == lost_tax(conn, first.isoformat(), last.isoformat())
    assert some > 12 or file.name != "Taxed.riserbook"


def test_the_tax_sheet_of_the_year(conn: Connection, book: dict[str, list[dict[str, Any]]]) -> None:
    *places, last = book["Tax"]
    again = taxes(conn, f"{EVENING.year}-01-01", f"{EVENING.year}-12-31")
    assert {in_cents(one["Taxed part"]) for one in places} == {taxed for taxed, _ in again.values()}
    if not places:  # nobody was taxed: nothing to add up
        assert not again
        return
    due = sum(tax for _, tax in again.values()) - lost_tax(conn, f"{EVENING.year}-01-01", f"{EVENING.year}-12-31")
    assert in_cents(last["Tax invoiced, credits and bad debts off"]) == due > 0
    sales = table(conn, "select coalesce(sum(net_cents), 0) as net, coalesce(sum(tax_cents), 0) as tax from invoice"
                        f" where issued_on like '{EVENING.year}%'").iloc[0]  # fmt: skip
    papers = [one for one in book["Sales"] if one["Paper"] != "Bad debt"]
    assert sum(in_cents(one["Net"]) for one in papers) == sales.net
    assert sum(in_cents(one["Total"]) for one in papers) == sales.net + sales.tax


def test_receivables_in_workbook_on_screen_and_by_the_ties(
    conn: Connection, file: Path, book: dict[str, list[dict[str, Any]]]
) -> None:
    if file.name == "Taxed.riserbook":  # bent by hand: what was settled is not
        return
    total, _ = receivables(conn, EVENING.isoformat())
    owed = balances(conn, EVENING.isoformat())
    assert owed.sum() == total > 0
    shown = {row.customer_id: row.balance_cents for row in aging_at(conn, EVENING).rows}
    assert {key: cents for key, cents in shown.items() if cents} == owed[owed != 0].to_dict()
    last = book["Receivables"][-1]
    assert in_cents(last["Open"]) == total
    buckets = ("Current", "1-30 days", "31-60 days", "61-90 days", "Over 90 days")
    assert sum(in_cents(last[name]) for name in buckets) - in_cents(last["Credit"]) == total
    said = next(line for line in run_ties(Namespace(file=file)).splitlines() if line.startswith("Receivables"))
    assert said.count(f"${total / 100:,.2f}") == 2, said


def test_statements_carry_what_the_customer_owes(conn: Connection) -> None:
    owed = balances(conn, EVENING.isoformat())
    some = owed[owed != 0]
    assert len(some) >= 3
    for customer_id, cents in list(some.items())[:: max(len(some) // 6, 1)]:
        pdf = make_money_paper(statement_said(conn, int(customer_id), EVENING))
        words = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
        assert f"{abs(cents) / 100:,.2f}" in words


def test_every_figure_of_a_job_is_the_same_wherever_it_stands(
    conn: Connection, book: dict[str, list[dict[str, Any]]]
) -> None:
    """Quoted, logged, spent and billed of the jobs that run: second count, screen and workbook."""
    again = Recount(conn)
    billed = table(conn, "select job_id, net_cents from invoice where issued_on is not null and job_id is not null")
    sums = billed.groupby("job_id").net_cents.sum()
    told: dict[tuple[str, str], dict[str, int]] = defaultdict(dict)
    heads = {
        "Contract": "contract_cents", "Quoted cost": "budget_cents", "Cost so far": "spent_cents",
        "Cost expected": "expected_cents", "Earned": "earned_cents", "Billed": "billed_cents",
    }  # fmt: skip
    for row in book["Progress"][:-1]:
        for head in heads:
            told[row["Job"], head]["workbook"] = in_cents(row[head])
    for job in wip(conn).jobs:
        for head, name in heads.items():
            told[job.number, head]["screen"] = getattr(job, name)
    running = [job_id for job_id, number in again.jobs.number.items() if (number, "Contract") in told]
    assert len(running) == len(book["Progress"]) - 1 >= 3
    for job_id in running:
        row, number = again.frame.loc[job_id], again.jobs.number[job_id]
        told[number, "Contract"]["again"] = row.revenue
        told[number, "Quoted cost"]["again"] = row.cost + row.order_cost
        told[number, "Cost so far"]["again"] = row.actual
        told[number, "Billed"]["again"] = int(sums.get(job_id, 0))
    assert {key: said for key, said in told.items() if len(set(said.values())) > 1} == {}
    assert all(len(said) >= 2 for said in told.values())
