"""Eighteen batters: B. Efron and C. Morris, "Stein's Paradox in Statistics", Scientific American, 1977 (data also in
the Journal of the American Statistical Association, 1975).

Seen in secondary copies only: the averages after 45 at-bats and of the whole season, at 52sbl.cn/discussion/90100.html;
the grand mean .265 and the shrinking factor .212, at saslist.com/blog/category/text. That pooled estimates beat the raw
averages by more than two to one is computed here from these figures. The eight schools of D. Rubin are from memory.
"""

from __future__ import annotations

import pytest

from domain.track_record.pooling import pull

BATTERS = [
    (0.400, 0.346), (0.378, 0.298), (0.356, 0.276), (0.333, 0.222), (0.311, 0.273), (0.311, 0.270),
    (0.289, 0.263), (0.267, 0.210), (0.244, 0.269), (0.244, 0.230), (0.222, 0.264), (0.222, 0.256),
    (0.222, 0.303), (0.222, 0.264), (0.222, 0.226), (0.200, 0.285), (0.178, 0.316), (0.156, 0.200),
]  # fmt: skip
EARLY = [early for early, _ in BATTERS]
SEASON = [season for _, season in BATTERS]
MEAN = sum(EARLY) / len(EARLY)
VARIANCE = MEAN * (1 - MEAN) / 45  # of an average of 45 at-bats


def squared(estimates: tuple[float, ...] | list[float]) -> float:
    return sum((estimate - season) ** 2 for estimate, season in zip(estimates, SEASON, strict=True))


def test_the_grand_mean_and_the_shrinking_factor() -> None:
    pulled = pull(EARLY, [VARIANCE] * 18)
    assert pulled.target == pytest.approx(0.265, abs=0.0006)
    factor = pulled.between / (pulled.between + VARIANCE)
    assert factor == pytest.approx(0.212, abs=0.006)
    for early, estimate in zip(EARLY, pulled.estimates, strict=True):
        assert estimate == pytest.approx(0.212 * early + 0.788 * 0.265, abs=0.0015)


def test_pulled_averages_foretell_the_season_more_than_twice_as_well() -> None:
    assert squared(EARLY) > 2 * squared(pull(EARLY, [VARIANCE] * 18).estimates)


def test_for_equal_variances_it_is_the_rule_of_james_and_stein() -> None:
    scatter = sum((early - MEAN) ** 2 for early in EARLY)
    stein = 1 - (18 - 3) * VARIANCE / scatter
    pulled = pull(EARLY, [VARIANCE] * 18)
    assert pulled.between / (pulled.between + VARIANCE) == pytest.approx(stein, abs=0.001)


def test_eight_schools_differ_no_more_than_chance_makes_them() -> None:
    effects, errors = [28, 8, -3, 7, -1, 1, 18, 12], [15, 10, 16, 11, 9, 11, 10, 18]
    pulled = pull(effects, [error**2 for error in errors])
    # sum((y - mean)^2 / v) is 4.7 for these (computed), less than the 5 that chance alone would ask for
    assert pulled.between == 0
    assert pulled.estimates == pytest.approx([pulled.target] * 8)
    assert pulled.target == pytest.approx(7.7, abs=0.05)
