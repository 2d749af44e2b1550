"""What an hour and a mile cost on one day, from the firm's dated costs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Protocol, TypeVar

from domain.company_costs.hour import hour_ladder
from domain.company_costs.ladder import Ladder
from domain.company_costs.overhead import OverheadItem, overhead_ladder
from domain.company_costs.payroll import HELPER, OWNER, PersonCosts
from domain.firm import DayRates, MileCost, OverheadBasis, OverheadEntry, Person, PersonCost
from domain.money import divide_cents, format_money
from domain.standards import Standard
from domain.standards.taxes import FIRST_DAY
from domain.units import format_minutes


class _Dated(Protocol):
    @property
    def starts_on(self) -> date: ...


Dated = TypeVar("Dated", bound=_Dated)


@dataclass(frozen=True, slots=True)
class CompanyCosts:
    """Everything the firm has said about what it costs, whatever the day."""

    people: tuple[Person, ...]
    person_costs: tuple[PersonCost, ...]
    overhead: tuple[OverheadEntry, ...]
    overhead_bases: tuple[OverheadBasis, ...]
    mile_costs: tuple[MileCost, ...]
    own: tuple[Standard, ...] = ()  # the owner's rows of the standards table

    def costs_of(self, person_id: int) -> list[PersonCost]:
        """One person's costs, oldest first."""
        return sorted(
            (cost for cost in self.person_costs if cost.person_id == person_id), key=lambda cost: cost.starts_on
        )


def in_force(rows: Iterable[Dated], on: date) -> Dated | None:
    """The row with the latest start not after the day; before all of them the earliest, for lack of better."""
    ordered = sorted(rows, key=lambda row: row.starts_on)
    begun = [row for row in ordered if row.starts_on <= on]
    if begun:
        return begun[-1]
    return ordered[0] if ordered else None


def ladder_costs(role: str, cost: PersonCost) -> PersonCosts:
    """A stored cost in the form the ladder is built from."""
    return PersonCosts(
        role=role,
        wage_cents_per_hour=cost.wage_cents,
        paid_hours_per_year=cost.paid_hours,
        billable_hours_per_year=cost.billable_hours,
        workers_comp_percent=cost.workers_comp_percent,
        state_unemployment_percent=cost.state_unemployment_percent,
        state_unemployment_base_cents=cost.state_unemployment_base_cents,
        other_cents_per_year=cost.other_cents_per_year,
    )


def person_ladder(costs: CompanyCosts, person: Person, on: date) -> Ladder | None:
    """How this person's billable hour is built up on a day; None while no cost is known.

    Tax figures are those of the day; for a day before the program's table begins, its first.
    """
    cost = in_force(costs.costs_of(person.id), on)
    return None if cost is None else hour_ladder(ladder_costs(person.role, cost), max(on, FIRST_DAY), costs.own)


def firm_ladder(costs: CompanyCosts, on: date) -> Ladder | None:
    """How the overhead on a billable hour is built up on a day; None while no billable hours are known.

    Before the firm's first month the items of that first month are taken.
    """
    basis = in_force(costs.overhead_bases, on)
    if basis is None or basis.billable_minutes_per_month <= 0:
        return None
    day = max(on, min((entry.starts_on for entry in costs.overhead), default=on))
    items = [
        OverheadItem(entry.name, entry.cents_per_month, entry.starts_on, entry.ends_on) for entry in costs.overhead
    ]
    return overhead_ladder(items, basis.billable_minutes_per_month, day)


HOURS_APART_PERCENT = 5
"""Billable hours of a month and of a year this far apart are worth a word (ours, no source)."""


def hours_beside(costs: CompanyCosts, on: date) -> str:
    """Where the billable hours of a month and of the year disagree: both, and the overhead an hour by each.

    The year is that of the people at work: the sum of their billable hours. "" where they agree or one is not known.
    """
    ladder, basis = firm_ladder(costs, on), in_force(costs.overhead_bases, on)
    here = [in_force(costs.costs_of(person.id), on) for person in costs.people if not person.archived]
    year = sum(cost.billable_hours for cost in here if cost is not None)
    if ladder is None or basis is None or not year:
        return ""
    monthly_year = basis.billable_minutes_per_month * 12  # minutes a year, as the month says
    if abs(monthly_year - year * 60) * 100 <= HOURS_APART_PERCENT * year * 60:
        return ""
    other = divide_cents(ladder.total_cents * monthly_year, year * 60)
    month, by_month = format_minutes(basis.billable_minutes_per_month), format_money(ladder.total_cents)
    return (
        f"{month} a month are {format_minutes(monthly_year)} a year; the hours of your people above come to {year:,} "
        f"billable hours a year. Overhead is {by_month} an hour by the month and would be {format_money(other)} by the "
        "year. Correct whichever is wrong."
    )


def rates_on(costs: CompanyCosts, on: date) -> DayRates:
    """The rates a quote or a log entry of this day is costed with.

    helper_cents is the dearest helper at work that day, so that a quote made before one knows who will come is
    not short; without any helper it is the owner's. Before a first dated cost, that first one is used.
    """
    person_cents = {
        person.id: ladder.total_cents for person in costs.people if (ladder := person_ladder(costs, person, on))
    }
    owners = [person_cents[person.id] for person in costs.people if person.role == OWNER and person.id in person_cents]
    owner_cents = owners[0] if owners else 0
    overhead = firm_ladder(costs, on)
    mile = in_force(costs.mile_costs, on)
    return DayRates(
        on=on,
        owner_cents=owner_cents,
        helper_cents=max(_helper_cents(costs, person_cents, on), default=owner_cents),
        overhead_cents=overhead.total_cents if overhead else 0,
        mile_cost=mile.unit_cost if mile else Decimal(0),
        person_cents=person_cents,
    )


def _helper_cents(costs: CompanyCosts, person_cents: dict[int, int], on: date) -> Sequence[int]:
    helpers = [person for person in costs.people if person.role == HELPER and person.id in person_cents]
    started = [person for person in helpers if costs.costs_of(person.id)[0].starts_on <= on]
    here = [person for person in started if not person.archived] or started or helpers
    return [person_cents[person.id] for person in here]
