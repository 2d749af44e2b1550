"""The takeoff of a job as it is kept, and what it does to the quote."""

from __future__ import annotations

from decimal import Decimal

import pytest

from db import tables
from db.commands import quotes, takeoff
from db.company_file.problems import Refused
from db.queries.proposals import proposal_facts
from db.queries.sold_fans import sold_fans
from db.queries.takeoff import takeoff_facts
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts, reckon, route_sheet, rules_of
from domain.quoting.lines import LabourLine, MaterialLine
from domain.takeoff import Circuit, CrawlFloor, PaintWish, SealJoint, SuctionPit
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

FOUND = """A: pit at -6', crawl 3in up 2', 90, along 12' level, 90, along 9' level, 90, up 3', 90, along 4', fan,
   up 12', out"""
PROPOSED = """A: pit at -6', crawl 3in up 2', 45, pitched 20' rise 1/4, 45, sleeve, outside up 3', flex to 4in, fan,
   flex, up 14', out"""


@pytest.fixture
def shop() -> QuoteCompany:
    return make_quote_company()


def facts(shop: QuoteCompany) -> TakeoffFacts:
    with shop.company.read() as conn:
        return takeoff_facts(conn, shop.job_id, TODAY)


def counted(shop: QuoteCompany) -> JobTakeoff:
    kept = facts(shop)
    rules = rules_of(kept)
    return reckon(kept, [route_sheet(row, rules) for row in kept.routes], rules)


def take(shop: QuoteCompany) -> takeoff.Taken:
    taken: takeoff.Taken = shop.do(takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm)
    return taken


def made(shop: QuoteCompany, quote_id: int) -> dict[str, MaterialLine | LabourLine]:
    document = shop.document(quote_id)
    return {line.takeoff_key: line for line in (*document.labour, *document.materials) if line.takeoff_key}


def task_id(shop: QuoteCompany, name: str) -> int:
    return shop.id_of(tables.labour_task, name)


def item_id(shop: QuoteCompany, code: str) -> int:
    return shop.first_id(tables.item, tables.item.c.code == code)


def test_the_first_proposed_route_is_built_and_the_next_is_not(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    first = shop.do(takeoff.add_route, shop.job_id, "proposed", "north", PROPOSED)
    second = shop.do(takeoff.copy_route, first)
    built = {row.id: row.built for row in facts(shop).routes}
    assert built[first]
    assert not built[second]
    assert [row.status for row in facts(shop).routes] == ["found", "proposed", "proposed"]


def test_a_head_line_says_status_and_name(shop: QuoteCompany) -> None:
    route_id = shop.do(takeoff.add_route, shop.job_id, "proposed", "", "")
    shop.do(takeoff.change_route, route_id, words=f"found: old pipe\n{FOUND}")
    (row,) = facts(shop).routes
    assert (row.status, row.name) == ("found", "old pipe")
    copy = shop.do(takeoff.copy_route, route_id)
    assert facts(shop).route(copy).words == FOUND  # type: ignore[union-attr]


def test_whatever_is_typed_is_kept(shop: QuoteCompany) -> None:
    words = "A: pit, up 6', ninety, along 999999'"
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", words)
    assert facts(shop).routes[0].words == words
    assert len(counted(shop).in_the_way) >= 2
    with pytest.raises(Refused, match="ninety"):
        take(shop)


def test_taking_the_list_begins_a_quote_and_again_changes_only_its_own_lines(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    route_id = shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    taken = take(shop)
    assert taken.begun
    assert taken.doubles == ()
    lines = made(shop, taken.quote_id)
    pipe = lines["pipe:3"]
    assert isinstance(pipe, MaterialLine)
    assert pipe.description == "Pipe, 3 in, Schedule 40"
    assert pipe.waste_percent == 0
    assert pipe.quantity == pipe.net_quantity == Decimal("24.865")  # 30 opened, 5.135 ft left for the next job
    assert pipe.needed == 30
    assert "sticks of 10 ft" in pipe.reason
    work = {line.task_id: line for line in lines.values() if isinstance(line, LabourLine)}
    assert task_id(shop, "Remove old pipe") in work
    typed = shop.do(quotes.add_material, taken.quote_id, pipe.item_id, Decimal(7))
    shop.do(quotes.change_labour, lines[f"work:{task_id(shop, 'Set the fan')}"].id, override_minutes=99)
    shop.do(takeoff.change_route, route_id, words=PROPOSED.replace("up 14'", "up 24'"))
    again = take(shop)
    assert not again.begun
    assert again.changed > 0
    after = made(shop, taken.quote_id)
    assert after["pipe:4"].quantity == lines["pipe:4"].quantity + 10
    assert after[f"work:{task_id(shop, 'Set the fan')}"].minutes == 99  # type: ignore[union-attr]
    kept = {line.id: line for line in shop.document(taken.quote_id).materials}
    assert kept[typed].net_quantity == 7
    assert [one.line_id for one in again.doubles if one.of == "item"] == [typed]
    assert take(shop) == takeoff.Taken(taken.quote_id, False, 0, 0, 0, again.doubles)


def test_what_the_takeoff_no_longer_has_leaves_the_quote(shop: QuoteCompany) -> None:
    words = PROPOSED.replace("pit", "pit kept", 1)
    route_id = shop.do(takeoff.add_route, shop.job_id, "proposed", "", words)
    pit = shop.do(takeoff.add_part, shop.job_id, SuctionPit("north corner", Decimal(14), Decimal(12)))
    taken = take(shop)
    digging = f"work:{task_id(shop, 'Core and dig the suction pit')}"
    assert digging in made(shop, taken.quote_id)
    shop.do(takeoff.remove_part, pit)
    assert take(shop).removed == 2, "the digging, and the bag that closes the pit"
    assert digging not in made(shop, taken.quote_id)
    shop.do(takeoff.change_route, route_id, built=False)
    with pytest.raises(Refused, match="nothing on the list"):
        take(shop)


def test_a_sent_quote_is_never_touched(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    first = take(shop).quote_id
    shop.do(quotes.send_quote, first, TODAY)
    before = shop.document(first)
    second = take(shop)
    assert second.begun
    assert shop.document(first) == before
    shop.do(quotes.delete_draft, second.quote_id)
    shop.do(quotes.accept_quote, first, TODAY)
    with pytest.raises(Refused, match="change order"):
        take(shop)


def test_the_paper_of_a_sent_proposal_keeps_its_sketch(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    route_id = shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    fan = shop.do(takeoff.add_fan_curve, "Own fan", ((Decimal(0), Decimal("1.9")), (Decimal(150), Decimal(0))))
    shop.do(takeoff.set_air_plan, shop.job_id, fan_curve_id=fan)
    quote_id = take(shop).quote_id
    with shop.company.read() as conn:
        sold = sold_fans(conn, [quote_id])
    shop.do(takeoff.change_fan_curve, fan, item_id=min(sold))
    shop.do(quotes.send_quote, quote_id, TODAY)
    with shop.company.read() as conn:
        before = proposal_facts(conn, quote_id).sketch
    assert before is not None
    assert before.air is not None
    assert before.air.comparison is not None
    shop.do(takeoff.change_route, route_id, words="A: pit, up 3'")
    shop.do(takeoff.set_air_plan, shop.job_id, fan_curve_id=None)
    with shop.company.read() as conn:
        assert proposal_facts(conn, quote_id).sketch == before


def test_an_override_counts_and_keeps_the_computed_beside_it(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    shop.do(takeoff.set_override, shop.job_id, "cement", Decimal(3))
    quote_id = take(shop).quote_id
    line = made(shop, quote_id)["cement"]
    assert line.quantity == 3
    assert "typed instead of 1" in line.reason
    shop.do(takeoff.set_override, shop.job_id, "cement", None)
    assert take(shop).changed == 1
    with pytest.raises(Refused):
        shop.do(takeoff.set_override, shop.job_id, "cement", Decimal(-1))


def test_an_item_chosen_for_a_line_is_remembered_for_the_next_job(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    other = item_id(shop, "BOX-4S")
    shop.do(takeoff.choose_item, "label:pipe", other)
    lines = {one.line.key: one for one in counted(shop).bought}
    assert lines["label:pipe"].item.item.code == "BOX-4S"  # type: ignore[union-attr]
    assert lines["label:pipe"].how == "chosen"
    shop.do(takeoff.choose_item, "label:pipe", None)
    assert {one.line.key: one.how for one in counted(shop).bought}["label:pipe"] == "none"
    shop.do(takeoff.choose_item, "label:pipe", "unchosen")
    assert {one.line.key: one.how for one in counted(shop).bought}["label:pipe"] == "usual"


def test_a_part_that_cannot_be_counted_is_refused_in_its_own_words(shop: QuoteCompany) -> None:
    for value, word in (
        (Circuit("fan", (Decimal(0),)), "no length of conduit"),
        (CrawlFloor("crawl", Decimal(0), Decimal(10)), "length and width"),
        (SealJoint("slab edge", Decimal(0)), "how many feet"),
        (SuctionPit("pit", Decimal(0), Decimal(10)), "how wide"),
    ):
        with pytest.raises(Refused, match=word):
            shop.do(takeoff.add_part, shop.job_id, value)
    shop.do(takeoff.add_part, shop.job_id, PaintWish())
    with pytest.raises(Refused, match="already"):
        shop.do(takeoff.add_part, shop.job_id, PaintWish())


def test_a_fan_curve_that_rises_is_refused(shop: QuoteCompany) -> None:
    points = ((Decimal(0), Decimal(1)), (Decimal(50), Decimal(2)))
    with pytest.raises(Refused, match="rises from 1 to 2"):
        shop.do(takeoff.add_fan_curve, "Odd", points)


def test_readings_that_contradict_each_other_are_refused(shop: QuoteCompany) -> None:
    shop.do(takeoff.add_reading, shop.job_id, "flow", Decimal(40), TODAY, at_suction=Decimal(150))
    shop.do(takeoff.add_reading, shop.job_id, "suction", Decimal(6), TODAY, place="far corner")
    with pytest.raises(Refused, match="more than the"):
        shop.do(takeoff.add_reading, shop.job_id, "suction", Decimal(400), TODAY, place="near the fan")
    assert len(facts(shop).readings) == 2
