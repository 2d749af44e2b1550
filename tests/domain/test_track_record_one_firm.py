"""One contractor's jobs: who drifts within a year is followed, and a condition that multiplies stays in the bands."""

from __future__ import annotations

from collections import defaultdict
from math import log
from statistics import fmean

import pytest

from domain.track_record import Backtest, Outcome, QuotedTask, fit
from tests.domain.track_record_worlds import LATER, one_firm

NEXT, SEEDS = 40, range(4)
TWO_FIFTHS = 0.34  # log of 1.4


def next_jobs(outcomes: list[Outcome], new: int = NEXT) -> list[float]:
    """Log of actual over forecast of the last jobs, by a record that never saw them."""
    jobs: dict[object, list[Outcome]] = defaultdict(list)
    for line in outcomes:
        jobs[line.job].append(line)
    seen = list(jobs)[:-new]
    record = fit([line for job in seen for line in jobs[job]], as_of=LATER)
    errors = []
    for job in list(jobs)[-new:]:
        asked = [QuotedTask(one.job_type, one.task, one.conditions, one.quoted_minutes) for one in jobs[job]]
        took = sum(one.actual_minutes for one in jobs[job])
        errors.append(log(took / record.forecast(asked).median_minutes))
    return errors


def test_a_contractor_who_drifts_by_two_fifths_within_a_year_is_followed() -> None:
    """The work has moved by 0.23 when asked, and moves on to 0.34 in the jobs asked about: 0.28 in the mean.

    A record of all that ever was would miss nearly all of that. Of what is left 0.04 comes after today, unseen.
    """
    errors = [error for seed in SEEDS for error in next_jobs(one_firm(360, seed, drift_a_year=TWO_FIFTHS))]
    assert fmean(errors) < 0.12  # 0.101 over these four, from 0.05 to 0.18 one by one


def test_asked_as_jobs_come_the_drift_is_met_to_a_twentieth_or_so_and_better_than_by_the_type() -> None:
    """The record as it is used: learned from anew while the work still drifts, the last months of a year of it."""
    tests = [
        test
        for seed in SEEDS
        for test in fit(one_firm(400, seed, drift_a_year=TWO_FIFTHS), as_of=LATER).backtest().last(NEXT).tests
    ]
    last = Backtest(tuple(tests))
    assert last.bias is not None
    assert last.mean_absolute_log_error is not None
    assert abs(last.bias) < 0.05  # +0.019; the error 0.20 where the type's median has 0.36
    assert last.mean_absolute_log_error < 0.8 * last.plain_rules["median of the type"]
    assert 0.72 <= last.coverage[80] <= 0.9


def test_following_costs_nothing_where_nothing_drifts() -> None:
    errors = [error for seed in SEEDS for error in next_jobs(one_firm(360, seed))]
    assert abs(fmean(errors)) < 0.05
    assert fmean(map(abs, errors)) < 0.22


@pytest.mark.parametrize("both", [0.0, 0.5])
def test_a_type_and_a_condition_that_multiply_stay_in_the_bands(both: float) -> None:
    inside = asked = 0
    for seed in range(3):
        outcomes = one_firm(400, seed, both=both)
        about = {one.job: (one.job_type, one.conditions) for one in outcomes}
        for test in fit(outcomes, as_of=LATER).backtest().tests[100:]:
            kind, under = about[test.job]
            if kind == "type 0" and "finished basement" in under:
                inside, asked = inside + test.inside(80), asked + 1
    assert asked > 80
    assert 0.72 <= inside / asked <= 0.92
