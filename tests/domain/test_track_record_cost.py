"""Materials are learned like hours, and a quote's cost is forecast from both."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from domain.errors import NotUnderstood
from domain.money import labour_cents
from domain.track_record import Basis, MaterialOutcome, QuotedTask, fit, fit_materials, forecast_cost
from tests.domain.track_record_worlds import LATER, laplace, lines

DAY = date(2025, 3, 3)
BOUGHT = [
    MaterialOutcome(line.job, line.job_type, line.conditions, 100 * line.quoted_minutes, 100 * line.actual_minutes,
                    line.finished_on)
    for line in lines(300, 6, laplace(0.15), as_quoted=0.3)
]  # fmt: skip
HOURS = fit(lines(300, 7, laplace(0.3)), as_of=LATER).forecast([QuotedTask("type 0", "task 0", (), 600)])
MATERIALS = fit_materials(BOUGHT, as_of=LATER).forecast("type 0", (), 40_000)


def test_materials_are_forecast_in_cents() -> None:
    low, high = MATERIALS.band(0.8)
    assert MATERIALS.basis is Basis.OWN_TYPE
    assert low < MATERIALS.median_cents < high
    assert MATERIALS.quantile(0.5) == MATERIALS.median_cents
    assert MATERIALS.probability_over(high) < 0.2
    assert MATERIALS.note == ""


def test_the_band_for_materials_holds_what_it_promises() -> None:
    assert fit_materials(BOUGHT, as_of=LATER).record.backtest().coverage[80] == pytest.approx(0.8, abs=0.06)


def test_with_few_jobs_materials_are_not_sure_either() -> None:
    found = fit_materials(BOUGHT[:3], as_of=LATER).forecast("type 0", (), 40_000)
    assert found.basis is Basis.DEFAULT
    assert found.median_cents == 40_000
    assert "too few to learn from" in found.note


def test_no_materials_quoted_is_nothing_to_correct() -> None:
    found = fit_materials(BOUGHT, as_of=LATER).forecast("type 0", (), 0)
    assert (found.median_cents, found.band(0.8)) == (0, (0, 0))
    assert found.note == "No materials are quoted, so there is nothing to correct."


@pytest.mark.parametrize(("quoted", "actual"), [(-1, 5), (5, -1)])
def test_costs_below_nothing_are_refused_kindly(quoted: int, actual: int) -> None:
    with pytest.raises(NotUnderstood, match="cannot be below zero"):
        fit_materials([MaterialOutcome(1, "Fan", (), quoted, actual, DAY)], as_of=LATER)


def test_hours_alone_cost_their_minutes_at_the_rate() -> None:
    cost = forecast_cost(HOURS, 4800, other_cents=2500)
    for p in (0.1, 0.5, 0.9):
        # the quantile of the cost is the cost of the quantile, to the next of a hundred points
        low, high = HOURS.quantile(p - 0.02), HOURS.quantile(p + 0.02)
        assert labour_cents(low, 4800) + 2500 <= cost.quantile(p) <= labour_cents(high, 4800) + 2500


def test_the_whole_cost_scatters_less_than_its_parts_together() -> None:
    alone, whole = forecast_cost(HOURS, 4800), forecast_cost(HOURS, 4800, MATERIALS)
    low, high = whole.band(0.8)
    hours_low, hours_high = alone.band(0.8)
    goods_low, goods_high = MATERIALS.band(0.8)
    assert hours_high - hours_low < high - low < hours_high - hours_low + goods_high - goods_low
    assert whole.median_cents == pytest.approx(alone.median_cents + MATERIALS.median_cents, rel=0.05)


def test_the_chance_of_going_over_a_price_agrees_with_the_quantiles() -> None:
    cost = forecast_cost(HOURS, 4800, MATERIALS, 10_000)
    for p in (0.1, 0.5, 0.8, 0.95):
        assert cost.probability_over(cost.quantile(p)) == pytest.approx(1 - p, abs=0.01)
    assert cost.probability_over(0) == 1
    assert cost.probability_over(10**12) == 0


def test_a_year_of_learning_leaves_the_earlier_record_alone() -> None:
    early = fit_materials(BOUGHT, as_of=BOUGHT[0].finished_on + timedelta(30))
    assert early.record.jobs == 31
