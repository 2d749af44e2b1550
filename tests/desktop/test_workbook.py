"""The bookkeeper's workbook: its formulas come to what the screen shows, cent for cent, and text stays text."""

from __future__ import annotations

import csv
import os
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.escape import unescape
from openpyxl.worksheet.formula import ArrayFormula
from sqlalchemy import text

from db.company_file.company import Company
from db.queries.costing import figures_of_jobs
from db.queries.entries import hours_rows, spent_rows
from db.queries.margins import all_job_results, margins
from desktop.books.csv_file import write_jobs_csv, write_margins_csv
from desktop.books.workbook import Stopped, write_workbook
from domain.costing import GROUPINGS, GroupMargin, variance_tree
from tests.bench.big_company import fill_big_company
from tests.desktop.formulas import Calculated, cents
from tests.small_company import empty_company

NASTY = "=HYPERLINK(\"http://example.org\")"
ONE_PARTLY_LOGGED = (
    "UPDATE job SET unanswered = 2 "
    "WHERE id = (SELECT min(id) FROM job WHERE closed_on NOT NULL AND cancelled_on IS NULL)"
)
STAR = "Crawl * (low?)"


@pytest.fixture(scope="module")
def company() -> Iterator[Company]:
    with empty_company() as made:
        with made.engine.begin() as conn:
            fill_big_company(conn, 60, seed=5, days=500)
            conn.execute(text("UPDATE job SET title = :nasty WHERE id = 1"), {"nasty": NASTY})
            conn.execute(text("UPDATE customer SET name = '+1 (207) 555-0143' WHERE id = 2"))
            conn.execute(text("UPDATE hours_entry SET note = '@home\x01' WHERE id = 1"))
            conn.execute(text(ONE_PARTLY_LOGGED))
            conn.execute(text("UPDATE job_type SET name = :star WHERE id = 3"), {"star": STAR})
        yield made


@pytest.fixture(scope="module")
def book(company: Company, tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    path = tmp_path_factory.mktemp("books") / "All.xlsx"
    with company.read() as conn:
        write_workbook(conn, path)
    return load_workbook(path)


@pytest.fixture(scope="module")
def calculated(book: Workbook) -> Calculated:
    return Calculated(book)


def blocks(calculated: Calculated) -> dict[str, list[dict[str, Any]]]:
    """The rows of the sheet Margins by the heading of their block."""
    found: dict[str, list[dict[str, Any]]] = {}
    here: list[dict[str, Any]] = []
    for row in calculated.rows("Margins"):
        if row["Group"] and row["Jobs"] == "":
            here = found.setdefault(str(row["Group"]), [])
        elif row["Group"]:
            here.append(row)
    return found


def test_the_sheets_and_their_frozen_headings(book: Workbook) -> None:
    assert book.sheetnames == ["Margins", "Jobs", "Hours", "Materials"]
    for page in book:
        assert page.freeze_panes == "B2"
        assert page["A1"].font.bold
        assert all(page.column_dimensions[cell.column_letter].width >= 7 for cell in page[1])
    assert book["Jobs"].auto_filter.ref
    assert book.calculation.fullCalcOnLoad


def test_every_job_comes_to_the_cents_of_its_outcome(company: Company, calculated: Calculated) -> None:
    with company.read() as conn:
        results = {job.number: job for job in all_job_results(conn)}
        to_come = {one: variance_tree(made).still_to_come_cents for one, made in figures_of_jobs(conn).items()}
    assert any(job.running for job in results.values())
    assert {job.fully_logged for job in results.values()} == {True, False, None}
    rows = calculated.rows("Jobs")
    assert len(rows) == len(results) == 60
    for row in rows:
        job = results[row["Job"]]
        if not job.accepted:  # without a quote there is no quoted figure, not one of nothing
            assert (row["State"] == "not sold") is job.running
            assert (row["Quoted price"] or None, row["Quoted margin"] or None) == (None, None)
            continue
        assert cents(row["Quoted margin"]) == job.quoted_margin_cents
        assert cents(row["Revenue"]) == job.revenue_cents
        assert cents(row["Actual cost"]) == job.actual_cost_cents
        if job.running:  # nobody knows its margin yet; what is left to come is that of its outcome
            assert not any(row[head] for head in ("Actual margin", "Margin, % of revenue", "Against the quote"))
            assert cents(row["Still to come, as quoted"]) == to_come[job.job_id]
        else:
            assert cents(row["Actual margin"]) == job.margin_cents
            assert cents(row["Against the quote"]) == job.against_quote_cents
            assert row["Still to come, as quoted"] == ""
        assert row["Fully logged"] == {True: "yes", False: "no", None: ""}[job.fully_logged]
        assert row["Hours quoted (decimal)"] == Fraction(job.quoted_minutes, 60)
        assert row["Hours actual (decimal)"] == Fraction(job.actual_minutes, 60)


def test_margins_of_what_is_not_fully_logged_are_shown_as_upper_bounds(book: Workbook) -> None:
    """By a rule on the sheet, so that the value in the cell stays a number."""
    for sheet in ("Jobs", "Margins"):
        rules = [rule for cells in book[sheet].conditional_formatting for rule in cells.rules]
        codes = {rule.dxf.numFmt.formatCode for rule in rules if rule.dxf is not None and rule.dxf.numFmt is not None}
        assert codes == {'"≤ $"#,##0.00;[Red]"≤ -$"#,##0.00', '"≤ "0.0%;[Red]"≤ "-0.0%'}


def test_each_entry_is_rounded_as_the_log_rounds_it(company: Company, calculated: Calculated) -> None:
    with company.read() as conn:
        hours, spent = hours_rows(conn), spent_rows(conn)
    shown = calculated.rows("Hours")
    assert [cents(row["Cost"]) for row in shown] == [entry.cost_cents for entry in hours]
    assert [cents(row["Overhead"]) for row in shown] == [entry.overhead_cents for entry in hours]
    assert [cents(row["Cost"]) for row in calculated.rows("Materials")] == [entry.cost_cents for entry in spent]


@pytest.mark.parametrize("by", list(GROUPINGS))
def test_every_group_comes_to_what_the_screen_shows(company: Company, calculated: Calculated, by: str) -> None:
    with company.read() as conn:
        shown = margins(conn, by)
    heading = next(name for name in blocks(calculated) if name.startswith(f"By {GROUPINGS[by].lower()}"))
    rows = blocks(calculated)[heading]
    groups = [*(group for group, _ in shown.groups), shown.total]
    assert [row["Group"] for row in rows] == [group.name for group in groups]
    for row, group in zip(rows, groups, strict=True):
        assert_same(row, group)


def assert_same(row: dict[str, Any], group: GroupMargin) -> None:
    assert row["Jobs"] == group.jobs
    assert cents(row["Revenue"]) == group.revenue_cents
    assert cents(row["Cost"]) == group.actual_cost_cents
    assert cents(row["Margin"]) == group.margin_cents
    assert cents(row["Quoted margin"]) == group.quoted_margin_cents
    assert row["Hours quoted (decimal)"] == Fraction(group.quoted_minutes, 60)
    assert row["Hours actual (decimal)"] == Fraction(group.actual_minutes, 60)
    assert row["Jobs at a loss"] == group.lost
    assert_percent(row["Margin, % of revenue"], group.margin_percent, Decimal("0.005"))
    assert_percent(row["Quoted margin, % of price"], group.quoted_margin_percent, Decimal("0.005"))
    assert_percent(row["Median job, % of revenue"], group.median_margin_percent, Decimal("0.01"))


def assert_percent(share: Any, percent: Decimal | None, slack: Decimal) -> None:
    """The screen rounds a percentage to two places, the sheet does not."""
    if percent is None:
        assert share == ""
    else:
        assert abs(share * 100 - Fraction(percent)) <= Fraction(slack)


def test_figures_are_formulas_and_not_typed_values(book: Workbook) -> None:
    row = book["Margins"][3]
    assert all(str(cell.value).startswith("=") for cell in row[2:] if not isinstance(cell.value, ArrayFormula))
    heads = {cell.value: cell.column for cell in book["Jobs"][1]}
    for head in ("Labor", "Materials", "Other costs"):
        assert "SUMIFS" in book["Jobs"].cell(2, heads[head]).value


def test_beside_every_formula_stands_what_it_comes_to(company: Company, calculated: Calculated, tmp_path: Path) -> None:
    with company.read() as conn:
        shown = load_workbook(write_workbook(conn, tmp_path / "All.xlsx"), data_only=True)
    count = 0
    for page in calculated.book:
        for row in page.iter_rows(min_row=2):
            for cell in row:
                if isinstance(cell.value, ArrayFormula) or cell.data_type == "f":
                    value = shown[page.title][cell.coordinate].value
                    found = calculated.cell(page.title, cell.row, cell.column)
                    wanted = (found or None) if isinstance(found, str) else pytest.approx(float(found), rel=1e-12)
                    assert value == wanted, (page.title, cell.coordinate)
                    count += 1
    assert count > 1_000


def test_text_that_the_library_takes_for_marks_is_text(tmp_path: Path) -> None:
    title = "<r><t>a & b</t></r>"
    with empty_company() as made:
        with made.engine.begin() as conn:
            fill_big_company(conn, 2, seed=5, days=50)
            conn.execute(text("UPDATE job SET title = :title WHERE id = 1"), {"title": title})
            conn.execute(text("UPDATE job SET title = '_x0041_' WHERE id = 2"))
        with made.read() as conn:
            write_workbook(conn, tmp_path / "All.xlsx")
    rows = Calculated(load_workbook(tmp_path / "All.xlsx")).rows("Jobs")
    assert {unescape(row["Title"]) for row in rows} == {title, "_x0041_"}


def test_text_that_looks_like_a_formula_is_text(book: Workbook) -> None:
    jobs = {row[0].value: row for row in book["Jobs"].iter_rows(min_row=2)}
    titles = [row[2] for row in jobs.values() if row[2].value == NASTY]
    assert len(titles) == 1
    assert titles[0].data_type == "s"
    assert titles[0].quotePrefix
    customer = next(row[3] for row in jobs.values() if str(row[3].value).startswith("+1"))
    assert customer.data_type == "s"
    assert any(cell.value == "@home" for cell in book["Hours"]["N"])


def test_dates_money_and_shares_have_their_formats(book: Workbook) -> None:
    jobs = {cell.value: cell.column for cell in book["Jobs"][1]}
    page = book["Jobs"]
    assert page.cell(2, jobs["Opened"]).is_date
    assert "$" in page.cell(2, jobs["Revenue"]).number_format
    assert "%" in page.cell(2, jobs["Margin, % of revenue"]).number_format
    assert page.cell(2, jobs["Opened"]).value.date() == date(2016, 1, 4)


def test_quoted_and_actual_hours_are_bars_of_one_scale(book: Workbook) -> None:
    rules = book["Margins"].conditional_formatting
    bars = [str(one.sqref) for one in rules if any(rule.dataBar for rule in one.rules)]
    assert bars
    assert all(area.split(":")[0][0] != area.split(":")[1][0] for area in bars)  # both columns together


def test_a_year_holds_the_jobs_closed_in_it_with_all_their_entries(company: Company, tmp_path: Path) -> None:
    from_, to = date(2016, 6, 1), date(2016, 9, 30)
    with company.read() as conn:
        write_workbook(conn, tmp_path / "2016.xlsx", from_=from_, to=to)
        shown = margins(conn, "job-type", from_, to)
    calculated = Calculated(load_workbook(tmp_path / "2016.xlsx"))
    total = blocks(calculated)["By job type"][-1]
    assert 0 < shown.total.jobs < 60
    assert_same(total, shown.total)
    states = {row["State"] for row in calculated.rows("Jobs")}
    assert {"closed", "open"} <= states


def test_a_company_without_jobs_has_a_workbook_too(tmp_path: Path) -> None:
    with empty_company() as made, made.read() as conn:
        write_workbook(conn, tmp_path / "Empty.xlsx")
    calculated = Calculated(load_workbook(tmp_path / "Empty.xlsx"))
    assert blocks(calculated)["By job type"][0]["Group"] == "All closed jobs"


def test_stopping_leaves_nothing_behind_and_keeps_the_file_that_was_there(company: Company, tmp_path: Path) -> None:
    path = tmp_path / "Kept.xlsx"
    path.write_bytes(b"the old one")
    told: list[tuple[int, int]] = []

    def stop(done: int, total: int) -> bool:
        told.append((done, total))
        return False

    with company.read() as conn, pytest.raises(Stopped):
        write_workbook(conn, path, progress=stop)
    assert told[0][0] < told[0][1]
    assert path.read_bytes() == b"the old one"
    assert [one.name for one in tmp_path.iterdir()] == ["Kept.xlsx"]


@pytest.mark.skipif(os.name != "posix", reason="the system has no such modes")
def test_books_are_for_the_owner_alone(company: Company, tmp_path: Path) -> None:
    with company.read() as conn:
        write_workbook(conn, tmp_path / "a.xlsx")
        write_margins_csv(margins(conn, "month"), tmp_path / "b.csv")
    assert {one.stat().st_mode & 0o777 for one in tmp_path.iterdir()} == {0o600}


def test_the_csv_of_groups_has_the_total_last(company: Company, tmp_path: Path) -> None:
    with company.read() as conn:
        shown = margins(conn, "job-type")
    write_margins_csv(shown, tmp_path / "groups.csv")
    with (tmp_path / "groups.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["group"] for row in rows] == [*(group.name for group, _ in shown.groups), "All closed jobs"]
    assert Decimal(rows[-1]["margin"]) * 100 == shown.total.margin_cents


def test_the_csv_of_jobs_marks_text_that_looks_like_a_formula(company: Company, tmp_path: Path) -> None:
    with company.read() as conn:
        jobs = all_job_results(conn)
    write_jobs_csv(jobs, tmp_path / "jobs.csv")
    with (tmp_path / "jobs.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["title"] for row in rows} == {"A job", f"'{NASTY}"}
    for row, job in zip(rows, jobs, strict=True):
        told = None if row["actual margin"] == "" else Decimal(row["actual margin"]) * 100
        assert told == (None if job.running else job.margin_cents)
        assert row["fully logged"] == {True: "yes", False: "no", None: ""}[job.fully_logged]
