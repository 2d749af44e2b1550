"""What an employer pays on wages.

Social Security 6.2% and Medicare 1.45% a side: IRS Publication 80, section 7, read in a stored copy of an older
year (its wage base is old, so the base comes from the Social Security Administration's table). Federal
unemployment tax: only the first 7,000 dollars, Internal Revenue Manual 21.7.3.1, read in a stored copy of 2009;
6.0% and the credit of 5.4%, IRS Topic 759, seen second-hand. The sums are computed here.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from domain.company_costs import PersonCosts, hour_ladder
from domain.company_costs.payroll import helper_taxes
from domain.standards import standard_on

DAY = date(2026, 6, 1)


def test_thirty_dollars_an_hour_with_payroll_tax() -> None:
    # computed: 30.00 + 7.65% = 32.295, half up 32.30, before unemployment tax and insurance
    costs = PersonCosts("helper", 3_000, 1_000, 1_000)
    step = hour_ladder(costs, DAY).steps[1]
    assert step.label == "Social Security and Medicare"
    assert step.running_cents == 3_230
    taxes, _ = helper_taxes(100_000, costs, DAY)
    assert taxes[0].cents == 7_650


def test_federal_unemployment_tax_is_forty_two_dollars_a_year() -> None:
    for pay_dollars, tax_cents in ((7_000, 4_200), (60_000, 4_200), (3_500, 2_100)):
        taxes, _ = helper_taxes(pay_dollars * 100, PersonCosts("helper", 0, 1, 1), DAY)
        assert {tax.label: tax.cents for tax in taxes}["Federal unemployment tax"] == tax_cents


def test_the_rates_and_the_base() -> None:
    expected = {
        "employer_social_security": "6.2",
        "employer_medicare": "1.45",
        "federal_unemployment": "6.0",
        "federal_unemployment_credit": "5.4",
        "federal_unemployment_base": "7000",
    }
    assert {key: standard_on(key, DAY).value for key in expected} == {k: Decimal(v) for k, v in expected.items()}
