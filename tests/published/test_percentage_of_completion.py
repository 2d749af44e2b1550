"""Percentage of completion by cost, and over- and under-billing.

The method: ASC 606-10-55-20 names cost-to-cost as a measure of progress (read second-hand). The figures of the first
example are computed here: contract 10,000, expected cost 6,000, of it 2,400 so far, billed 5,000.
"""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import JobFigures, SoldQuote, variance_tree
from domain.costing.figures import LoggedLabour, QuotedLabour
from domain.wip import JobInWork, cost_to_come, work_in_progress


def _job(contract: int, to_come: int, spent: int, billed: int, finished: bool = False) -> JobInWork:
    return JobInWork(1, "26-001", "Wren Halloway", "Rework", contract, 600_000, spent, to_come, billed, finished)


def test_forty_percent_done_and_over_billed() -> None:
    job = _job(1_000_000, 360_000, 240_000, 500_000)
    assert job.percent_done == Decimal("40.00")
    assert job.earned_cents == 400_000
    assert (job.over_billed_cents, job.under_billed_cents) == (100_000, 0)


def test_a_job_beyond_its_budget_is_not_done_while_something_is_to_come() -> None:
    job = _job(1_000_000, 100_000, 1_100_000, 500_000)
    assert job.percent_done == Decimal("91.67")
    assert job.loss_cents == 200_000
    assert job.under_billed_cents == 416_667


def test_what_is_to_come_goes_at_the_pace_of_the_work() -> None:
    """10 h quoted at 100.00 with overhead of 20.00 an hour, 15 h logged, half done: 15 h more at 120.00."""
    line = QuotedLabour(1, "Run pipe", "work", 600, 100_000)
    entry = LoggedLabour(1, "Run pipe", "work", 900, 150_000, 30_000)
    tree = variance_tree(JobFigures(SoldQuote(0, labour=(line,), overhead_cents=20_000), labour=(entry,)))
    assert tree.still_to_come_cents == 0
    assert cost_to_come(tree, None) == 0
    assert cost_to_come(tree, 30 * 60) == 180_000


def test_a_job_invoiced_in_full_is_done_though_it_took_less() -> None:
    job = _job(1_000_000, 200_000, 400_000, 1_000_000, finished=True)
    assert (job.percent_done, job.earned_cents, job.over_billed_cents, job.under_billed_cents) == (100, 1_000_000, 0, 0)


MONEY = st.integers(0, 10**8)


@given(st.lists(st.tuples(MONEY, MONEY, MONEY, MONEY), max_size=8))
def test_billed_less_earned_is_over_less_under_for_all_jobs(rows: list[tuple[int, int, int, int]]) -> None:
    whole = work_in_progress(_job(*row) for row in rows)
    assert whole.billed_cents - whole.earned_cents == whole.over_billed_cents - whole.under_billed_cents
    for job in whole.jobs:
        assert 0 <= job.percent_done <= 100
        assert 0 <= job.earned_cents <= job.contract_cents
        assert not (job.over_billed_cents and job.under_billed_cents)
