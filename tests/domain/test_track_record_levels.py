"""The parts of the model one by one: pulled medians, levels, and how lines add up to jobs."""

from __future__ import annotations

from math import exp, log
from random import Random
from statistics import median as plain_median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.track_record import Outcome
from domain.track_record.fitting import fit_levels
from domain.track_record.history import History, size_of
from domain.track_record.pooling import Ordered, Wander, Weighed, median, pull
from domain.track_record.whole_jobs import Line, add_up, fit_jobs
from tests.domain.track_record_worlds import FIRST_DAY, LATER, laplace, lines, whole_jobs

NUMBERS = st.lists(st.floats(-3, 3), min_size=1, max_size=40)


@given(NUMBERS)
def test_the_middle_is_the_median(values: list[float]) -> None:
    assert median(sorted(values)) == pytest.approx(plain_median(values))
    assert Ordered(values).at(0.5) == pytest.approx(plain_median(values))
    assert Weighed(values, [2.5] * len(values)).at(0.5) == pytest.approx(plain_median(values))


@given(NUMBERS, st.floats(0.05, 0.95))
def test_equal_weights_weigh_nothing(values: list[float], share: float) -> None:
    assert Weighed(values, [0.3] * len(values)).at(share) == pytest.approx(Ordered(values).at(share), abs=1e-9)


def test_a_heavy_value_draws_the_middle_to_itself() -> None:
    assert Weighed([1.0, 2.0, 3.0], [1.0, 1.0, 20.0]).at(0.5) > 2.5


@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(0.01, 1)), min_size=2, max_size=12), st.floats(-1, 1))
def test_pulling_never_goes_past_the_target(groups: list[tuple[float, float]], target: float) -> None:
    pulled = pull([y for y, _ in groups], [v for _, v in groups], target)
    for (raw, variance), estimate, doubt in zip(groups, pulled.estimates, pulled.doubts, strict=True):
        assert min(raw, target) - 1e-9 <= estimate <= max(raw, target) + 1e-9
        assert 0 <= doubt <= variance + 1e-9


def test_the_less_is_seen_of_a_group_the_more_it_is_pulled() -> None:
    pulled = pull([0.5, 0.5, -0.5, -0.4, 0.3, -0.3], [0.01, 0.2, 0.01, 0.01, 0.01, 0.01], 0.0)
    assert 0 < pulled.estimates[1] < pulled.estimates[0] < 0.5


@pytest.mark.parametrize("values", [4, 20, 100])
@pytest.mark.parametrize("as_quoted", [0.0, 0.4])
def test_medians_wander_as_far_as_it_says(values: int, as_quoted: float) -> None:
    r = Random(values)
    noise = laplace(0.4)

    def draw() -> float:
        return 0.0 if r.random() < as_quoted else noise(r) + 0.1

    wander = Wander(sorted(draw() for _ in range(20_000)))
    seen = sorted(plain_median([draw() for _ in range(values)]) for _ in range(1500))
    middle_two_thirds = (seen[1250] - seen[250]) / 2
    # a floor stands under it, and small groups are even in number: so within a third, or both next to nothing
    assert wander.variance(values) ** 0.5 == pytest.approx(middle_two_thirds, rel=0.35, abs=0.035)


def test_where_half_is_as_quoted_nothing_is_corrected() -> None:
    history = History(lines(600, 3, lambda r: abs(laplace(0.5)(r)), as_quoted=0.6, type_sd=0.0), LATER)
    levels = fit_levels(history, 600)
    assert {levels.of(pattern)[0] for pattern in history.patterns} == {0.0}


def test_effects_stand_where_they_belong() -> None:
    history = History(lines(3000, 8, laplace(0.25), type_sd=0.3, task_sd=0.0, condition=0.25, size=0.15), LATER)
    levels = fit_levels(history, 3000)
    assert levels.conditions.effect("mud") == pytest.approx(0.25, abs=0.06)
    assert levels.conditions.effect("low crawl") == pytest.approx(0.25, abs=0.06)
    small, large = levels.sizes.effect(size_of(45)), levels.sizes.effect(size_of(45 * 8))
    assert small - large == pytest.approx(0.15 * log(8), abs=0.08)
    assert max(abs(effect) for effect in levels.tasks.effects.values()) < 0.08


def test_what_was_never_seen_is_in_more_doubt() -> None:
    history = History(lines(500, 2, laplace(0.3), type_sd=0.4), LATER)
    levels = fit_levels(history, 500)
    known, unknown = levels.of(("type 0", "task 0", 3, ())), levels.of(("new", "new", 3, ()))
    assert unknown[1] > known[1] * 1.15


def test_newer_lines_weigh_more_when_asked() -> None:
    history = History(lines(400, 1, laplace(0.2), drift=1.0, type_sd=0, task_sd=0, condition=0), LATER)
    weights = [0.5 ** ((400 - i) / 40) for i in range(400)]
    assert fit_levels(history, 400, weights).overall > fit_levels(history, 400).overall + 0.25


# --- whole jobs -------------------------------------------------------------------------------------------------


@given(st.lists(st.tuples(st.integers(1, 900), st.floats(-1, 1), st.floats(0.05, 1)), min_size=1, max_size=9))
def test_lines_that_err_together_scatter_more_than_strangers(parts: list[tuple[int, float, float]]) -> None:
    added = add_up([Line(*part) for part in parts])
    assert added.spread(0.0) <= added.spread(0.5) <= added.spread(1.0) + 1e-12
    assert added.spread(1.0) <= max(spread for *_, spread in parts) + 1e-9
    expected = sum(minutes * exp(middle) for minutes, middle, _ in parts)
    assert added.middle == pytest.approx(log(expected / sum(minutes for minutes, *_ in parts)), abs=1e-9)


def test_it_sees_whether_lines_of_a_job_err_together() -> None:
    found = []
    for alike, own in ((0.0, 0.4), (0.5, 0.1)):
        history = History(whole_jobs(250, 6, laplace(own), alike=alike, forgotten=0.0), LATER)
        found.append(fit_jobs(history, 250, fit_levels(history, 250)).likeness)
    assert found[0] <= 0.25
    assert found[1] >= 0.5


def test_work_forgotten_on_every_job_becomes_an_offset() -> None:
    outcomes = whole_jobs(200, 6, laplace(0.2), forgotten=0.0)
    totals: dict[object, int] = {}
    for outcome in outcomes:
        totals[outcome.job] = totals.get(outcome.job, 0) + outcome.actual_minutes
    extra = [
        Outcome(job, next(o.job_type for o in outcomes if o.job == job), "extra", (), 0, minutes // 4, FIRST_DAY)
        for job, minutes in totals.items()
    ]
    offsets = []
    for some in (outcomes, outcomes + extra):
        history = History(some, LATER)
        offsets.append(fit_jobs(history, 200, fit_levels(history, 200)).offset)
    assert offsets[1] - offsets[0] == pytest.approx(log(1.25), abs=0.05)
