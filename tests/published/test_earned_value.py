"""Earned value: the published formulas and figures.

Formulas CV = EV - AC, SV = EV - PV, CPI = EV/AC, SPI = EV/PV, EAC = BAC/CPI, ETC = EAC - AC, VAC = BAC - EAC,
TCPI = (BAC - EV)/(BAC - AC): several secondary copies, read. Figures: a review site for engineers,
ceboardexamgenerator.com/subjects/mstc/construction/3project-control-and-earned-value (secondary, read): budget
5,000,000, earned 1,500,000, spent 1,800,000 -> estimate at completion 6,000,000; earned 3,000,000, spent 3,500,000 ->
CPI 0.857 and TCPI 1.077 (its budget of 10,000,000 is inferred from these, computed).
"""

from __future__ import annotations

import pytest

from domain.earned_value import EarnedValue


def test_estimate_at_completion() -> None:
    value = EarnedValue(budget=5_000_000, earned=1_500_000, spent=1_800_000)
    assert value.estimate_at_completion == 6_000_000
    assert value.estimate_to_complete == 4_200_000
    assert value.variance_at_completion == -1_000_000
    assert value.cost_variance == -300_000


def test_indexes() -> None:
    value = EarnedValue(budget=10_000_000, earned=3_000_000, spent=3_500_000, planned=4_000_000)
    assert float(value.cost_index or 0) == pytest.approx(0.857, abs=0.0005)
    assert float(value.to_complete_index or 0) == pytest.approx(1.077, abs=0.0005)
    assert float(value.schedule_index or 0) == 0.75  # computed
    assert value.schedule_variance == -1_000_000  # computed
