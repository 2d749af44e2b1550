"""Own values of standards as they are kept: typed, put right, ended, taken away, undone, and heeded by every query."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from datetime import date, timedelta
from decimal import Decimal

import pytest

from db.commands import takeoff
from db.commands.quotes import set_printing
from db.commands.standards import (
    change_own_standard,
    go_back_to_table,
    remove_own_standard,
    set_own_standard,
)
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.firm import company_costs, day_rates
from db.queries.proposals import proposal_facts
from db.queries.standards import own_standards, own_values, standards_listed
from db.queries.takeoff import takeoff_facts
from db.tables import own_standard
from domain.company_costs.rates import rates_on
from domain.job_takeoff.reckoning import reckon, route_sheet, rules_of
from domain.standards import standard_on
from domain.standards.own import OwnValue
from domain.takeoff import CrawlFloor
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.small_company import empty_company, statements

ROUTE = "A: pit at -6', basement 3in up 6', 90, along 24', 90, outside up 3', fan, up 14', out"


@pytest.fixture
def company() -> Company:
    return empty_company()


@pytest.fixture
def shop() -> QuoteCompany:
    return make_quote_company()


def keep(company: Company, key: str, value: str, day: date = TODAY, source: str = "county", note: str = "") -> int:
    with company.action("Own value") as edit:
        return set_own_standard(edit, key, day, Decimal(value), source, note)


def counts(company: Company, key: str, day: date) -> Decimal:
    with company.read() as conn:
        return standard_on(key, day, own_standards(conn)).value


def test_record_and_table_have_the_same_fields() -> None:
    assert [field.name for field in fields(OwnValue)] == [column.name for column in own_standard.c]


def test_an_own_value_is_kept_with_who_asks_it(company: Company) -> None:
    keep(company, "label_every_ft", "10.50", source="  county \n inspector", note="final inspection")
    with company.read() as conn:
        (row,) = own_standards(conn)
        listed = {one.key: one for one in standards_listed(conn, TODAY)}["label_every_ft"]
    assert (row.value, row.source, row.section) == (Decimal("10.5"), "county inspector", "final inspection")
    assert row.is_own
    assert "county inspector, final inspection (the owner's own)" in row.note
    assert (listed.now.value, listed.built_in.value) == (Decimal("10.5"), 20)
    company.undo()
    assert counts(company, "label_every_ft", TODAY) == 20
    company.redo()
    assert counts(company, "label_every_ft", TODAY) == Decimal("10.5")


def test_one_of_the_same_day_is_put_right(company: Company) -> None:
    first = keep(company, "label_every_ft", "10")
    assert keep(company, "label_every_ft", "12") == first
    with company.read() as conn:
        assert [one.value for one in own_values(conn)] == ["12"]


def test_a_later_value_takes_over_on_its_day(company: Company) -> None:
    keep(company, "label_every_ft", "10")
    later = TODAY + timedelta(30)
    keep(company, "label_every_ft", "15", later)
    assert counts(company, "label_every_ft", later - timedelta(1)) == 10
    assert counts(company, "label_every_ft", later) == 15


def test_going_back_ends_every_value_that_runs(company: Company) -> None:
    keep(company, "label_every_ft", "10", TODAY - timedelta(60))
    newest = keep(company, "label_every_ft", "15", TODAY - timedelta(30))
    with company.action("Back") as edit:
        go_back_to_table(edit, "label_every_ft", TODAY)
    assert counts(company, "label_every_ft", TODAY) == 20
    assert counts(company, "label_every_ft", TODAY - timedelta(1)) == 15
    with company.action("Put right") as edit:
        change_own_standard(edit, newest, Decimal(16), "county", "")
    assert counts(company, "label_every_ft", TODAY) == 20  # its end stays
    with company.action("Back") as edit, pytest.raises(Refused, match="table's does already"):
        go_back_to_table(edit, "label_every_ft", TODAY)
    company.undo()
    company.undo()
    assert counts(company, "label_every_ft", TODAY) == 15


def test_going_back_on_its_first_day_leaves_nothing(company: Company) -> None:
    keep(company, "label_every_ft", "10")
    with company.action("Back") as edit:
        go_back_to_table(edit, "label_every_ft", TODAY)
    with company.read() as conn:
        assert own_values(conn) == []


def test_one_that_was_a_mistake_is_taken_away(company: Company) -> None:
    own_id = keep(company, "label_every_ft", "10", TODAY - timedelta(60))
    with company.action("Remove") as edit:
        remove_own_standard(edit, own_id)
    assert counts(company, "label_every_ft", TODAY - timedelta(30)) == 20
    with company.action("Remove") as edit, pytest.raises(LookupError):
        remove_own_standard(edit, own_id)


WRONG: list[tuple[Callable[[Edit], object], str]] = [
    (lambda edit: set_own_standard(edit, "label_every_ft", TODAY, Decimal(10), "  "), "Say who asks it"),
    (lambda edit: set_own_standard(edit, "label_every_ft", TODAY, Decimal(0), "county"), "Zero"),
    (lambda edit: set_own_standard(edit, "label_every_ft", TODAY, Decimal("NaN"), "county"), "Less than nothing"),
    (lambda edit: set_own_standard(edit, "label_every_ft", TODAY, Decimal(4000), "county"), "far from the 20 ft"),
    (lambda edit: set_own_standard(edit, "quarts_per_gallon", TODAY, Decimal(5), "county"), "definition"),
    (lambda edit: set_own_standard(edit, "label_every_ft", TODAY, Decimal(10), "c" * 500), "letters"),
    (lambda edit: set_own_standard(edit, "noise_fpm", TODAY, Decimal(2500), "county"), "Change that one first"),
]


@pytest.mark.parametrize(("work", "words"), WRONG)
def test_what_cannot_be_is_refused_in_words(company: Company, work: Callable[[Edit], object], words: str) -> None:
    with pytest.raises(Refused, match=words), company.action("Own value") as edit:
        work(edit)
    with company.read() as conn:
        assert own_values(conn) == []


def test_the_list_takes_three_statements_however_many_there_are(company: Company) -> None:
    few = statements(company, lambda conn: standards_listed(conn, TODAY))
    for days in range(20):
        keep(company, "label_every_ft", "10", TODAY - timedelta(days))
    assert statements(company, lambda conn: standards_listed(conn, TODAY)) == few == 3


def test_a_rule_that_is_not_chosen_says_so(company: Company) -> None:
    def aside() -> set[str]:
        with company.read() as conn:
            return {row.key for row in standards_listed(conn, TODAY) if row.set_aside}

    newer = {"support_horizontal_older_ft", "support_vertical_older_ft", "discharge_above_opening_newer_ft"}
    assert aside() == newer
    with company.action("Choose") as edit:
        takeoff.set_choice(edit, "supports", "older")
        takeoff.set_choice(edit, "openings", "newer")
    assert aside() == {"support_horizontal_ft", "support_vertical_ft", "discharge_above_opening_ft"}


# ---------------------------------------------------------------------- who looks it up


def quantity(shop: QuoteCompany, key: str, day: date = TODAY) -> Decimal:
    with shop.company.read() as conn:
        kept = takeoff_facts(conn, shop.job_id, day)
    rules = rules_of(kept)
    line = reckon(kept, [route_sheet(row, rules) for row in kept.routes], rules).takeoff.line(key)
    return line.quantity if line else Decimal(0)


def with_route(shop: QuoteCompany) -> None:
    with shop.company.action("Route") as edit:
        takeoff.add_route(edit, shop.job_id, "proposed", "", ROUTE)


def test_a_jobs_list_counts_by_it_on_its_day(shop: QuoteCompany) -> None:
    with_route(shop)
    before = quantity(shop, "support_hanger:3")
    keep(shop.company, "support_horizontal_ft", "2", TODAY + timedelta(1))
    assert quantity(shop, "support_hanger:3") == before
    assert quantity(shop, "support_hanger:3", TODAY + timedelta(1)) > before


def test_a_part_is_checked_by_it(shop: QuoteCompany) -> None:
    floor = CrawlFloor("crawl", Decimal(30), Decimal(20), roll_width_ft=Decimal(4))
    keep(shop.company, "membrane_overlap_in", "48")
    with pytest.raises(Refused, match="wider than the lap"), shop.company.action("Floor") as edit:
        takeoff.add_part(edit, shop.job_id, floor)


def test_the_hour_costs_by_it_from_its_day(company: Company) -> None:
    before = day_rates_of(company, TODAY)
    keep(company, "self_employment_medicare", "5")
    assert day_rates_of(company, TODAY) > before
    assert day_rates_of(company, TODAY - timedelta(1)) == before
    with company.read() as conn:
        costs = company_costs(conn)
    assert rates_on(costs, TODAY).owner_cents == day_rates_of(company, TODAY)


def day_rates_of(company: Company, day: date) -> int:
    with company.read() as conn:
        return day_rates(conn, day).owner_cents


def test_the_proposal_names_the_level_asked_for(shop: QuoteCompany) -> None:
    quote_id = shop.start()
    with shop.company.read() as conn:
        before = proposal_facts(conn, quote_id).action_level
    keep(shop.company, "action_level", "2.7", TODAY)
    with shop.company.read() as conn:
        assert (before, proposal_facts(conn, quote_id).action_level) == (4, Decimal("2.7"))


def test_the_sketch_of_a_proposal_is_judged_by_it(shop: QuoteCompany) -> None:
    with_route(shop)
    quote_id = shop.start()
    shop.do(set_printing, quote_id, shows_route=True)
    with shop.company.read() as conn:
        before = proposal_facts(conn, quote_id).sketch
    keep(shop.company, "slope_in_per_ft", "0.5")
    with shop.company.read() as conn:
        assert proposal_facts(conn, quote_id).sketch != before
