"""The firm's settings, people and dated costs: each day has its own rates, and the ladders add up to them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from db.commands import firm as commands
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.firm import company_costs, day_rates, firm, people
from domain.company_costs.rates import firm_ladder, person_ladder
from tests.small_company import empty_company, statements

START, LATER, TODAY = date(2024, 3, 4), date(2025, 7, 1), date(2026, 5, 14)


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def do(company: Company, command: Callable[..., Any], *args: Any, **named: Any) -> Any:
    with company.action(command.__name__) as edit:
        return command(edit, *args, **named)


def ask(company: Company, query: Callable[..., Any], *args: Any) -> Any:
    with company.read() as conn:
        return query(conn, *args)


def helper_from(company: Company, day: date, wage_cents: int = 2200, name: str = "Bo Lind") -> int:
    person_id: int = do(company, commands.add_person, name)
    do(
        company, commands.add_person_cost, person_id, day, wage_cents=wage_cents, paid_hours=1000, billable_hours=800,
        workers_comp_percent=Decimal(8), state_unemployment_percent=Decimal("2.7"),
        state_unemployment_base_cents=1_200_000,
    )  # fmt: skip
    return person_id


def test_settings_are_changed_and_impossible_ones_refused(company: Company) -> None:
    tax = {"tax_treatment": "lump_sum", "tax_percent": Decimal("6.25")}
    do(company, commands.change_firm, name=" Łukasz & Søn <Ltd> ", **tax)
    assert (ask(company, firm).name, ask(company, firm).tax_percent) == ("Łukasz & Søn <Ltd>", Decimal("6.25"))
    before = ask(company, firm)
    for values in (
        {"name": " "}, {"margin_percent": Decimal(100)}, {"tax_treatment": "guess"}, {"unit_system": "ell"},
        {"rounding_cents": 0}, {"deposit_percent": Decimal(120)}, {"minimum_charge_cents": -1}, {"valid_days": 0},
    ):  # fmt: skip
        with pytest.raises(Refused):
            do(company, commands.change_firm, **values)
    assert ask(company, firm) == before
    with pytest.raises(TypeError):
        do(company, commands.change_firm, pinned_today=TODAY)


def test_a_day_has_the_rate_of_its_day(company: Company) -> None:
    old = ask(company, day_rates, LATER - timedelta(days=1))
    do(company, commands.add_person_cost, 1, LATER, wage_cents=4000)
    assert ask(company, day_rates, LATER - timedelta(days=1)) == old
    new = ask(company, day_rates, LATER)
    assert new.owner_cents > old.owner_cents
    assert new.person_cents[1] == new.owner_cents
    assert [ask(company, day_rates, day).mile_cost for day in (START, date(2025, 1, 1), TODAY)] == [
        Decimal("0.67"), Decimal("0.70"), Decimal("0.725"),
    ]  # fmt: skip


def test_a_new_cost_takes_what_is_not_said_from_the_one_before(company: Company) -> None:
    do(company, commands.add_person_cost, 1, LATER, wage_cents=4000)
    first, second = ask(company, company_costs).costs_of(1)
    assert second.wage_cents == 4000
    assert (second.paid_hours, second.billable_hours) == (first.paid_hours, first.billable_hours)
    with pytest.raises(Refused, match="already"):
        do(company, commands.add_person_cost, 1, LATER, wage_cents=4100)


def test_before_the_first_cost_the_first_counts(company: Company) -> None:
    first = ask(company, day_rates, START)
    early = ask(company, day_rates, START - timedelta(days=20))
    assert (early.owner_cents, early.overhead_cents) == (first.owner_cents, first.overhead_cents)
    assert ask(company, day_rates, date(2009, 5, 5)).owner_cents > 0


def test_the_helpers_rate_is_the_dearest_at_work_that_day(company: Company) -> None:
    assert ask(company, day_rates, TODAY).helper_cents == ask(company, day_rates, TODAY).owner_cents
    first = helper_from(company, START)
    second = helper_from(company, LATER, 2900, "Mo Vale")
    rates = ask(company, day_rates, TODAY)
    assert rates.helper_cents == rates.person_cents[second] > rates.person_cents[first]
    assert ask(company, day_rates, START).helper_cents == ask(company, day_rates, START).person_cents[first]
    do(company, commands.archive_person, second)
    assert ask(company, day_rates, TODAY).helper_cents == ask(company, day_rates, TODAY).person_cents[first]
    assert [one.id for one in ask(company, people)] == [1, first]


def test_the_ladders_add_up_to_the_rates(company: Company) -> None:
    helper_from(company, START)
    costs, rates = ask(company, company_costs), ask(company, day_rates, TODAY)
    for person in costs.people:
        ladder = person_ladder(costs, person, TODAY)
        assert ladder is not None
        assert ladder.adds_up
        assert ladder.total_cents == rates.person_cents[person.id]
    overhead = firm_ladder(costs, TODAY)
    assert overhead is not None
    assert overhead.adds_up
    assert overhead.total_cents == rates.overhead_cents == 1149  # 1,195.00 a month over 104 h


def test_an_overhead_cost_ends_and_earlier_days_keep_it(company: Company) -> None:
    new = do(company, commands.add_overhead_item, "Second van", 52_000, LATER)
    assert ask(company, day_rates, TODAY).overhead_cents == 1649
    do(company, commands.end_overhead_item, new, date(2026, 3, 31))
    assert [ask(company, day_rates, day).overhead_cents for day in (START, LATER, TODAY)] == [1149, 1649, 1149]
    with pytest.raises(Refused, match="before it begins"):
        do(company, commands.end_overhead_item, new, START)


def test_the_same_day_again_corrects_and_the_only_one_stays(company: Company) -> None:
    do(company, commands.set_overhead_basis, START, 120 * 60)
    do(company, commands.set_mile_cost, date(2026, 1, 1), Decimal("0.80"))
    costs = ask(company, company_costs)
    assert [basis.billable_minutes_per_month for basis in costs.overhead_bases] == [7200]
    assert costs.mile_costs[-1].unit_cost == Decimal("0.80")
    with pytest.raises(Refused, match="only one"):
        do(company, commands.remove_overhead_basis, costs.overhead_bases[0].id)
    with pytest.raises(Refused, match="there must be some"):
        do(company, commands.set_overhead_basis, LATER, 0)
    with pytest.raises(Refused, match="only cost known"):
        do(company, commands.remove_person_cost, costs.person_costs[0].id)


@pytest.mark.parametrize("values", [{"billable_hours": 0}, {"billable_hours": 9000}, {"wage_cents": -1}])
def test_hours_and_wages_that_cannot_be_are_refused(company: Company, values: dict[str, int]) -> None:
    before = ask(company, company_costs)
    with pytest.raises(Refused):
        do(company, commands.change_person_cost, before.person_costs[0].id, **values)
    assert ask(company, company_costs) == before


def test_the_owner_stays_and_there_is_one(company: Company) -> None:
    for command in (commands.archive_person, commands.delete_person):
        with pytest.raises(Refused, match="owner stays"):
            do(company, command, 1)
    with pytest.raises(Refused, match="has an owner"):
        do(company, commands.add_person, "Zed", "owner")


def test_a_helper_without_hours_goes_whole(company: Company) -> None:
    before = ask(company, company_costs)
    helper = helper_from(company, START)
    do(company, commands.delete_person, helper)
    assert ask(company, company_costs) == before


def test_the_rates_take_six_statements(company: Company) -> None:
    assert statements(company, lambda conn: day_rates(conn, TODAY)) == 6
