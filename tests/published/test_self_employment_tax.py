"""Self-employment tax.

Rates: 26 USC 1401 (12.4% and 2.9%), seen second-hand as restated on a legal information page. Factor 0.9235:
Schedule SE, line 4a, seen second-hand on tax help pages that quote the line. Floor of 400 dollars: Schedule SE,
"who must pay", seen in the 2011 instructions. Wage bases 2018 to 2025: Social Security Administration,
"automatically adjusted amounts" (ssa.gov/OACT/COLA/autoAdj.html), the table itself was read; 2026 was seen
second-hand in a news item. The examples are computed here from those figures.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from domain.company_costs.payroll import owner_taxes
from domain.standards import standard_on


def tax_cents(net_dollars: int, day: date) -> Fraction:
    costs, _ = owner_taxes(net_dollars * 100, day)
    return sum((cost.cents for cost in costs), Fraction(0))


def test_net_earnings_of_sixty_thousand() -> None:
    # computed: 60,000 x 0.9235 = 55,410.00; x 15.3% = 8,477.73
    assert tax_cents(60_000, date(2026, 6, 1)) == 847_773


@pytest.mark.parametrize(
    ("year", "base"),
    [
        (2018, 128_400),
        (2019, 132_900),
        (2020, 137_700),
        (2021, 142_800),
        (2022, 147_000),
        (2023, 160_200),
        (2024, 168_600),
        (2025, 176_100),
        (2026, 184_500),
    ],
)
def test_social_security_part_ends_at_the_wage_base(year: int, base: int) -> None:
    day = date(year, 12, 31)
    assert standard_on("social_security_base", day).value == base
    # computed: at net earnings of 300,000 the whole base is taxed at 12.4%, and 277,050.00 at 2.9%
    assert tax_cents(300_000, day) == base * 100 * Fraction(124, 1000) + 27_705_000 * Fraction(29, 1000)


@pytest.mark.parametrize(("net", "due"), [(433, False), (434, True)])
def test_nothing_is_due_under_four_hundred(net: int, due: bool) -> None:
    # computed: 433 x 0.9235 = 399.88; 434 x 0.9235 = 400.80
    assert (tax_cents(net, date(2026, 6, 1)) > 0) is due


def test_the_two_rates_make_fifteen_point_three() -> None:
    day = date(2026, 6, 1)
    social = standard_on("self_employment_social_security", day).value
    medicare = standard_on("self_employment_medicare", day).value
    assert social + medicare == Decimal("15.3")
