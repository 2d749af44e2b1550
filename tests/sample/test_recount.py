"""Screen, workbook, command line and papers against the second count of `recount`, on the sample and on 600 jobs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from sqlalchemy import Connection, select

from db.queries.billing.accounts import aging_at, receivable_at
from db.queries.billing.open_items import open_invoices
from db.queries.costing import figures_of_jobs
from db.queries.margins import all_job_results, margins
from db.queries.money_papers import invoice_said
from db.queries.so_far import jobs_so_far
from db.tables import invoice
from desktop.books.workbook import write_workbook
from desktop.cli_reports import costing_report, margins_report
from desktop.papers.money import make_money_paper
from domain.costing import variance_tree
from tests.bench.big_company import fill_big_company
from tests.sample.recount import Recount, receivables
from tests.small_company import empty_company

EVENING = date(2026, 11, 12)


@pytest.fixture(scope="module")
def large() -> Iterator[Connection]:
    with empty_company() as made:
        with made.engine.begin() as conn:
            fill_big_company(conn, 600, seed=11, days=900)
        with made.read() as conn:
            yield conn


@pytest.fixture(scope="module", params=["sample", "large"])
def conn(request: pytest.FixtureRequest) -> Connection:
    return request.getfixturevalue(request.param)  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def again(conn: Connection) -> Recount:
    return Recount(conn)


def test_revenue_cost_minutes_and_margin_of_every_job(conn: Connection, again: Recount) -> None:
    results = {job.job_id: job for job in all_job_results(conn)}
    assert set(results) == set(again.frame.index)
    assert again.frame.actual.sum() > 1_000_000
    for job_id, row in again.frame.iterrows():
        job = results[job_id]
        assert (
            job.accepted, job.revenue_cents, job.budget_cost_cents, job.actual_cost_cents, job.margin_cents,
            job.quoted_minutes, job.actual_minutes, job.own_minutes,
        ) == (
            row.accepted, row.revenue, row.cost + row.order_cost, row.actual, row.margin, row.quoted_minutes,
            row.minutes, row.own_minutes,
        ), job.number  # fmt: skip


def test_every_variance_of_every_job(conn: Connection, again: Recount) -> None:
    steps = again.variances()
    quoted = again.frame.price - again.frame.cost
    assert (quoted + steps.sum(axis=1) == again.frame.margin).all(), "the second count adds up by itself"
    for job_id, figures in figures_of_jobs(conn).items():
        told = {step.key: step.cents for step in variance_tree(figures).steps}
        assert told == steps.loc[job_id].to_dict(), job_id
    assert (steps != 0).any().sum() >= 10, "most kinds of variance are there to be told apart"


@pytest.mark.parametrize("by", ["job-type", "month", "lead-source"])
def test_margins_by_group_on_screen_and_on_the_command_line(conn: Connection, again: Recount, by: str) -> None:
    sums = again.groups(by.replace("-", "_"))
    shown = {group.key: group for group, _ in margins(conn, by).groups}
    assert list(sums.index) == sorted(shown)
    told = {row["key"]: row for row in json.loads(margins_report(conn, by, None, None, True))["groups"]}
    for key, row in sums.iterrows():
        one, said = shown[key], told[key]
        assert (
            one.jobs, one.revenue_cents, one.actual_cost_cents, one.margin_cents, one.quoted_minutes,
            one.actual_minutes, one.partly,
        ) == (row.jobs, row.revenue, row.actual, row.margin, row.quoted_minutes, row.minutes, row.partly)  # fmt: skip
        assert said["jobs_not_fully_logged"] == row.partly
        assert (said["revenue_cents"], said["actual_cost_cents"], said["margin_cents"]) == (
            row.revenue, row.actual, row.margin
        )  # fmt: skip


def test_the_command_line_tells_the_same_costing(conn: Connection, again: Recount) -> None:
    told = {one["number"]: one for one in json.loads(costing_report(conn, True))["jobs"]}
    frame, steps = again.frame, again.variances()
    for job_id, number in again.jobs.number.items():
        if number not in told:
            assert not frame.accepted[job_id]
            assert not frame.actual[job_id]
            continue
        one = told[number]
        assert one["actual_cost_cents"] == frame.actual[job_id]
        if one["state"] == "open":
            assert one["actual_margin_cents"] is one["variances_cents"] is None
            continue
        assert one["actual_margin_cents"] == frame.margin[job_id]
        assert one["variances_cents"] == steps.loc[job_id].to_dict()


def test_the_cost_so_far_of_log_tonight_and_outcome(conn: Connection, again: Recount) -> None:
    frame = again.frame
    for job_id, so_far in jobs_so_far(conn, list(frame.index)).items():
        row = frame.loc[job_id]
        assert (so_far.cents, so_far.quoted_cents) == (row.actual, row.cost + row.order_cost)
        assert (so_far.minutes, so_far.quoted_minutes) == (row.minutes, row.quoted_minutes)


def test_the_workbook(conn: Connection, again: Recount, tmp_path: Path) -> None:
    """Its values; that they are what its formulas come to is asked in `test_workbook_values`."""
    book = load_workbook(write_workbook(conn, tmp_path / "All.xlsx"), data_only=True, read_only=True)
    heads, *rows = book["Jobs"].iter_rows(values_only=True)
    told = {row[0]: dict(zip(heads, row, strict=True)) for row in rows}
    assert len(told) == len(rows) == len(again.frame)
    sums = again.frame.set_index(again.jobs.number)
    for number, row in told.items():
        one = sums.loc[str(number)]
        assert (in_cents(row["Revenue"]), in_cents(row["Actual cost"])) == (one.revenue, one.actual)
        quoted, actual = (row[f"Hours {which} (decimal)"] for which in ("quoted", "actual"))
        assert (round(quoted * 60), round(actual * 60)) == (one.quoted_minutes, one.minutes)
        open_one = row["State"] in ("open", "not sold")
        assert row["Actual margin"] is None if open_one else in_cents(row["Actual margin"]) == one.margin


def in_cents(value: float) -> int:
    return round(value * 100)


def test_receivables_and_the_age_of_what_is_owed(conn: Connection) -> None:
    for day in ("2024-12-31", "2026-06-30", EVENING.isoformat()):
        total, left = receivables(conn, day)
        assert receivable_at(conn, date.fromisoformat(day)) == total
        assert aging_at(conn, date.fromisoformat(day)).balance_cents == total
    for one in open_invoices(conn):
        assert one.open_cents == left[one.id]
    assert sum(one.open_cents for one in open_invoices(conn)) == left.sum()


def test_the_papers_carry_the_total_of_their_invoice(sample: Connection) -> None:
    ids = sample.execute(select(invoice.c.id).where(invoice.c.issued_on.is_not(None)).order_by(invoice.c.id)).scalars()
    for invoice_id in list(ids)[::23]:
        net, tax = sample.exec_driver_sql(
            f"select net_cents, tax_cents from invoice where id = {invoice_id}"
        ).one()
        pdf = make_money_paper(invoice_said(sample, invoice_id))
        words = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
        assert f"{abs(net + tax) / 100:,.2f}" in words
