"""Usual lines and counted lines become one quote: for any route and any job type nothing twice, nothing lost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from db import tables
from db.commands import library, quotes, takeoff
from db.company_file.problems import Refused
from db.queries.takeoff import reconciliation, takeoff_facts
from domain.job_takeoff.answers import BOTH, INSTEAD, KEPT, LEFT, OFF
from domain.job_takeoff.parts import write_part
from domain.job_takeoff.reckoning import JobTakeoff, RouteSheet, TakeoffFacts, reckon, rules_of
from domain.job_takeoff.reconciliation import Reconciliation
from domain.job_takeoff.reconciling import reconcile
from domain.job_takeoff.reconciling_words import answers_given, caution_words
from domain.job_takeoff.records import PartRow, RouteRow
from domain.job_takeoff.standing import counted_lines, usual_lines
from domain.job_takeoff.stands_for import ALONE, SLOPE, UNSAID, settled_by
from domain.money import labour_cents, line_cents
from domain.routes import Route, read_route, study_route
from domain.takeoff import Circuit, CrawlFloor, PaintWish, SealJoint, SuctionPit
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.domain.route_examples import routes

FOUND = "A: pit at -3', crawl 3in up 1', 90, along 11' level, 90, along 7' level near, 90, fan, along 2', sleeve, out"
REWORK = (
    "A: pit at -3', crawl 3in up 1', 45, along 18' rise 1/4, 45, along 3', sleeve, outside 90, up 4', flex to 4in, "
    "fan, flex, up 12', out"
)
NEW = (
    "A: pit at -7', basement 3in up 6', 90, pitched 18' rise 1/4, 90, sleeve, outside up 3', flex to 4in, fan, flex, "
    "up 14', out"
)
JOB_TYPES = (
    "New system", "Rework of an existing system", "Crawl-space membrane", "Fan replacement", "Passive activation",
    "Sump or drain-tile system", "Small multi-family", "Service call",
)  # fmt: skip
RATE = 6_600
some_parts = st.lists(
    st.sampled_from(
        (
            Circuit("fan", (Decimal(12), Decimal(9))), Circuit("fan", (Decimal(7),), kind="pvc"),
            SealJoint("slab edge", Decimal(40)), SealJoint("slab edge", Decimal(24), backer=True),
            SuctionPit("pit", Decimal(14), Decimal(12)), CrawlFloor("crawl", Decimal(32), Decimal(22), piers=4),
            PaintWish(("outside",), 2, "can"),
        )
    ),
    max_size=4, unique_by=type,
)  # fmt: skip


def of_type(name: str) -> QuoteCompany:
    shop = make_quote_company()
    with shop.company.action("another kind of job") as edit:
        type_id = edit.conn.execute(select(tables.job_type.c.id).where(tables.job_type.c.name == name)).scalar_one()
        edit.change(tables.job, shop.job_id, job_type_id=type_id)
    return shop


@cache
def facts_of(name: str) -> TakeoffFacts:
    shop = of_type(name)
    with shop.company.read() as conn:
        return takeoff_facts(conn, shop.job_id, TODAY)


def rows_of(shop: QuoteCompany) -> Reconciliation:
    with shop.company.read() as conn:
        return reconciliation(conn, shop.job_id, TODAY, shop.rates().owner_cents)


def take(shop: QuoteCompany, **how: object) -> takeoff.Taken:
    taken: takeoff.Taken = shop.do(takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm, **how)
    return taken


def totals(shop: QuoteCompany, quote_id: int) -> tuple[int, int]:
    document = shop.document(quote_id)
    base = [line for line in document.labour if line.option_id is None]
    cents = sum(labour_cents(line.minutes, line.rate_cents) for line in base)
    goods = [line for line in document.materials if line.option_id is None]
    return sum(line.minutes for line in base), cents + sum(line_cents(one.quantity, one.unit_cost) for one in goods)


def content(shop: QuoteCompany, quote_id: int) -> list[object]:
    document = shop.document(quote_id)
    return [replace(line, id=0, position=0) for line in (*document.labour, *document.materials)]


def sheet(route: Route, status: str) -> RouteSheet:
    route = replace(route, status=status)
    row = RouteRow(1 if status == "found" else 2, 1, 1, status, "", "", status == "proposed")
    rules = rules_of(facts_of(JOB_TYPES[0])).route
    return RouteSheet(row, replace(read_route(""), route=route), study_route(route, rules))


def check(made: Reconciliation, counted: JobTakeoff, facts: TakeoffFacts) -> None:
    """What holds for any reconciliation of a new quote nobody has answered."""
    taken = [row.counted for row in made.rows if row.takes and row.counted is not None]
    there = {(one.of, one.of_id) for one in taken if one.of_id is not None}
    parts = {(one.of, part) for one in taken for part in one.parts if not one.unlisted}
    for row in made.rows:
        usual = row.standing
        if usual is None:
            continue
        assert usual.usual
        settlers = {(usual.of, part) for part in settled_by(usual.stands_for)}
        if row.keeps:  # nothing twice
            assert (usual.of, usual.of_id) not in there
            assert not settlers & parts or usual.stands_for in (ALONE, UNSAID)
            assert not (usual.stands_for == SLOPE and counted.old_pipe_goes)
        else:  # nothing gone but for something counted, which is named
            by = {one.key: one for one in counted_lines(counted, RATE)}
            assert row.by
            assert all(key in by for key in row.by)
            same = any(by[key].of_id == usual.of_id for key in row.by)
            slope = usual.stands_for == SLOPE and counted.old_pipe_goes
            assert same or slope or any((usual.of, part) in settlers for key in row.by for part in by[key].parts)
        assert row.reason
    # every line of either side in exactly one row
    usual_keys = [row.standing.key for row in made.rows if row.standing is not None]
    assert sorted(usual_keys) == sorted(one.key for one in usual_lines(facts, RATE))
    counted_keys = [row.counted.key for row in made.rows if row.counted is not None]
    wanted = {one.key for one in counted_lines(counted, RATE) if one.quantity}
    assert len(counted_keys) == len(set(counted_keys))
    assert wanted <= set(counted_keys)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(JOB_TYPES), routes(), st.none() | routes(), some_parts)
def test_for_any_route_and_any_job_type_nothing_is_twice_and_nothing_usual_is_lost(
    name: str, proposed: Route, found: Route | None, values: list[object]
) -> None:
    facts = facts_of(name)
    rows = tuple(PartRow(n, 1, n, _kind(value), write_part(value)) for n, value in enumerate(values))  # type: ignore[arg-type]
    facts = replace(facts, parts=rows)
    sheets = [sheet(proposed, "proposed"), *([sheet(found, "found")] if found is not None else [])]
    counted = reckon(facts, sheets, rules_of(facts))
    standing = usual_lines(facts, RATE)
    made = reconcile(standing, counted_lines(counted, RATE), {}, begins=True, old_pipe_goes=counted.old_pipe_goes)
    check(made, counted, facts)
    everything = made
    for row in made.rows:
        everything = everything.switched(row.key)
    assert [row.answer for row in everything.rows] != [row.answer for row in made.rows] or not made.rows
    assert made.after == tuple(sum(one[n] for one in (row.after for row in made.rows)) for n in (0, 1))


def _kind(value: object) -> str:
    kinds = {Circuit: "circuit", SealJoint: "joint", SuctionPit: "pit", CrawlFloor: "floor", PaintWish: "paint"}
    return kinds[type(value)]  # type: ignore[index]


@pytest.fixture(params=JOB_TYPES)
def shop(request: pytest.FixtureRequest) -> QuoteCompany:
    made = of_type(request.param)
    if request.param == JOB_TYPES[1]:
        made.do(takeoff.add_route, made.job_id, "found", "", FOUND)
    made.do(takeoff.add_route, made.job_id, "proposed", "", REWORK if request.param == JOB_TYPES[1] else NEW)
    return made


def test_what_was_read_is_what_the_quote_then_holds(shop: QuoteCompany) -> None:
    usual = shop.start()
    begun = totals(shop, usual)
    shop.do(quotes.delete_draft, usual)
    read = rows_of(shop)
    assert read.before == begun
    taken = take(shop, seen=read)
    assert totals(shop, taken.quote_id) == read.after
    assert taken.doubles == ()
    lines = content(shop, taken.quote_id)
    again = rows_of(shop)
    assert again.before == again.after == read.after
    assert not [row.words for row in again.rows if row.changes]
    assert take(shop) == takeoff.Taken(taken.quote_id, False, 0, 0, 0, ())
    assert content(shop, taken.quote_id) == lines


def test_it_does_not_matter_whether_the_usual_lines_came_before(shop: QuoteCompany) -> None:
    without = content(shop, take(shop).quote_id)
    shop.company.undo()
    shop.start()
    read = rows_of(shop)
    taken = take(shop)
    assert totals(shop, taken.quote_id) == read.after

    def named(lines: list[object]) -> list[str]:
        return sorted(repr(replace(line, quote_id=0)) for line in lines)  # type: ignore[type-var]

    assert named(content(shop, taken.quote_id)) == named(without)


def rework() -> QuoteCompany:
    shop = of_type(JOB_TYPES[1])
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", REWORK)
    return shop


def words_of(made: Reconciliation) -> dict[str, str]:
    return {row.standing.name if row.standing else row.counted.name: row.words for row in made.rows}  # type: ignore[union-attr]


def test_a_rework_says_of_each_line_what_becomes_of_it() -> None:
    said = words_of(rows_of(rework()))
    assert said["Correct the slope at joints"] == "usual, not on this job"
    assert said["Run pipe in basement"] == "counted instead"
    assert said["Travel"] == said["Radon test kit, short-term, with laboratory fee"] == "usual, kept"
    assert said["Wire the fan"] == said["Seal cracks and joints"] == "usual, kept"
    assert said["Run pipe outside"] == "counted as well"


def test_the_slope_of_pipe_that_stays_is_still_put_right() -> None:
    shop = of_type(JOB_TYPES[1])
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", REWORK.replace("up 1', 45", "up 1' kept, 45"))
    assert words_of(rows_of(shop))["Correct the slope at joints"] == "usual, kept"


def test_a_new_system_a_sump_and_a_crawl_job_lose_nothing_that_is_not_counted() -> None:
    for name, codes in (
        ("New system", {"LTF-12", "LTC-12", "CND-12", "CON-12", "CONC", "ANC-14", "KIT-ST", "SEAL-PU", "BACKER"}),
        ("Sump or drain-tile system", {"SUMP-LID", "CHK-DR", "SEAL-PU", "SEAL-SL", "BACKER", "KIT-ST"}),
        ("Crawl-space membrane", {"P4-PERF", "BATT", "KIT-ST", "FAN-F4"}),
    ):
        shop = of_type(name)
        shop.do(takeoff.add_route, shop.job_id, "proposed", "", NEW)
        if name.startswith("Crawl"):
            shop.do(takeoff.add_part, shop.job_id, CrawlFloor("crawl", Decimal(32), Decimal(22)))
        ids = {line.item_id for line in shop.document(take(shop).quote_id).materials}
        with shop.company.read() as conn:
            there = set(conn.execute(select(tables.item.c.code).where(tables.item.c.id.in_(ids))).scalars())
        assert codes <= there, name


def test_a_line_nobody_linked_is_kept_and_named() -> None:
    shop = rework()
    line = shop.first_id(
        tables.job_type_task, tables.job_type_task.c.job_type_id == 2,
        tables.job_type_task.c.task_id == shop.id_of(tables.labour_task, "Run pipe in basement"),
    )  # fmt: skip
    shop.do(library.link_usual_task, line, "")
    row = next(one for one in rows_of(shop).rows if one.standing and one.standing.name == "Run pipe in basement")
    assert row.words == "usual, kept"
    assert row.reason.startswith("not linked")
    with pytest.raises(Refused):
        shop.do(library.link_usual_task, line, "anything")


def test_every_row_can_be_switched_and_the_answer_is_kept() -> None:
    shop = rework()
    read = rows_of(shop)
    answers = {}
    for row in read.rows:
        answers[row.key] = row.answers[(row.answers.index(row.answer) + 1) % len(row.answers)]
    taken = take(shop, answers=answers)
    switched = read.answered(answers)
    assert totals(shop, taken.quote_id) == switched.after
    again = rows_of(shop)
    assert again.after == again.before == switched.after, "what was said is not asked again"
    for row in switched.rows:
        if row.answer == LEFT:
            assert again.row(row.key).answer == LEFT


def test_with_undo_all_of_it_is_taken_back() -> None:
    shop = rework()
    quote_id = shop.start()
    before, read = content(shop, quote_id), rows_of(shop)
    take(shop)
    assert content(shop, quote_id) != before
    shop.company.undo()
    assert content(shop, quote_id) == before
    assert rows_of(shop) == read


def test_what_gave_way_comes_back_when_it_is_no_longer_counted() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    route_id = shop.first_id(tables.route, tables.route.c.status == "proposed")
    shop.do(takeoff.change_route, route_id, words=REWORK.replace("flex to 4in, fan, flex, ", ""))
    read = rows_of(shop)
    fan = next(row for row in read.rows if row.standing and row.standing.name == "Set the fan" and row.is_new)
    assert fan.answer == KEPT
    assert "back" in fan.reason
    take(shop)
    assert totals(shop, quote_id) == read.after
    names = {line.task_id for line in shop.document(quote_id).labour}
    assert shop.id_of(tables.labour_task, "Set the fan") in names
    shop.do(takeoff.change_route, route_id, words=REWORK)
    take(shop)
    fans = [line for line in shop.document(quote_id).labour
            if line.task_id == shop.id_of(tables.labour_task, "Set the fan")]  # fmt: skip
    assert len(fans) == 1
    assert fans[0].takeoff_key


def test_what_was_changed_by_hand_stays_and_is_named() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    pipe = next(line for line in shop.document(quote_id).materials if line.takeoff_key == "pipe:3")
    shop.do(quotes.change_material, pipe.id, net_quantity=Decimal(44))
    row = rows_of(shop).row("pipe:3")
    assert (row.answer, row.words) == (KEPT, "yours, kept")
    assert "44 typed over" in row.reason
    take(shop)
    assert next(line for line in shop.document(quote_id).materials if line.id == pipe.id).quantity == 44
    take(shop, answers={"pipe:3": INSTEAD})
    assert next(line for line in shop.document(quote_id).materials if line.id == pipe.id).quantity == pipe.quantity


def test_a_count_in_place_of_what_was_typed_says_so_and_can_be_left() -> None:
    shop = rework()
    quote_id = shop.start()
    task_id = shop.id_of(tables.labour_task, "Run pipe in basement")
    line = next(one for one in shop.document(quote_id).labour if one.task_id == task_id)
    shop.do(quotes.change_labour, line.id, quantity=Decimal(30))
    read = rows_of(shop)
    row = read.row(f"labour:{line.id}")
    assert row.answer == INSTEAD
    assert "30 typed over the usual 12" in row.reason
    assert BOTH in row.answers
    assert [one.key for one in read.over_typed] == [row.key]
    assert "Counted in place of what was typed: Run pipe in basement." in caution_words(read)
    kept = read.with_what_was_typed()
    assert kept.row(row.key).answer == KEPT
    take(shop, answers=answers_given(kept, read), seen=read)
    crawl = shop.id_of(tables.labour_task, "Run pipe in crawl space")
    tasks = [one.task_id for one in shop.document(quote_id).labour]
    assert task_id in tasks
    assert crawl not in tasks
    assert rows_of(shop).row(row.key).answer == KEPT, "what was said is not asked again"


def test_a_line_typed_beside_a_counted_one_stays_and_is_said_to_be_twice() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    pipe = next(line for line in shop.document(quote_id).materials if line.takeoff_key == "pipe:3")
    typed = shop.do(quotes.add_material, quote_id, pipe.item_id, Decimal(7))
    read = rows_of(shop)
    assert [row.key for row in read.twice] == [f"material:{typed}"]
    take(shop, answers={f"material:{typed}": OFF})
    assert typed not in {line.id for line in shop.document(quote_id).materials}


def test_rows_that_changed_since_they_were_read_are_not_applied() -> None:
    shop = rework()
    seen = rows_of(shop)
    shop.do(takeoff.add_part, shop.job_id, SealJoint("slab edge", Decimal(30)))
    with pytest.raises(Refused, match="changed since"):
        take(shop, seen=seen)


def test_the_usual_lines_asked_for_later_do_not_charge_again_what_is_counted() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    lines = content(shop, quote_id)
    assert shop.do(quotes.add_usual_lines, quote_id) == 0
    assert content(shop, quote_id) == lines


def test_an_order_of_things_never_charges_twice(shop: QuoteCompany) -> None:
    """Usual lines before, taken, undone, taken again, the usual lines asked for once more."""
    quote_id = shop.start()
    take(shop)
    shop.company.undo()
    take(shop)
    shop.do(quotes.add_usual_lines, quote_id)
    read = rows_of(shop)
    assert read.before == read.after
    assert read.twice == ()
