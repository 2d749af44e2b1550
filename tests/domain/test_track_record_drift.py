"""Newer jobs weigh more where the jobs ask for it: a drift is followed, noise is not, and few jobs say nothing."""

from __future__ import annotations

from random import Random
from statistics import fmean

import pytest

from domain.track_record.drift import FEWEST, Drift

A_JOB = 0.34 / 120
"""Two fifths within a year of 120 jobs, on the scale of logs."""


def rests(jobs: int, seed: int, drift_from: int, a_job: float = A_JOB) -> list[float]:
    """What jobs leave unexplained: noise as of real jobs, peaked and with far misses, and a drift on top."""
    r = Random(seed)
    return [
        max(0, i - drift_from) * a_job + r.gauss(0, 0.15) + r.choice((-1, 1)) * r.expovariate(1 / 0.13)
        for i in range(jobs)
    ]


def test_below_fifteen_jobs_there_is_no_drift_however_clear_it_looks() -> None:
    assert Drift([i / 10 for i in range(FEWEST - 1)]).ahead(1) == 0
    assert Drift([i / 10 for i in range(FEWEST)]).ahead(1) > 0.5


def test_a_year_of_drift_is_followed_to_a_twentieth_and_beyond_today() -> None:
    left = []
    for seed in range(20):
        found = Drift(rests(360, seed, 240))
        left.append(120 * A_JOB - found.ahead(0))
        assert found.ahead(10) > found.ahead(0)
        assert found.beliefs[0] < 0.2
    assert abs(fmean(left)) < 0.05


@pytest.mark.parametrize("jobs", [20, 60, 400])
def test_where_nothing_drifts_next_to_nothing_is_seen(jobs: int) -> None:
    seen = [Drift(rests(jobs, seed, jobs)).ahead(5) for seed in range(20)]
    assert abs(fmean(seen)) < 0.04
    assert fmean(map(abs, seen)) < (0.03 if jobs == 400 else 0.08)


def test_work_that_grows_faster_is_followed_the_other_way_too() -> None:
    slower, faster = Drift(rests(240, 3, 120)), Drift([-rest for rest in rests(240, 3, 120)])
    assert faster.ahead(5) == pytest.approx(-slower.ahead(5))


def test_one_job_gone_far_astray_moves_nothing_far() -> None:
    calm = rests(200, 5, 200)
    with_one = [*calm[:-1], 3.0]
    assert abs(Drift(with_one).ahead(1) - Drift(calm).ahead(1)) < 0.04
