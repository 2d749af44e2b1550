"""Earned value of a job in progress: adds up, knows its limits, and warns in time."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.earned_value import EarnedValue, TaskProgress, early_warning, earned_value
from domain.errors import NotUnderstood

UNITS = st.integers(1, 10**7)


@given(UNITS, UNITS, UNITS)
def test_the_figures_hang_together(budget: int, earned: int, spent: int) -> None:
    value = EarnedValue(budget, min(earned, budget), spent)
    whole = value.estimate_at_completion
    assert whole is not None
    assert value.cost_index is not None
    assert abs(whole - Fraction(budget) / value.cost_index) <= Fraction(1, 2)
    assert value.estimate_to_complete == whole - spent
    assert value.variance_at_completion == budget - whole
    assert (value.cost_variance < 0) == (value.cost_index < 1)
    if value.to_complete_index is not None:
        assert (value.to_complete_index > 1) == (value.cost_variance < 0)


def test_done_work_ends_at_what_it_took() -> None:
    value = EarnedValue(600, 600, 750)
    assert (value.estimate_at_completion, value.estimate_to_complete) == (750, 0)
    assert value.percent_done == 100


def test_before_the_first_hour_the_budget_is_the_estimate() -> None:
    value = EarnedValue(600, 0, 0)
    assert (value.estimate_at_completion, value.cost_index, value.to_complete_index) == (600, None, 1)


def test_time_spent_with_nothing_done_gives_no_estimate() -> None:
    value = EarnedValue(600, 0, 90)
    assert value.estimate_at_completion is None
    assert value.estimate_to_complete is None
    assert value.variance_at_completion is None


def test_an_overspent_budget_cannot_be_reached() -> None:
    assert EarnedValue(600, 400, 600).to_complete_index is None
    assert EarnedValue(0, 0, 60).percent_done is None


def test_tasks_earn_their_quoted_minutes_by_percent_done() -> None:
    value = earned_value(
        [
            TaskProgress("run pipe", 240, 200, Decimal("62.5")),
            TaskProgress("set fan", 90, 0, Decimal(0)),
            TaskProgress("seal", 30, 40, Decimal(100)),
            TaskProgress("rotten sill", 0, 45, Decimal(100)),  # unquoted: earns nothing
        ]
    )
    assert (value.budget, value.earned, value.spent) == (360, 180, 285)
    assert value.percent_done == 50


@pytest.mark.parametrize("percent", ["-1", "100.5"])
def test_a_percent_out_of_range_is_refused_kindly(percent: str) -> None:
    with pytest.raises(NotUnderstood, match="from 0 to 100") as refused:
        earned_value([TaskProgress("seal", 60, 0, Decimal(percent))])
    assert refused.value.typed == percent


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (EarnedValue(600, 300, 390), "Heading for 13 h where 10 h was quoted: 50% of the work is done in 6 h 30."),
        (EarnedValue(600, 300, 320), ""),  # 7% over: not yet worth a word
        (EarnedValue(600, 30, 60), ""),  # too little done to tell
        (
            EarnedValue(600, 500, 660),
            "All the quoted time is used, 1 h more, and the work is not done. At this pace it ends near 13 h 12.",
        ),
        (EarnedValue(600, 600, 660), "Heading for 11 h where 10 h was quoted: 100% of the work is done in 11 h."),
        (EarnedValue(600, 600, 540), ""),
    ],
)
def test_the_early_warning(value: EarnedValue, words: str) -> None:
    assert early_warning(value) == words
