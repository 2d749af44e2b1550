"""Every part and every word of a route: the work and the material it brings, or why it brings none."""

from __future__ import annotations

from decimal import Decimal

import pytest

from domain.job_takeoff.driving import IN_THE_PIPE, USUAL_TASKS
from domain.job_takeoff.parts import CLASSES
from domain.job_takeoff.stands_for import goods_part, work_part
from domain.routes import read_route
from domain.routes.route import DIRECTIONS, FITTINGS, HEADINGS, SPACES, SUCTION_POINTS
from domain.routes.shorthand import FITTING_WORDS, HEADS, LEG_WORDS, MODIFIERS
from domain.takeoff import (
    DRIVERS,
    Circuit,
    CrawlFloor,
    PaintWish,
    SealJoint,
    SuctionPit,
    Takeoff,
    Wanted,
    take_off,
    takeoff_rules,
)
from domain.takeoff.suction import BRINGS_NOTHING
from tests.domain.route_examples import DAY

RULES = takeoff_rules(DAY)
NONE_IN_WORK = {"flexible_coupling": "clamped on while its fan is set", "discharge": "the open end of the last pipe"}
NONE_IN_GOODS = {"discharge": "the open end of the last pipe"}
FITTING_WORK = {
    **{key: {"joint"} for key in FITTINGS}, "sleeve": {"passage"}, "fire_passage": {"passage"},
    "roof_flashing": {"roof_passage"}, "fan": {"fan", "fan_kit"}, **{key: set() for key in NONE_IN_WORK},
}  # fmt: skip
SUCTION_WORK = {"pit": {"pit"}, "sump": {"sump_lid"}, "tile": {"tile"}, "block": {"passage"}, "membrane": set()}
SUCTION_GOODS = {
    "pit": {"pit_closing"}, "sump": {"sump_lid"}, "tile": {"tile_connector"}, "block": set(), "membrane": set(),
}  # fmt: skip
"""A hole into a hollow block wall needs sealant only, which is counted by the foot beside the routes."""
BESIDE = {
    "joint": (SealJoint("edge", Decimal(24), backer=True), {"seal_ft"}, {"sealant", "backer_rod"}),
    "pit": (SuctionPit("corner", Decimal(14), Decimal(12)), {"pit"}, {"pit_closing"}),
    "circuit": (Circuit("fan", (Decimal(14),)), {"conduit_ft"}, {"conduit", "conduit_connector", "wire", "box"}),
    "floor": (
        CrawlFloor("crawl", Decimal(30), Decimal(20), piers=2), {"membrane_sq_ft", "membrane_wall_ft", "pier"},
        {"membrane", "membrane_sealant", "membrane_fastener"},
    ),
    "paint": (PaintWish(("basement",), 2, "can"), {"paint_ft"}, {"paint"}),
}  # fmt: skip
SAYS_ONLY_WHERE = {*SPACES, *HEADINGS, *HEADS, *MODIFIERS}
"""Where a part is, how it lies, how big it is, what it is near, or that it stays: nothing to buy, nothing to do."""


def taken(words: str, **beside: object) -> Takeoff:
    reading = read_route(words)
    assert not reading.mistakes, reading.mistakes
    return take_off(Wanted(routes=(reading.route,), **beside), RULES)  # type: ignore[arg-type]


def more_than(plain: Takeoff, made: Takeoff) -> tuple[set[str], set[str]]:
    """Kinds of work and parts of goods of which there is more."""
    work = {one.kind: Decimal(0) for one in (*plain.drivers, *made.drivers)}
    for sign, takeoff in ((-1, plain), (1, made)):
        for one in takeoff.drivers:
            work[one.kind] += sign * one.quantity
    before = {line.key: line.quantity for line in plain.lines}
    goods = {goods_part(line.key) for line in made.lines if line.quantity > before.get(line.key, 0)}
    return {kind for kind, number in work.items() if number > 0}, goods


def test_every_word_of_the_shorthand_is_on_one_of_the_lists() -> None:
    assert set(FITTING_WORDS.values()) == set(FITTINGS) == set(FITTING_WORK)
    assert set(LEG_WORDS.values()) == set(DIRECTIONS)
    assert set(SUCTION_POINTS) == set(SUCTION_WORK) == set(SUCTION_GOODS)
    assert set(BRINGS_NOTHING) == {kind for kind, work in SUCTION_WORK.items() if not work}
    assert set(CLASSES) == {*BESIDE, "offcuts"}, "offcuts are used, not bought"
    assert not SAYS_ONLY_WHERE & {*FITTING_WORDS, *LEG_WORDS, *SUCTION_POINTS}


def test_every_count_has_its_usual_task_and_part() -> None:
    for kind in DRIVERS:
        assert kind in USUAL_TASKS or kind in IN_THE_PIPE
        assert work_part(kind) == kind


@pytest.mark.parametrize("word", sorted(FITTING_WORDS))
def test_a_fitting_brings_its_work_and_its_material(word: str) -> None:
    kind = FITTING_WORDS[word]
    typed = {"reducer": "reduce 4in", "discharge": "out"}.get(kind, word)
    plain = taken("A: membrane, basement 3in up 3', along 8'")
    made = taken(f"A: membrane, basement 3in up 3', {typed}, along 8'")
    work, goods = more_than(plain, made)
    assert work - {"support", "joint"} == FITTING_WORK[kind] - {"joint"}
    assert ("joint" in work) == ("joint" in FITTING_WORK[kind]), kind
    own = {"wye": "branch", "tee": "branch"}.get(kind, "elbow" if kind.startswith("elbow") else kind)
    assert (own in goods) == (kind not in NONE_IN_GOODS)
    kept = taken(f"A: membrane, basement 3in up 3' kept, {typed} kept, along 8' kept")
    there = taken("A: membrane, basement 3in up 3' kept, along 8' kept")
    assert more_than(there, kept) == (set(), set()), "what stays brings nothing"


@pytest.mark.parametrize("kind", sorted(SUCTION_POINTS))
def test_a_suction_point_brings_its_work_and_its_material(kind: str) -> None:
    plain = taken("A: basement 3in up 3', along 8'")
    work, goods = more_than(plain, taken(f"A: {kind} at -7', basement 3in up 3', along 8'"))
    assert (work, goods) == (SUCTION_WORK[kind], SUCTION_GOODS[kind])
    for there in (f"A: {kind} kept, basement 3in up 3', along 8'", f"A: {kind}, basement 3in up 3' kept, along 8'"):
        work, goods = more_than(plain, taken(there))
        assert not work & SUCTION_WORK[kind]
        assert not goods & SUCTION_GOODS[kind]
    assert any("names no suction point" in note for note in plain.notes), "where none is named, it says so"


@pytest.mark.parametrize("kind", sorted(BESIDE))
def test_a_part_beside_the_routes_brings_its_work_and_its_material(kind: str) -> None:
    value, wanted_work, wanted_goods = BESIDE[kind]
    words = "A: membrane, basement 3in up 3', along 8'"
    names = {"joint": "joints", "pit": "pits", "circuit": "circuits", "floor": "floors"}
    beside = {"paint": value} if kind == "paint" else {names[kind]: (value,)}
    work, goods = more_than(taken(words), taken(words, **beside))
    assert work == wanted_work
    assert wanted_goods <= goods


def test_measured_pits_are_those_of_the_route_and_are_dug_once() -> None:
    two = "A: pit, basement 3in up 6', wye B, up 1', out\nB: pit, basement 3in up 6', 90, along 4'"
    pit = SuctionPit("corner", Decimal(14), Decimal(12))

    def dug(*pits: SuctionPit) -> Decimal:
        return sum((one.quantity for one in taken(two, pits=pits).drivers if one.kind == "pit"), Decimal(0))

    assert [dug(*[pit] * count) for count in range(4)] == [2, 2, 2, 3]


def test_a_garage_gone_into_with_nothing_typed_brings_the_hole_too() -> None:
    work, goods = more_than(
        taken("A: membrane, basement 3in up 3', along 8'"),
        taken("A: membrane, basement 3in up 3', garage along 8'"),
    )
    assert "passage" in work
    assert "fire_passage" in goods
    bare = taken("A: membrane, basement 3in up 3', outside along 8'")
    assert any("no hole is counted" in note for note in bare.notes)
    assert not any("no hole" in note for note in taken("A: pit, basement 3in up 3', sleeve, outside up 8'").notes)
