"""The list: counts with their reasons, waste and packs, overrides beside what was computed, routes put together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.job_takeoff.offcuts import left_over
from domain.routes import Route, parse_route, study_route
from domain.takeoff import THOROUGH, Extra, PaintWish, Takeoff, TakeoffLine, Wanted, take_off, takeoff_rules
from domain.takeoff.lines import Need, merged, round_up, sized
from domain.takeoff.pipe import feet_of
from tests.domain.route_examples import FEW, TWO_POINTS, routes

RULES = takeoff_rules(date(2026, 3, 2))
# no fitting dimensions: pieces are as long as measured, so that they can be added up in the head
BARE = replace(RULES, takeoff_in={}, kerf_in=Decimal(0))


def taken(typed: str, **wanted: object) -> Takeoff:
    return take_off(Wanted(routes=(parse_route(typed),), **wanted), RULES)  # type: ignore[arg-type]


def quantities(found: Takeoff) -> dict[str, Decimal]:
    return {line.key: line.quantity for line in found.lines}


def line(found: Takeoff, key: str) -> TakeoffLine:
    wanted = found.line(key)
    assert wanted is not None, [one.key for one in found.lines]
    return wanted


def test_the_whole_list_of_two_suction_points() -> None:
    assert quantities(taken(TWO_POINTS)) == {
        # less the fittings, in inches: 367.0 is three sticks and 7.0; 114.9; 76.2 + 20.8 + 7.0; 70.2: six sticks
        "pipe:3": 60,
        "coupling:3": 3,
        "pipe:4": 20,
        "coupling:4": 1,
        "elbow_90:3": 2,
        "wye:3": 1,
        "support_hanger:3": 11,  # 31 ft at 4: 8; 10 ft at 4: 3
        "support_strap:3": 2,
        "support_bracket:3": 1,
        "support_bracket:4": 3,  # 16 ft at 10: 2, and one near the discharge
        "flexible_coupling:3:4": 1,
        "flexible_coupling:4": 1,
        "fan:4": 1,
        "pressure_indicator": 1,
        "indicator_tubing": 3,
        "label:circuit": 1,
        "label:pipe": 4,  # 53.5 ft of basement at 20: 3; 18 ft outside: 1
        "label:primary": 1,
        "pit_closing": 2,
        "cement": 1,
        "primer": 1,
    }


@FEW
@given(routes())
def test_any_route_is_taken_off_and_every_line_says_why(route: Route) -> None:
    found = take_off(Wanted(routes=(route,), paint=PaintWish(spaces=("outside", "basement"))), RULES)
    for one in found.lines:
        assert one.reason
        assert one.quantity >= one.net > 0 or one.net == 0
        assert one.unit
    assert len({one.key for one in found.lines}) == len(found.lines)
    feet = sum((leg.length_ft for leg in route.legs if not leg.kept and leg.length_ft > 0), Decimal(0))
    assert sum((d.quantity for d in found.drivers if d.kind == "pipe_ft"), Decimal(0)) == feet


@FEW
@given(routes(), routes())
def test_two_routes_take_what_each_takes_but_for_pipe_and_what_is_shared(one: Route, other: Route) -> None:
    both = take_off(Wanted(routes=(one, other)), RULES, THOROUGH)
    apart = [take_off(Wanted(routes=(route,)), RULES, THOROUGH) for route in (one, other)]
    for found in both.lines:
        nets = [single.net for takeoff in apart if (single := takeoff.line(found.key)) is not None]
        if found.item_class not in ("pipe", "cement"):
            assert found.net == sum(nets, Decimal(0)), found.key
        elif found.item_class == "pipe":
            assert found.net <= sum(nets, Decimal(0)), found.key


def test_a_studied_route_gives_the_same_list() -> None:
    route = parse_route(TWO_POINTS)
    wanted = Wanted(routes=(route,))
    assert take_off(wanted, RULES, studied=[study_route(route, RULES.route)]) == take_off(wanted, RULES)


# ---------------------------------------------------------------------- pieces


def test_a_piece_is_the_leg_less_what_its_fittings_take() -> None:
    # 3 in: a 90 takes 1.813 in from centre to stop, so 36 - 3.626 in between two of them, to the sixteenth
    found = taken("basement 3in up 6' 90 along 3' level 90 up 6'")
    cuts = sorted(cut for stick in found.cuts[0].plan.sticks for cut in stick.cuts)
    assert cuts == [518, 1123, 1123]  # sixteenths: 32.374 x 16 = 517.98; 70.187 x 16 = 1,122.99


def test_the_pipe_goes_through_walls_and_roofs_in_one_piece() -> None:
    found = take_off(Wanted(routes=(parse_route("attic 3in up 4' flashing roof up 2' out"),)), BARE)
    assert [stick.cuts for stick in found.cuts[0].plan.sticks] == [(6 * 192,)]


def test_two_fittings_with_nothing_between_take_a_short_piece_of_two_sockets() -> None:
    found = taken("basement 3in up 6' 90 45 along 9' level")
    cuts = sorted(cut for stick in found.cuts[0].plan.sticks for cut in stick.cuts)
    assert cuts[0] == 48  # 2 x 1.5 in
    assert "1 short piece between fittings" in line(found, "pipe:3").reason


def test_a_leg_shorter_than_its_fittings_is_said() -> None:
    found = taken("basement 3in up 6' 90 along 0'3\" 90 up 6'")
    short = [note for note in found.notes if "names no suction point" not in note]
    assert len(short) == 1
    assert "shorter than the fittings" in short[0]


def test_cut_lengths_follow_the_pitch() -> None:
    found = take_off(Wanted(routes=(parse_route("attic 3in pitched 5' rise 12"),)), BARE)
    assert [stick.cuts for stick in found.cuts[0].plan.sticks] == [(1358,)]  # 60 in x sqrt 2 = 84.853 in


def test_offcuts_on_the_truck_come_first() -> None:
    typed = "basement 3in along 4' level"
    assert quantities(taken(typed))["pipe:3"] == 10
    found = taken(typed, offcuts={Decimal(3): [Decimal(5)]})
    assert line(found, "pipe:3").quantity == 0
    assert "1 offcut used first" in line(found, "pipe:3").reason
    with pytest.raises(NotUnderstood, match="less than an inch"):
        taken(typed, offcuts={Decimal(3): [Decimal("0.01")]})


def test_the_cut_list_reads_like_a_person_writes_it() -> None:
    found = take_off(Wanted(routes=(parse_route("basement 3in along 6'6\" level 90 up 3'2\""),)), BARE)
    assert found.cuts[0].rows == ("10' stick: 6' 6\", 3' 2\" (4\" left)",)


# ---------------------------------------------------------------------- what is kept, what comes out


def test_what_is_kept_is_not_bought_and_new_pipe_is_glued_to_it() -> None:
    found = taken("basement 3in up 6' kept 90 kept along 9' level")
    assert set(quantities(found)) == {"pipe:3", "support_hanger:3", "label:pipe", "label:primary", "cement", "primer"}
    assert line(found, "cement").reason == "1 joint of 3 in at 40 a quart"
    assert [(d.kind, d.quantity) for d in found.drivers] == [("pipe_ft", 9), ("joint", 1), ("support", 3)]


def test_what_comes_out_is_counted_by_space() -> None:
    old = parse_route(
        "found: Old\nA: slab 3in up 1' basement up 6' 90 along 20' kept 90 attic up 9' flex fan flex up 4' out"
    )
    found = take_off(Wanted(removed=(old,)), RULES)
    assert [(d.kind, d.space, d.quantity) for d in found.drivers] == [
        ("remove_ft", "basement", 6), ("remove_ft", "attic", 13), ("remove_fan", "attic", 1),
    ]  # fmt: skip
    assert found.lines == ()


# ---------------------------------------------------------------------- fittings


def test_a_garage_crossed_without_a_rated_passage_asks_for_one() -> None:
    typed = "basement 3in up 6' 90 along 4' level garage along 10' level 90 up 9' out"
    passage = line(taken(typed), "fire_passage:3")
    assert (passage.quantity, passage.reason) == (1, "1 where the pipe goes from basement to garage")
    assert "Local code decides" in passage.caution
    rated = taken(typed.replace("garage along", "fire garage along"))
    assert (line(rated, "fire_passage:3").quantity, line(rated, "fire_passage:3").reason) == (1, "1 typed on the route")
    assert taken(typed.replace("garage", "outside")).line("fire_passage:3") is None


def test_a_fan_typed_bare_gets_its_flexible_couplings() -> None:
    assert quantities(taken("outside 4in up 3' fan up 9' out"))["flexible_coupling:4"] == 2
    one = taken("outside 4in up 3' flex fan up 9' out")
    assert line(one, "flexible_coupling:4").quantity == 2
    assert line(one, "flexible_coupling:4").reason == "1 on the route; 1 to take the fan out again"


def test_a_wye_that_nothing_joins_is_capped() -> None:
    assert quantities(taken("basement 3in up 3' wye up 3'"))["cap:3"] == 1


def test_wyes_and_reducers_carry_both_sizes() -> None:
    typed = "A: basement 4in up 3' wye B side 3in up 3' reduce 6in up 2' out\nB: basement 3in up 3' 45"
    found = quantities(taken(typed))
    assert found["wye:4:3"] == 1
    assert found["reducer:4:6"] == 1


def test_cement_by_joints_and_size() -> None:
    # 3 in: 8 elbows of 2 sockets = 16 joints at 40; 4 in: reducer 1 and one elbow 2 = 3 joints at 30
    elbows = " 90 along 3' level" * 8
    found = taken(f"basement 3in up 3'{elbows} reduce 4in up 3' 90 along 3' level")
    cement = line(found, "cement")
    assert cement.reason == "17 joints of 3 in at 40 a quart, 3 joints of 4 in at 30 a quart"
    assert (cement.net, cement.quantity) == (Decimal("0.525"), 1)
    assert line(found, "primer").net == Decimal("0.263")


def test_couplings_and_bells_count_as_joints() -> None:
    typed = "basement 3in along 47' level"
    assert line(taken(typed), "cement").reason == "8 joints of 3 in at 40 a quart"
    belled = takeoff_rules(date(2026, 3, 2), belled=[Decimal(3)])
    found = take_off(Wanted(routes=(parse_route(typed),)), belled)
    assert line(found, "cement").reason == "4 joints of 3 in at 40 a quart"


def test_labels_in_each_space_and_each_twenty_feet() -> None:
    # common practice, no source: 41 ft of basement 3, 5 ft of attic 1, below the slab and above the roof none
    found = taken("slab 3in up 1' basement along 41' level 90 attic up 5' flashing roof up 1' out")
    assert line(found, "label:pipe").quantity == 4
    assert "basement 3, attic 1" in line(found, "label:pipe").reason


# ---------------------------------------------------------------------- lines


def test_an_override_stands_beside_what_was_computed() -> None:
    found = taken(TWO_POINTS, overrides={"elbow_90:3": Decimal(5), "gone:3": Decimal(2)})
    elbows = line(found, "elbow_90:3")
    assert (elbows.quantity, elbows.override, elbows.computed) == (5, 5, 2)
    assert found.unused_overrides == {"gone:3": Decimal(2)}


def test_an_override_of_nothing_is_an_override() -> None:
    assert line(taken(TWO_POINTS, overrides={"fan:4": Decimal(0)}), "fan:4").quantity == 0


def test_typed_extras_are_lines_and_add_up() -> None:
    extras = (Extra("Shims", Decimal(2), "pack"), Extra("shims", Decimal(1), "pack"), Extra("Sand", Decimal(1), "bag"))
    found = take_off(Wanted(extras=extras), RULES)
    assert [(one.description, one.quantity, one.unit) for one in found.lines] == [
        ("Shims", 3, "pack"),
        ("Sand", 1, "bag"),
    ]


def test_waste_by_item_class() -> None:
    own = takeoff_rules(date(2026, 3, 2), waste_percent={"fitting": Decimal(25)})
    found = take_off(
        Wanted(routes=(parse_route("basement 3in up 3' 90 along 3' level 90 up 3' 90 along 3' level"),)), own
    )
    elbows = found.line("elbow_90:3")
    assert elbows is not None
    assert (elbows.net, elbows.waste_percent, elbows.computed) == (3, 25, 4)


@given(
    st.integers(0, 10**7),
    st.integers(0, 10_000),
    st.integers(0, 5000),
    st.sampled_from(("each", "ft", "tube", "sq ft")),
)
def test_rounding_up_covers_the_need_with_less_than_a_pack_over(net: int, waste: int, pack: int, unit: str) -> None:
    quantity, percent, size = Decimal(net).scaleb(-3), Decimal(waste).scaleb(-2), Decimal(pack).scaleb(-1)
    rounded = round_up(quantity, percent, size, unit)
    needed = quantity * (100 + percent) / 100
    step = size or (Decimal("0.001") if unit in ("ft", "sq ft") else Decimal(1))
    assert needed <= rounded < needed + step
    assert rounded % step == 0


def test_needs_of_one_key_become_one_line_with_all_reasons() -> None:
    needs = [Need("a", "other", "A", Decimal(n), "each", why) for n, why in ((1, "one"), (2, "two"), (3, "one"))]
    (found,) = merged(needs)
    assert (found.quantity, found.reason) == (6, "2 × one; two")


@FEW
@given(routes(), st.lists(st.integers(600, 9_000).map(lambda n: Decimal(n).scaleb(-3)), max_size=3))
def test_each_foot_of_pipe_is_paid_for_by_the_job_that_uses_it_up(route: Route, lying: list[Decimal]) -> None:
    """What a job is costed by, and what goes back on the truck, are together what its sticks and offcuts opened."""
    for size in {leg.size for leg in route.legs}:
        found = take_off(Wanted(routes=(route,), offcuts={size: lying}), RULES)
        for cut in (one for one in found.cuts if one.size == size):
            line = found.line(sized("pipe", size))
            assert line is not None
            assert line.cut is not None
            opened = sum((feet_of(stick.length) for stick in cut.plan.sticks), Decimal(0))
            kept = sum((feet for _, feet in left_over([cut], RULES.shortest_kept_ft)), Decimal(0))
            assert line.cut + kept == opened
            assert line.used is not None
            assert line.used <= line.cut + Decimal("0.01"), "a saw cut and what is too short are used up too"
            assert line.costed("cut") == line.cut
            assert line.costed("whole") == line.computed == cut.plan.new_sticks * cut.stick_ft


def test_cement_is_costed_by_the_part_of_a_quart_and_bought_by_the_quart() -> None:
    found = take_off(Wanted(routes=(parse_route("A: pit, basement 3in up 6', 90, along 10', 90, up 4', out"),)), RULES)
    cement = found.line("cement")
    assert cement is not None
    assert cement.computed == 1
    assert cement.costed("used") == cement.net
    assert 0 < cement.net < Decimal("0.5")
