"""Log, Tonight, outcome and Margins tell the same hours and the same cost of a job, to the cent, on every job."""

from __future__ import annotations

from dataclasses import astuple
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import Connection, select, update

from db.company_file import open_company, open_for_reading
from db.queries.costing import figures_of_jobs
from db.queries.log_page import log_page
from db.queries.margins import all_job_results
from db.queries.outcome import job_outcome
from db.queries.so_far import jobs_so_far
from db.queries.tonight import evening
from db.tables import job, quote
from domain.costing import variance_tree
from domain.log_day import hours_rows, log_totals
from domain.so_far import SoFar
from sample_company.write import EVENING


def ids(conn: Connection) -> list[int]:
    return list(conn.execute(select(job.c.id).order_by(job.c.id)).scalars())


def told_by_the_tree(conn: Connection) -> dict[int, SoFar]:
    told = {}
    for job_id, figures in figures_of_jobs(conn).items():
        tree = variance_tree(figures)
        back = sum(row.actual_minutes for row in tree.callbacks if not row.quoted_minutes)
        told[job_id] = SoFar(
            tree.quoted_minutes, tree.actual_minutes, sum(row.minutes for row in tree.unquoted_hours) + back,
            tree.budget_cost_cents, tree.actual_cost_cents,
        )  # fmt: skip
    return told


def test_every_job_of_the_sample_is_told_alike(sample_original: Path) -> None:
    with open_for_reading(sample_original) as company, company.read() as conn:
        far = jobs_so_far(conn, ids(conn))
        assert far == told_by_the_tree(conn)
        assert sum(1 for one in far.values() if one.cents) > 100
        results = {one.job_id: one for one in all_job_results(conn)}
        for job_id, one in far.items():
            result = results[job_id]
            assert (one.minutes, one.cents) == (result.actual_minutes, result.actual_cost_cents)
            assert (one.quoted_minutes, one.quoted_cents) == (result.quoted_minutes, result.budget_cost_cents)


def test_the_log_the_outcome_and_tonight_show_these_figures(sample_original: Path) -> None:
    with open_for_reading(sample_original) as company, company.read() as conn:
        far = jobs_so_far(conn, ids(conn))
        for job_id in ids(conn)[::9]:
            page, outcome = log_page(conn, job_id, EVENING), job_outcome(conn, job_id)
            totals = log_totals(page.budget, page.log, page.so_far, EVENING)
            shown = (totals.quoted_minutes, totals.minutes, totals.unquoted_minutes, totals.quoted_cents, totals.cents)
            assert shown == astuple(far[job_id]) == astuple(outcome.so_far)
            rows = hours_rows(page.budget, page.log, EVENING, 1)
            assert sum(row.minutes for row in rows) == far[job_id].minutes
            if page.budget.labour:
                assert sum(row.minutes for row in rows if row.unquoted) == far[job_id].unquoted_minutes
        seen = evening(conn, EVENING, shown=50)
        shown_rows = [*seen.today.rows, *seen.upcoming.rows, *seen.over.rows, *seen.unquoted.rows]
        assert len(shown_rows) > 2
        for row in shown_rows:
            assert row.so_far == far[row.name.job_id]
        for row in (*seen.today.rows, *seen.over.rows):
            assert (row.quoted_minutes, row.minutes) == (row.so_far.quoted_minutes, row.so_far.minutes)
        for row in seen.unquoted.rows:
            assert row.minutes == row.so_far.unquoted_minutes


@pytest.mark.parametrize("percent", ["0", "8.875"])
def test_tax_on_purchases_is_in_all_of_them_or_in_none(sample_file: Path, percent: str) -> None:
    with open_company(sample_file, backup=False) as company:
        with company.engine.begin() as conn:
            conn.execute(update(quote).values(tax_treatment="lump_sum", tax_percent=Decimal(percent)))
        with company.read() as conn:
            assert jobs_so_far(conn, ids(conn)) == told_by_the_tree(conn)
