"""Groups of jobs: sums of money over sums of money, and the median job beside them."""

from __future__ import annotations

import statistics
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.costing import JobResult, group_of, median


def result(price: int = 100_000, spent: int = 60_000, quoted_cost: int = 50_000, **more: int) -> JobResult:
    figures: dict[str, int] = {
        "change_order_price_cents": 0,
        "change_order_cost_cents": 0,
        "goodwill_cents": 0,
        "written_off_cents": 0,
        "quoted_minutes": 600,
        "actual_minutes": 690,
        "own_minutes": 690,
        "own_labour_cents": 55_000,
    } | more
    return JobResult(
        job_id=1,
        number="26-001",
        title="",
        customer="",
        job_type="",
        foundation="",
        lead_source="",
        conditions=(),
        opened_on=date(2026, 1, 5),
        closed_on=None,
        cancelled_on=None,
        accepted=True,
        quoted_price_cents=price,
        quoted_cost_cents=quoted_cost,
        actual_cost_cents=spent,
        **figures,
    )


def test_a_groups_margin_is_no_mean_of_percentages() -> None:
    small = result(price=10_000, spent=5_000)  # 50%
    large = result(price=90_000, spent=81_000)  # 10%
    group = group_of("both", [small, large])
    assert (group.revenue_cents, group.margin_cents) == (100_000, 14_000)
    assert group.margin_percent == Decimal("14.00")
    assert group.median_margin_percent == Decimal("30.00")
    assert group.median_margin_cents == 7_000


def test_a_job_that_loses_money_counts_and_one_that_breaks_even_does_not() -> None:
    group = group_of("three", [result(spent=100_001), result(spent=100_000), result(spent=20_000)])
    assert (group.lost, group.jobs, group.lost_percent) == (1, 3, Decimal(33))


def test_hours_over_are_told_in_percent_of_the_quoted_hours() -> None:
    group = group_of("one", [result()])
    assert (group.over_minutes, group.hours_over_percent) == (90, Decimal("15.0"))
    assert group_of("none", [result(quoted_minutes=0)]).hours_over_percent is None


def test_price_side_reaches_revenue_and_leaves_the_quoted_margin_alone() -> None:
    one = result(
        goodwill_cents=4_000, written_off_cents=1_000, change_order_price_cents=20_000, change_order_cost_cents=9_000
    )
    group = group_of("one", [one])
    assert group.revenue_cents == one.revenue_cents == 115_000
    assert group.quoted_margin_cents == one.quoted_margin_cents == 50_000
    assert group.budget_cost_cents == one.budget_cost_cents == 59_000
    assert one.against_quote_cents == group.against_quote_cents == 5_000


def test_a_group_of_nothing_is_all_noughts() -> None:
    group = group_of("empty", [])
    assert (group.jobs, group.margin_cents, group.margin_percent, group.median_margin_percent) == (0, 0, None, None)
    assert group.own_hour is None


@given(st.lists(st.builds(result, st.integers(0, 10**6), st.integers(0, 10**6)), min_size=1, max_size=30))
def test_a_group_is_the_sum_of_its_jobs(jobs: list[JobResult]) -> None:
    group = group_of("all", jobs)
    assert group.margin_cents == sum(job.margin_cents for job in jobs)
    assert group.lost == sum(job.margin_cents < 0 for job in jobs)
    exact = statistics.median(Fraction(job.margin_cents) for job in jobs)
    assert abs(group.median_margin_cents - exact) <= Fraction(1, 2)


def test_the_median_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="no value"):
        median([])
