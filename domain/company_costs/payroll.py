"""What tax and insurance a year of pay carries, for the owner and for a helper.

A sole proprietor's draw carries self-employment tax, not FICA and unemployment tax (from memory, no source seen;
another legal form changes this). These are estimates for costing: ask an adviser before relying on them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood
from domain.money import divide_cents, format_money, percent_of
from domain.standards import Standard, standard_on
from domain.units import format_percent

OWNER = "owner"
HELPER = "helper"


@dataclass(frozen=True, slots=True)
class PersonCosts:
    """What one person costs, as the owner knows it.

    ``paid_hours_per_year`` are all hours the pay is for, ``billable_hours_per_year`` those a customer's job gets;
    the rest is driving, quoting and shopping. ``workers_comp_percent`` is dollars per 100 dollars of pay.
    State unemployment counts for a helper only. ``other_cents_per_year``: training, phone, clothing and the like.
    """

    role: str
    wage_cents_per_hour: int
    paid_hours_per_year: int
    billable_hours_per_year: int
    workers_comp_percent: Decimal = Decimal(0)
    state_unemployment_percent: Decimal = Decimal(0)
    state_unemployment_base_cents: int = 0
    other_cents_per_year: int = 0


@dataclass(frozen=True, slots=True)
class YearlyCost:
    """One kind of cost of a year, exact, in cents, with the sentence that explains it."""

    label: str
    explanation: str
    cents: Fraction


def refuse_impossible(costs: PersonCosts) -> None:
    """Raise NotUnderstood, saying what to change, for costs no ladder can be made of."""
    if costs.role not in (OWNER, HELPER):
        raise NotUnderstood("Say whether this person is the owner or a helper.", costs.role)
    if costs.billable_hours_per_year <= 0:
        raise NotUnderstood(
            "Enter how many hours a year go to customers' jobs; the cost of a year is spread over them.",
            str(costs.billable_hours_per_year),
        )
    if costs.paid_hours_per_year < costs.billable_hours_per_year:
        raise NotUnderstood(
            "The billable hours are more than the paid hours. Raise the paid hours or lower the billable ones.",
            str(costs.billable_hours_per_year),
        )
    amounts = [
        Decimal(costs.wage_cents_per_hour),
        costs.workers_comp_percent,
        costs.state_unemployment_percent,
        Decimal(costs.state_unemployment_base_cents),
        Decimal(costs.other_cents_per_year),
    ]
    if min(amounts) < 0:
        raise NotUnderstood("A wage, a rate or a yearly cost cannot be less than nothing.", str(min(amounts)))


def _cents(standard: Standard) -> int:
    return int(standard.value * 100)


def _part(cents: Fraction, percent: Decimal) -> Fraction:
    return cents * Fraction(percent) / 100


def owner_taxes(
    pay_cents: int, on: date, own: tuple[Standard, ...] = ()
) -> tuple[list[YearlyCost], list[Standard]]:
    """Self-employment tax on a year's draw, taken as the net earnings (26 USC 1401; Schedule SE).

    pay x 92.35%, then 12.4% up to the year's wage base and 2.9% on all; nothing when the 92.35% stay under
    400 dollars. The additional Medicare tax on high incomes is left out, and so is income tax.
    """
    share = standard_on("self_employment_share", on, own)
    social = standard_on("self_employment_social_security", on, own)
    medicare = standard_on("self_employment_medicare", on, own)
    base = standard_on("social_security_base", on, own)
    floor = standard_on("self_employment_floor", on, own)
    earnings = _part(Fraction(pay_cents), share.value)
    if earnings < _cents(floor):
        earnings = Fraction(0)
    capped = min(earnings, Fraction(_cents(base)))
    tax = _part(capped, social.value) + _part(earnings, medicare.value)
    explanation = (
        f"{format_percent(social.value)} Social Security and {format_percent(medicare.value)} Medicare on "
        f"{format_percent(share.value)} of the draw; Social Security up to {format_money(_cents(base))} a year."
    )
    used = [share, social, medicare, base, floor]
    return [YearlyCost("Self-employment tax", explanation, tax)], used


def helper_taxes(
    pay_cents: int, costs: PersonCosts, on: date, own: tuple[Standard, ...] = ()
) -> tuple[list[YearlyCost], list[Standard]]:
    """What an employer pays on a helper's wages: FICA, federal and state unemployment tax.

    Social Security 6.2% up to the wage base and Medicare 1.45% (IRS Publication 80, section 7); federal
    unemployment tax 6.0% less a credit of 5.4% on the first 7,000 dollars (IRS Topic 759), which takes the full
    credit as granted; a state that owes the federal fund gets less.
    """
    social = standard_on("employer_social_security", on, own)
    medicare = standard_on("employer_medicare", on, own)
    base = standard_on("social_security_base", on, own)
    federal = standard_on("federal_unemployment", on, own)
    credit = standard_on("federal_unemployment_credit", on, own)
    federal_base = standard_on("federal_unemployment_base", on, own)
    pay = Fraction(pay_cents)
    federal_percent = federal.value - credit.value
    taxes = [
        YearlyCost(
            "Social Security and Medicare",
            f"Employer's share: {format_percent(social.value)} up to {format_money(_cents(base))} a year, and "
            f"{format_percent(medicare.value)} on all of it.",
            _part(min(pay, Fraction(_cents(base))), social.value) + _part(pay, medicare.value),
        ),
        YearlyCost(
            "Federal unemployment tax",
            f"{format_percent(federal_percent)} after the credit, on the first {format_money(_cents(federal_base))}.",
            _part(min(pay, Fraction(_cents(federal_base))), federal_percent),
        ),
        YearlyCost(
            "State unemployment tax",
            f"{format_percent(costs.state_unemployment_percent)} on the first "
            f"{format_money(costs.state_unemployment_base_cents)}.",
            _part(Fraction(min(pay_cents, costs.state_unemployment_base_cents)), costs.state_unemployment_percent),
        ),
    ]
    return taxes, [social, medicare, base, federal, credit, federal_base]


def check_hour_cents(costs: PersonCosts, on: date, own: tuple[Standard, ...] = ()) -> int:
    """The burdened hour worked out the other way round: whole yearly cents, taxes as one combined rate.

    Below the wage base the combined rate applies (15.3% or 7.65%), above it Medicare alone. Shares nothing with
    the ladder but the table of rates.
    """
    pay = costs.wage_cents_per_hour * costs.paid_hours_per_year
    base = int(standard_on("social_security_base", on, own).value * 100)
    if costs.role == OWNER:
        earnings = percent_of(pay, standard_on("self_employment_share", on, own).value)
        taxable = earnings if earnings >= standard_on("self_employment_floor", on, own).value * 100 else 0
        medicare = standard_on("self_employment_medicare", on, own).value
        combined = standard_on("self_employment_social_security", on, own).value + medicare
        unemployment = 0
    else:
        taxable = pay
        medicare = standard_on("employer_medicare", on, own).value
        combined = standard_on("employer_social_security", on, own).value + medicare
        federal_base = int(standard_on("federal_unemployment_base", on, own).value * 100)
        federal_on = min(pay, federal_base)
        unemployment = (
            percent_of(federal_on, standard_on("federal_unemployment", on, own).value)
            - percent_of(federal_on, standard_on("federal_unemployment_credit", on, own).value)
            + percent_of(min(pay, costs.state_unemployment_base_cents), costs.state_unemployment_percent)
        )
    taxes = percent_of(min(taxable, base), combined) + percent_of(max(taxable - base, 0), medicare)
    insurance = percent_of(pay, costs.workers_comp_percent)
    year = pay + taxes + unemployment + insurance + costs.other_cents_per_year
    return divide_cents(year, costs.billable_hours_per_year)
