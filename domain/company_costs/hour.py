"""What a billable hour of one person really costs: pay, taxes, insurance, and the hours nobody is billed for."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from functools import lru_cache

from domain.company_costs.ladder import Ladder, climb
from domain.company_costs.payroll import (
    OWNER,
    PersonCosts,
    YearlyCost,
    check_hour_cents,
    helper_taxes,
    owner_taxes,
    refuse_impossible,
)
from domain.money import format_money, round_cents
from domain.standards import Standard
from domain.units import format_percent

ADVISER = "An estimate for costing, not tax advice. Ask an adviser, above all when the firm's legal form changes."
DRAW = "A sole proprietor's draw carries self-employment tax instead of payroll taxes; ask a tax adviser."
"""From memory."""


def _yearly_costs(costs: PersonCosts, on: date, own: tuple[Standard, ...]) -> tuple[list[YearlyCost], list[Standard]]:
    pay_cents = costs.wage_cents_per_hour * costs.paid_hours_per_year
    owner = costs.role == OWNER
    pay = YearlyCost(
        "Draw" if owner else "Wage",
        f"{format_money(costs.wage_cents_per_hour)} for each of {costs.paid_hours_per_year:,} paid hours a year.",
        Fraction(pay_cents),
    )
    taxes, used = owner_taxes(pay_cents, on, own) if owner else helper_taxes(pay_cents, costs, on, own)
    insurance = YearlyCost(
        "Workers' compensation",
        f"{format_percent(costs.workers_comp_percent)} of pay.",
        pay_cents * Fraction(costs.workers_comp_percent) / 100,
    )
    other = YearlyCost(
        "Other yearly costs",
        f"{format_money(costs.other_cents_per_year)} a year over all paid hours.",
        Fraction(costs.other_cents_per_year),
    )
    return [pay, *taxes, insurance, other], used


def _check_note(costs: PersonCosts, total_cents: int, check_cents: int) -> str:
    how = (
        f"Check: the whole year in cents, spread over {costs.billable_hours_per_year:,} billable hours, "
        f"comes to {format_money(check_cents)} an hour"
    )
    if check_cents == total_cents:
        return f"{how}, the same."
    apart = format_money(abs(check_cents - total_cents))
    return f"{how}; {apart} apart, because there each yearly amount is rounded to the cent before dividing."


@lru_cache(maxsize=4096)  # asked for on every refresh of a page, and for every entry of a long log
def hour_ladder(costs: PersonCosts, on: date, own: tuple[Standard, ...] = ()) -> Ladder:
    """The burdened cost in cents of one billable hour on a day, rung by rung.

    Yearly cost = pay + taxes + workers' compensation + other; each rung is per paid hour, and the last one spreads
    the year over the billable hours (x paid / billable). Rates and bases are those of the day, the owner's ``own``
    rows first. A sole proprietor's draw carries self-employment tax, not FICA (from memory): ask an adviser.
    Raises NotUnderstood.
    """
    refuse_impossible(costs)
    yearly, used = _yearly_costs(costs, on, own)
    rungs: list[tuple[str, str, Fraction]] = []
    so_far = Fraction(0)
    for cost in yearly:
        so_far += cost.cents
        rungs.append((cost.label, cost.explanation, so_far / costs.paid_hours_per_year))
    unbilled = costs.paid_hours_per_year - costs.billable_hours_per_year
    rungs.append(
        (
            "Hours nobody is billed for",
            f"{unbilled:,} of {costs.paid_hours_per_year:,} paid hours go to driving, quoting and shopping; "
            f"the {costs.billable_hours_per_year:,} billable hours carry them.",
            so_far / costs.billable_hours_per_year,
        )
    )
    total_cents = round_cents(so_far / costs.billable_hours_per_year)
    check_cents = check_hour_cents(costs, on, own)
    notes = [f"{row.label[:1].upper()}{row.label[1:]}: {row.note}" for row in used]
    return Ladder(
        climb(rungs),
        total_cents,
        check_cents,
        _check_note(costs, total_cents, check_cents),
        (*([DRAW] if costs.role == OWNER else []), ADVISER, *notes),
    )
