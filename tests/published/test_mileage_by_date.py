"""The business mileage rate of a day.

The IRS announces it in a yearly notice; the notices were not seen. 2022 to 2026: an accountant's table of standard
mileage rates, read (second-hand). 2026 besides: an item naming Notice 2026-10, read (second-hand). 2018 to 2021:
a software vendor's table, read in part (second-hand). The rise from 1 July 2022 stands in three pages that agree.
Amounts for 42 miles are computed here.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from domain.money import line_cents
from domain.standards import SECOND_HAND, standard_on


@pytest.mark.parametrize(
    ("first", "last", "dollars", "cents_for_42_miles"),
    [
        (date(2018, 1, 1), date(2018, 12, 31), "0.545", 2_289),
        (date(2019, 1, 1), date(2019, 12, 31), "0.58", 2_436),
        (date(2020, 1, 1), date(2020, 12, 31), "0.575", 2_415),
        (date(2021, 1, 1), date(2021, 12, 31), "0.56", 2_352),
        (date(2022, 1, 1), date(2022, 6, 30), "0.585", 2_457),
        (date(2022, 7, 1), date(2022, 12, 31), "0.625", 2_625),
        (date(2023, 1, 1), date(2023, 12, 31), "0.655", 2_751),
        (date(2024, 1, 1), date(2024, 12, 31), "0.67", 2_814),
        (date(2025, 1, 1), date(2025, 12, 31), "0.70", 2_940),
        (date(2026, 1, 1), date(2026, 12, 31), "0.725", 3_045),
    ],
)
def test_the_rate_of_the_day_is_used(first: date, last: date, dollars: str, cents_for_42_miles: int) -> None:
    for day in (first, last):
        rate = standard_on("mileage_rate", day)
        assert rate.value == Decimal(dollars)
        assert not rate.is_projected
        assert rate.seen == SECOND_HAND
        assert line_cents(Decimal(42), rate.value) == cents_for_42_miles


def test_the_year_after_the_last_known_is_carried_forward_and_says_so() -> None:
    rate = standard_on("mileage_rate", date(2027, 1, 1))
    assert rate.value == Decimal("0.725")
    assert rate.is_projected
