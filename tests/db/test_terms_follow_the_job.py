"""Terms and dates that follow the job: how long a proposal stands, what a deposit is reckoned on, counted changes."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from db.commands.jobs import add_deadline, close_job, mark_deadline_met
from db.commands.quotes import accept_quote, add_labour, add_option, send_quote, start_change_order, start_quote
from db.commands.survey import add_radon_test
from db.company_file.company import Company
from db.queries.calendar import last_start_day, steps_of_job
from db.queries.firm import company_costs, day_rates, firm
from db.queries.proposals import proposal_facts
from domain.company_costs.rates import hours_beside
from domain.jobs import is_far, works_on_existing
from domain.quoting.proposal import proposal
from tests.small_company import TODAY, add_one_job, empty_company


@pytest.fixture
def company() -> Company:
    return empty_company()


def test_the_last_day_to_begin_comes_from_the_nearest_deadline_and_not_of_a_closed_job(company: Company) -> None:
    one = add_one_job(company)
    with company.action("Deadlines") as edit:
        add_deadline(edit, one.job_id, TODAY + timedelta(days=60), "permit")
        near = add_deadline(edit, one.job_id, TODAY + timedelta(days=30), "closing date")
    with company.read() as conn:
        last = last_start_day(conn, one.job_id, TODAY)
    assert last is not None
    assert TODAY < last < TODAY + timedelta(days=30), "work, a wait and a test come before the closing"
    with company.action("Met") as edit:
        mark_deadline_met(edit, near)
    with company.read() as conn:
        later = last_start_day(conn, one.job_id, TODAY)
    assert later is not None
    assert later > last
    with company.action("Close") as edit:
        close_job(edit, one.job_id, TODAY)
    with company.read() as conn:
        assert steps_of_job(conn, one.job_id, TODAY) == [], "a closed job does not have to begin"


def test_a_test_of_an_unknown_device_is_kept(company: Company) -> None:
    one = add_one_job(company)
    with company.action("Test") as edit:
        add_radon_test(edit, one.job_id, "before", "", Decimal("6.2"), TODAY - timedelta(days=20), today=TODAY)


def test_billable_hours_that_disagree_stand_beside_each_other(company: Company) -> None:
    with company.read() as conn:
        costs = company_costs(conn)
    words = hours_beside(costs, TODAY)
    year = sum(cost.billable_hours for cost in costs.person_costs)
    month = costs.overhead_bases[0].billable_minutes_per_month
    if abs(month * 12 - year * 60) * 100 <= 5 * year * 60:
        assert words == ""
    else:
        assert f"{year:,} billable hours a year" in words


@pytest.mark.parametrize(
    ("name", "there"),
    [("Rework of an existing system", True), ("Fan replacement", True), ("Passive activation", True),
     ("New system", False), ("Crawl-space membrane", False)],
)  # fmt: skip
def test_a_job_on_what_is_there_says_so(name: str, there: bool) -> None:
    assert works_on_existing(name) is there


def test_a_far_day_is_asked_about() -> None:
    assert is_far(date(2027, 5, 14), TODAY)
    assert not is_far(TODAY - timedelta(days=30), TODAY)


def test_the_deposit_names_its_rule_where_there_are_options_and_a_change_order_its_quantities(
    company: Company,
) -> None:
    one = add_one_job(company)
    with company.read() as conn:
        rates, this_firm = day_rates(conn, TODAY), firm(conn)
    with company.action("Offer") as edit:
        quote_id = start_quote(edit, one.job_id, TODAY, rates, this_firm, usual_lines=False)
        add_labour(edit, quote_id, 1, Decimal(1), override_minutes=300)
        option = add_option(edit, quote_id, "Quiet fan")
        add_labour(edit, quote_id, 2, Decimal(1), override_minutes=60, option_id=option)
        send_quote(edit, quote_id, TODAY, valid_days=3)
    with company.read() as conn:
        paper = proposal(proposal_facts(conn, quote_id))
    deposit = next(row for row in paper.price_rows if row.kind == "deposit")
    assert "with the options you choose" in deposit.detail
    with company.action("Accept") as edit:
        accept_quote(edit, quote_id, TODAY, [option])
        order = start_change_order(edit, one.job_id, TODAY, rates, this_firm, title="More slope")
        add_labour(edit, order, 9, Decimal(4))
    with company.read() as conn:
        facts = proposal_facts(conn, order)
        covers = proposal(facts).covers
    assert covers == (f"{facts.tasks[9].name}: 4 {facts.tasks[9].unit}s",)
