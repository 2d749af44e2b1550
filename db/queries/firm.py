"""The firm's settings, its people, and what an hour, a month and a mile cost it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from db.records import fetch_all, fetch_one
from db.tables import company, mile_cost, overhead_basis, overhead_item, person, person_cost
from domain.firm import DayRates, Firm, MileCost, OverheadBasis, OverheadEntry, Person, PersonCost

if TYPE_CHECKING:
    from domain.company_costs.rates import CompanyCosts

__all__ = ["company_costs", "day_rates", "firm", "people"]


def firm(conn: Connection) -> Firm:
    """The firm's own row."""
    return fetch_one(conn, Firm, company, 1)


def people(conn: Connection, archived: bool = False) -> list[Person]:
    """Who works here, the owner first; with `archived` also those who have left."""
    where = () if archived else (person.c.archived.is_(False),)
    return fetch_all(conn, Person, person, *where, order=(person.c.role.desc(), person.c.id))


def company_costs(conn: Connection) -> CompanyCosts:
    """All dated costs, in six statements; `domain.company_costs.rates` answers for any day from them."""
    from db.queries.standards import own_standards
    from domain.company_costs.rates import CompanyCosts  # here, as the first page needs the firm's name alone

    return CompanyCosts(
        people=tuple(people(conn, archived=True)),
        person_costs=tuple(
            fetch_all(conn, PersonCost, person_cost, order=(person_cost.c.starts_on, person_cost.c.id))
        ),
        overhead=tuple(
            fetch_all(conn, OverheadEntry, overhead_item, order=(overhead_item.c.starts_on, overhead_item.c.id))
        ),
        overhead_bases=tuple(fetch_all(conn, OverheadBasis, overhead_basis, order=(overhead_basis.c.starts_on,))),
        mile_costs=tuple(fetch_all(conn, MileCost, mile_cost, order=(mile_cost.c.starts_on,))),
        own=own_standards(conn),
    )


def day_rates(conn: Connection, on: date) -> DayRates:
    """What an hour and a mile cost the firm on one day. For many days ask `company_costs` once."""
    from domain.company_costs.rates import rates_on

    return rates_on(company_costs(conn), on)
