"""Leftover pipe: kept on the truck after a cut list, used first by the next one, typed and thrown away."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from db import tables
from db.commands import jobs, offcuts, takeoff
from db.company_file.problems import Refused
from db.queries.buying.offcuts import offcuts_on_truck
from db.queries.takeoff import takeoff_facts
from domain.job_takeoff.offcuts import left_over
from domain.job_takeoff.reckoning import JobTakeoff, reckon, route_sheet, rules_of
from domain.takeoff import takeoff_rules
from domain.takeoff.pieces import Piece
from domain.takeoff.pipe import cut_pipe
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

THREE, FOUR = Decimal(3), Decimal(4)
SHORT = "A: pit at -6', crawl 3in along 6', 90, along 4', out"
RULES = takeoff_rules(TODAY)


@pytest.fixture
def shop() -> QuoteCompany:
    return make_quote_company()


def another_job(shop: QuoteCompany) -> int:
    ids = [shop.first_id(table) for table in (tables.customer, tables.property_, tables.job_type)]
    job_id: int = shop.do(jobs.open_job, *ids, None, "", TODAY)
    return job_id


def counted(shop: QuoteCompany, job_id: int) -> JobTakeoff:
    with shop.company.read() as conn:
        facts = takeoff_facts(conn, job_id, TODAY)
    rules = rules_of(facts)
    return reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules)


def sticks(shop: QuoteCompany, job_id: int) -> int:
    takeoff = counted(shop, job_id).takeoff
    assert takeoff is not None
    return sum(cut.plan.new_sticks for cut in takeoff.cuts)


def on_truck(shop: QuoteCompany) -> list[tuple[Decimal, Decimal]]:
    with shop.company.read() as conn:
        return [(row.offcut.size, row.offcut.feet) for row in offcuts_on_truck(conn)]


def test_a_leftover_of_one_job_is_used_by_the_next_and_lies_on_the_truck_no_more(shop: QuoteCompany) -> None:
    other = another_job(shop)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", "A: pit at -6', crawl 3in along 4', out")
    shop.do(takeoff.add_route, other, "proposed", "", "A: pit at -6', crawl 3in along 5', out")
    assert sticks(shop, other) == 1
    kept = shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)
    assert (kept.kept, kept.used) == (1, 0)
    ((size, feet),) = on_truck(shop)
    assert size == THREE
    assert Decimal("5.9") < feet <= 6
    assert sticks(shop, shop.job_id) == 1, "its own leftover does not change its list"
    assert sticks(shop, other) == 0
    again = shop.do(offcuts.keep_offcuts, other, TODAY)
    assert (again.kept, again.used) == (0, 1)
    assert on_truck(shop) == []
    assert sticks(shop, other) == 0, "what it used stays on its list"
    shop.company.undo()
    assert len(on_truck(shop)) == 1


def test_keeping_twice_changes_nothing_and_a_changed_list_is_brought_in_step(shop: QuoteCompany) -> None:
    route = shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    shop.do(offcuts.add_offcut, THREE, Decimal("7.5"), TODAY)
    shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)
    first = on_truck(shop)
    shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)
    assert on_truck(shop) == first
    shop.do(takeoff.change_route, route, words=SHORT.replace("6'", "1'").replace("along 4'", "along 1'"))
    shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)
    assert on_truck(shop) != first


def test_the_owner_says_what_is_worth_keeping(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", "A: pit at -6', crawl 3in along 7', out")
    assert shop.do(offcuts.keep_offcuts, shop.job_id, TODAY).kept == 1
    shop.do(takeoff.set_choice, "shortest_offcut", "4")
    assert shop.do(offcuts.keep_offcuts, shop.job_id, TODAY).kept == 0
    assert on_truck(shop) == []
    for bad in ("0", "21", "long"):
        with pytest.raises(Refused, match="between"):
            shop.do(takeoff.set_choice, "shortest_offcut", bad)


def test_nothing_is_kept_where_nothing_is_cut_or_a_word_is_not_understood(shop: QuoteCompany) -> None:
    with pytest.raises(Refused, match="No pipe is cut"):
        shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", "A: pit at -6', crawl 3in alng 7', out")
    with pytest.raises(Refused, match="Put this right first"):
        shop.do(offcuts.keep_offcuts, shop.job_id, TODAY)


def test_pieces_are_typed_corrected_and_thrown_away(shop: QuoteCompany) -> None:
    piece = shop.do(offcuts.add_offcut, FOUR, Decimal(6), TODAY)
    shop.do(offcuts.change_offcut, piece, Decimal("5.5"))
    assert on_truck(shop) == [(FOUR, Decimal("5.5"))]
    with pytest.raises(Refused, match="20 ft"):
        shop.do(offcuts.change_offcut, piece, Decimal(30))
    with pytest.raises(Refused, match="pipe size"):
        shop.do(offcuts.add_offcut, Decimal(5), Decimal(3), TODAY)
    shop.do(offcuts.remove_offcut, piece)
    assert on_truck(shop) == []


@given(st.lists(st.integers(20, 1900), min_size=1, max_size=12), st.integers(0, 8))
def test_what_is_kept_was_never_sawn(lengths: list[int], shortest: int) -> None:
    cuts = cut_pipe([Piece(THREE, length, Decimal(1), "A") for length in lengths], RULES, {}, 500)
    kept = left_over(cuts, Decimal(shortest))
    bought = sum(cut.plan.new_sticks * cut.stick_ft for cut in cuts)
    assert all(feet >= shortest for _, feet in kept)
    assert sum(feet for _, feet in kept) + Decimal(sum(lengths)) / 192 <= bought
