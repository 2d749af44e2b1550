"""Percentage of completion by cost, and over- and under-billing.

The method: ASC 606-10-55-20 names cost-to-cost as a measure of progress (read second-hand). The figures of the first
example are computed here: contract 10,000, expected cost 6,000, cost so far 2,400, billed 5,000.
"""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.wip import JobInWork, work_in_progress


def _job(contract: int, budget: int, spent: int, billed: int, finished: bool = False) -> JobInWork:
    to_come = max(budget - spent, 0)
    return JobInWork(1, "26-001", "Wren Halloway", "Rework", contract, budget, spent, to_come, billed, finished)


def test_forty_percent_done_and_over_billed() -> None:
    job = _job(1_000_000, 600_000, 240_000, 500_000)
    assert job.percent_done == Decimal("40.00")
    assert job.earned_cents == 400_000
    assert (job.over_billed_cents, job.under_billed_cents) == (100_000, 0)


def test_a_job_beyond_its_budget_expects_what_it_spent_and_tells_its_loss() -> None:
    job = _job(1_000_000, 600_000, 1_100_000, 500_000)
    assert job.percent_done == 100
    assert job.loss_cents == 100_000
    assert job.under_billed_cents == 500_000


def test_a_job_over_on_one_task_with_others_still_to_come_is_not_done() -> None:
    job = JobInWork(1, "26-001", "Wren Halloway", "Rework", 1_000_000, 600_000, 600_000, 200_000, 0)
    assert (job.percent_done, job.earned_cents, job.expected_cents) == (Decimal("75.00"), 750_000, 800_000)


def test_a_job_invoiced_in_full_is_done_though_it_took_less() -> None:
    job = _job(1_000_000, 600_000, 400_000, 1_000_000, finished=True)
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
