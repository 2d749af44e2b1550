"""Sums made in SQL are the domain's own, job by job, on companies in which everything that can happen does."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import Connection, select

from db import tables
from db.company_file.company import Company
from db.queries.costing import figures_of_jobs, job_figures, owner_wage_cents
from db.queries.margins import all_job_results, count_closed, margins
from db.queries.quotes import quote_documents
from db.records import fetch_all
from domain.actuals import HoursEntry, MaterialUse, OtherCost, PriceAdjustment
from domain.costing import JobResult, variance_tree
from domain.costing.margins import GROUPINGS, NOT_RECORDED, furthest_under
from domain.firm import Person
from domain.jobs import Job
from domain.money import labour_cents, line_cents
from domain.quoting.lines import Quote, QuoteDocument
from domain.quoting.price import costs_of
from domain.quoting.tax import tax_of
from tests.bench.big_company import fill_big_company
from tests.small_company import add_one_job, empty_company, statements

JOBS = 120


@pytest.fixture(scope="module", params=[1, 2, 3])
def company(request: pytest.FixtureRequest) -> Iterator[Company]:
    with empty_company() as made:
        with made.engine.begin() as conn:
            fill_big_company(conn, JOBS, seed=request.param, days=700)
        yield made


@pytest.fixture
def conn(company: Company) -> Iterator[Connection]:
    with company.read() as conn:
        yield conn


def sold_documents(conn: Connection) -> dict[int, list[QuoteDocument]]:
    """By job: the last accepted proposal and the accepted change orders, read row by row."""
    accepted = fetch_all(conn, Quote, tables.quote, tables.quote.c.accepted_on.is_not(None))
    last = {one.job_id: one.id for one in sorted(accepted, key=lambda q: q.version) if one.kind == "proposal"}
    sold: dict[int, list[QuoteDocument]] = {}
    for document in quote_documents(conn, accepted):
        head = document.quote
        if head.kind == "change_order" or last[head.job_id] == head.id:
            sold.setdefault(head.job_id, []).append(document)
    return sold


def quoted_cost(document: QuoteDocument) -> tuple[int, int]:
    """Cost in cents and minutes of base and chosen options, by the quote's own arithmetic."""
    chosen = {option.id for option in document.options if option.chosen} | {None}
    parts = ([line for line in lines if line.option_id in chosen] for lines in _lines(document))
    costs = costs_of(document.quote, *parts)
    return costs.cost_cents, costs.minutes


def _lines(document: QuoteDocument) -> tuple[Any, Any, Any]:
    return document.labour, document.materials, document.others


def by_job(rows: list[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    for row in rows:
        found.setdefault(row.job_id, []).append(row)
    return found


def test_every_result_is_what_the_rows_add_up_to_one_by_one(conn: Connection) -> None:
    documents = sold_documents(conn)
    owners = {one.id for one in fetch_all(conn, Person, tables.person) if one.role == "owner"}
    hours = by_job(fetch_all(conn, HoursEntry, tables.hours_entry))
    materials = by_job(fetch_all(conn, MaterialUse, tables.material_use))
    others = by_job(fetch_all(conn, OtherCost, tables.other_cost))
    adjustments = by_job(fetch_all(conn, PriceAdjustment, tables.price_adjustment))
    results = all_job_results(conn)
    assert len(results) == JOBS
    for job in results:
        sold = documents.get(job.job_id, [])
        proposal = next((one for one in sold if one.quote.kind == "proposal"), None)
        orders = [one for one in sold if one.quote.kind == "change_order"]
        assert job.accepted is (proposal is not None)
        assert job.quoted_price_cents == (proposal.quote.price_cents if proposal else 0)
        assert job.quoted_cost_cents == (quoted_cost(proposal)[0] if proposal else 0)
        assert job.change_order_price_cents == sum(one.quote.price_cents or 0 for one in orders)
        assert job.change_order_cost_cents == sum(quoted_cost(one)[0] for one in orders)
        assert job.goodwill_cents == sum(one.quote.goodwill_cents for one in sold)
        assert job.quoted_minutes == sum(quoted_cost(one)[1] for one in sold)
        stuff = sum(line_cents(use.quantity, use.unit_cost) for use in materials.get(job.job_id, []))
        lump_sum = proposal is not None and proposal.quote.tax_treatment == "lump_sum"
        assert job.actual_cost_cents == (
            stuff
            + (tax_of(stuff, proposal.quote.tax_percent) if proposal and lump_sum else 0)
            + sum(line_cents(cost.quantity, cost.unit_cost) for cost in others.get(job.job_id, []))
            + sum(
                labour_cents(one.minutes, one.rate_cents) + labour_cents(one.minutes, one.overhead_rate_cents)
                for one in hours.get(job.job_id, [])
            )
        )
        own = [one for one in hours.get(job.job_id, []) if one.person_id in owners]
        assert job.own_minutes == sum(one.minutes for one in own)
        assert job.own_labour_cents == sum(labour_cents(one.minutes, one.rate_cents) for one in own)
        assert job.actual_minutes == sum(one.minutes for one in hours.get(job.job_id, []))
        assert job.written_off_cents == sum(one.amount_cents for one in adjustments.get(job.job_id, []))


def test_the_variance_tree_of_every_job_balances_and_ends_where_its_result_does(conn: Connection) -> None:
    figures = figures_of_jobs(conn)
    assert len(figures) == JOBS
    for job in all_job_results(conn):
        tree = variance_tree(figures[job.job_id])
        assert tree.balances
        assert (
            tree.quoted_margin_cents,
            tree.actual_margin_cents,
            tree.revenue_cents,
            tree.budget_cost_cents,
            tree.actual_cost_cents,
            tree.quoted_minutes,
            tree.actual_minutes,
            tree.own_minutes,
            tree.own_labour_cents,
        ) == (
            job.quoted_margin_cents,
            job.margin_cents,
            job.revenue_cents,
            job.budget_cost_cents,
            job.actual_cost_cents,
            job.quoted_minutes,
            job.actual_minutes,
            job.own_minutes,
            job.own_labour_cents,
        )


def test_one_job_asked_for_alone_is_the_same_job(conn: Connection) -> None:
    together = figures_of_jobs(conn)
    for job_id in list(together)[:10]:
        assert job_figures(conn, job_id) == together[job_id]


def test_a_job_that_is_not_there_is_said_to_be_missing(conn: Connection) -> None:
    with pytest.raises(LookupError):
        job_figures(conn, 10_000)


def test_materials_logged_in_several_entries_are_one_row_with_the_sum_of_their_cents(conn: Connection) -> None:
    uses = by_job(fetch_all(conn, MaterialUse, tables.material_use))
    for job_id, figures in figures_of_jobs(conn).items():
        assert sum(use.quantity for use in figures.materials) == sum(use.quantity for use in uses[job_id])
        kinds = [(use.key, use.name, use.unquoted) for use in figures.materials]
        assert len(kinds) == len(set(kinds))


@pytest.mark.parametrize("by", list(GROUPINGS))
def test_every_closed_job_counts_once_in_the_total(conn: Connection, by: str) -> None:
    shown = margins(conn, by)
    closed = list(shown.closed)
    assert shown.total.jobs == len(closed) == count_closed(conn)
    assert shown.total.margin_cents == sum(job.margin_cents for job in closed)
    assert {job.job_id for _, jobs in shown.groups for job in jobs} == {job.job_id for job in closed}
    standing = sum(group.jobs for group, _ in shown.groups)
    assert standing > len(closed) if shown.overlapping else standing == len(closed)
    for group, jobs in shown.groups:
        assert group.revenue_cents == sum(job.revenue_cents for job in jobs)


def test_open_and_cancelled_jobs_are_kept_apart(conn: Connection) -> None:
    shown = margins(conn, "job-type")
    facts = {job.id: job for job in fetch_all(conn, Job, tables.job)}
    assert all(facts[job.job_id].closed_on and not facts[job.job_id].cancelled_on for job in shown.closed)
    assert shown.running
    assert all(job.accepted and not facts[job.job_id].closed_on for job in shown.running)
    assert shown.left_out
    apart = {job.job_id for job in (*shown.closed, *shown.running, *shown.left_out)}
    assert len(apart) == len(shown.closed) + len(shown.running) + len(shown.left_out)


def test_dates_are_days_of_closing_and_both_count(conn: Connection) -> None:
    days = sorted({job.closed_on for job in margins(conn, "month").closed if job.closed_on})
    from_, to = days[3], days[-4]
    within = margins(conn, "month", from_, to)
    everything = margins(conn, "month")
    assert [job for job in everything.closed if job.closed_on and from_ <= job.closed_on <= to] == list(within.closed)
    assert {days[3], days[-4]} <= {job.closed_on for job in within.closed}
    assert within.running == everything.running
    assert margins(conn, "month", days[-1] + timedelta(days=1)).closed == ()
    assert margins(conn, "month", to=days[0] - timedelta(days=1)).closed == ()


def test_months_stand_in_the_order_of_the_calendar(conn: Connection) -> None:
    keys = [group.key for group, _ in margins(conn, "month").groups]
    assert keys == sorted(keys)
    assert len(keys) > 12


def test_groups_carry_the_names_the_owner_gave(conn: Connection) -> None:
    assert {group.name for group, _ in margins(conn, "foundation").groups} == {
        "slab",
        "basement",
        "crawl space",
        "basement + crawl space",
        "not recorded",
    }
    assert NOT_RECORDED in {group.name for group, _ in margins(conn, "lead-source").groups}
    assert "none recorded" in {group.name for group, _ in margins(conn, "access-condition").groups}


def test_another_grouping_is_refused(conn: Connection) -> None:
    with pytest.raises(ValueError, match="weekday"):
        margins(conn, "weekday")


def test_the_worst_underbid_comes_first(conn: Connection) -> None:
    closed = margins(conn, "job-type").closed
    worst = furthest_under(closed, 8)
    assert [job.against_quote_cents for job in worst] == sorted(
        job.against_quote_cents for job in closed if job.accepted
    )[:8]
    assert all(job.against_quote_cents < 0 for job in worst)


def test_the_number_of_statements_does_not_grow_with_the_company(company: Company) -> None:
    with empty_company() as small:
        add_one_job(small)
        for ask in (
            lambda conn: all_job_results(conn),
            lambda conn: all_job_results(conn, from_=date(2017, 1, 1)),
            lambda conn: figures_of_jobs(conn),
            lambda conn: job_figures(conn, 1),
        ):
            assert statements(company, ask) == statements(small, ask) <= 11


def test_only_closed_jobs_when_so_asked(conn: Connection) -> None:
    results = all_job_results(conn, closed_only=True)
    assert results == list(margins(conn, "job-type").closed)
    assert all(isinstance(job, JobResult) for job in results)


def test_the_owners_wage_is_that_of_the_last_own_day(conn: Connection) -> None:
    wage = conn.execute(select(tables.person_cost.c.wage_cents)).scalars().first()
    # the library's costs begin in 2024, after these jobs
    assert owner_wage_cents(conn, all_job_results(conn)[0].job_id) is None
    with empty_company() as later:
        one = add_one_job(later)
        with later.action("Log") as edit:
            for day in (date(2026, 5, 5), date(2026, 5, 6)):
                edit.add(
                    tables.hours_entry, job_id=one.job_id, day=day, task_id=1, person_id=1, minutes=60,
                    rate_cents=5000, overhead_rate_cents=1000,
                )  # fmt: skip
            edit.add(
                tables.person_cost, person_id=1, starts_on=date(2026, 5, 6), wage_cents=4100, paid_hours=1,
                billable_hours=1, workers_comp_percent=0, state_unemployment_percent=0,
                state_unemployment_base_cents=0, other_cents_per_year=0,
            )  # fmt: skip
            assert owner_wage_cents(edit.conn, one.job_id) == 4100 != wage
