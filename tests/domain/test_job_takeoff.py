"""A job's takeoff: parts typed cell by cell, routes as tables, what lines buy and drive, curves as typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from zlib import crc32

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import FanCurve, air_limits
from domain.errors import NotUnderstood
from domain.job_takeoff.air import job_air
from domain.job_takeoff.air_rows import air_figures, loss_rows
from domain.job_takeoff.choosing import item_typed, override_typed, task_typed
from domain.job_takeoff.curve_text import print_points, read_points, store_points, stored_points
from domain.job_takeoff.driving import drive, task_totals
from domain.job_takeoff.matching import buy, match, unit_factor
from domain.job_takeoff.parts import (
    CLASSES,
    FIRST_CELL,
    Offcuts,
    blank_part,
    cells,
    read_part,
    result_of,
    with_cell,
    write_part,
)
from domain.job_takeoff.reckoning import RouteSheet, route_sheet, stated_head, without_head
from domain.job_takeoff.records import ReadingRow, RouteRow, blank_plan
from domain.job_takeoff.route_table import EMPTY_LINE, line_cells, moved_line, part_lines, with_line, without_line
from domain.library import LabourTask
from domain.price_list import Item, PricedItem
from domain.quoting.refresh import TaskPick
from domain.routes import read_route
from domain.takeoff import LabourDriver, TakeoffLine, takeoff_rules
from domain.takeoff.sealing import SealJoint

DAY = date(2026, 5, 4)
RULES = takeoff_rules(DAY)
WORDS = "A: pit at -6', crawl 3in up 2', 90, along 12' rise 1/4, 90, up 8', out"


def sheet(words: str = WORDS, status: str = "proposed") -> RouteSheet:
    return route_sheet(RouteRow(1, 1, 1, status, "", words, True), RULES)


def item(code: str, name: str, item_class: str, unit: str = "each", cost: str = "2") -> PricedItem:
    made = Item(crc32(code.encode()), code, name, item_class, unit, Decimal(1), None, Decimal(0), False)
    return PricedItem(made, Decimal(cost), DAY, "")


def line(key: str, item_class: str, words: str, unit: str = "each", quantity: str = "3") -> TakeoffLine:
    number = Decimal(quantity)
    return TakeoffLine(key, item_class, words, unit, number, Decimal(0), Decimal(0), number, None, "counted")


def pick(name: str, unit: str, minutes: str = "10", factor: str = "100") -> TaskPick:
    task = LabourTask(crc32(name.encode()), name, 1, False, unit, Decimal(minutes), "work", "")
    return TaskPick(task, Decimal(factor), ("low crawl",) if factor != "100" else ())


# ---------------------------------------------------------------------- parts


@pytest.mark.parametrize("kind", list(CLASSES))
def test_a_part_is_kept_and_read_back(kind: str) -> None:
    value = blank_part(kind)
    assert read_part(kind, write_part(value)) == value
    assert FIRST_CELL[kind] in cells(value)


@given(st.decimals(Decimal("0.1"), Decimal(900), places=3), st.sampled_from(("square", "triangular", "round")))
def test_a_joint_typed_cell_by_cell_is_kept_exactly(feet: Decimal, section: str) -> None:
    value = with_cell(with_cell(blank_part("joint"), "label", "  slab   edge "), "section", section)
    value = with_cell(value, "feet", f"{feet:f}")
    assert isinstance(value, SealJoint)
    assert (value.label, value.feet, value.section) == ("slab edge", feet, section)
    assert read_part("joint", write_part(value)) == value


@pytest.mark.parametrize(
    ("kind", "key", "text", "advice"),
    [
        ("joint", "feet", "none", "not a length"), ("joint", "label", " ", "name"), ("pit", "deep_in", "0", "inches"),
        ("circuit", "sections", ",", "one after the other"), ("circuit", "wires", "3 x 99", "gauge"),
        ("circuit", "trade_size", "9", "Sizes are"), ("floor", "piers", "2.5", "whole number"),
        ("paint", "coats", "9", "1 to 5"), ("paint", "spaces", "moon", "where the pipe shows"),
        ("offcuts", "size", "7in", "Sizes are"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_told_kindly(kind: str, key: str, text: str, advice: str) -> None:
    with pytest.raises(NotUnderstood, match=advice):
        with_cell(blank_part(kind), key, text)


def test_cells_are_read_as_people_type_them() -> None:
    circuit = with_cell(with_cell(blank_part("circuit"), "sections", "12' + 8'6\""), "wires", "2 x 12, 14")
    assert cells(circuit)["sections"] == "12', 8' 6\""
    assert cells(circuit)["wires"] == "2 × 12, 1 × 14"
    offcuts = with_cell(Offcuts(Decimal(3), (Decimal(1),)), "feet", "4'6\", 2")
    assert offcuts == Offcuts(Decimal(3), (Decimal("4.5"), Decimal(2)))
    assert "6.5 ft" in result_of(offcuts, RULES)


# ---------------------------------------------------------------------- routes as tables


def test_a_new_length_changes_only_the_words_of_that_leg() -> None:
    typed = sheet("A: pit at -6',  crawl 3in   up 2', 90")
    assert with_line(typed, part_lines(typed)[0], "length", "3'6\"") == "A: pit at -6',  crawl 3in   up 3'6\", 90"


def test_the_table_and_the_words_stay_in_step() -> None:
    typed = sheet()
    lines = part_lines(typed)
    changed = sheet(with_line(typed, lines[2], "slope", "level"))
    for vague in ("drop", "drop 0", "rise"):  # never quietly level
        with pytest.raises(NotUnderstood):
            with_line(typed, lines[2], "slope", vague)
    assert line_cells(part_lines(changed)[2], "ft-in")["fall"] == '0" of 1 1/2", short'
    wider = sheet(with_line(typed, lines[4], "size", "4"))
    assert [one.part.size for one in part_lines(wider) if one.part is not None] == [3, 3, 3, 3, 4, 3]
    longer = sheet(with_line(typed, EMPTY_LINE, "part", "fan"))
    assert len(part_lines(longer)) == len(lines) + 1
    shorter = sheet(without_line(typed, lines[1]))
    assert [one.part for one in part_lines(shorter)] == [one.part for n, one in enumerate(lines) if n != 1]
    moved = sheet(moved_line(typed, lines[0], 1))
    assert part_lines(moved)[1].part == lines[0].part


def test_a_table_cell_refuses_what_the_words_would() -> None:
    typed = sheet()
    with pytest.raises(NotUnderstood, match="no word"):
        with_line(typed, part_lines(typed)[1], "part", "banana")
    with pytest.raises(NotUnderstood, match="no pipe size"):
        with_line(typed, part_lines(typed)[1], "size", "5in")
    broken = sheet(WORDS + ", banana")
    with pytest.raises(NotUnderstood, match="marked words"):
        with_line(broken, part_lines(broken)[0], "size", "4in")
    assert "banana" in with_line(broken, part_lines(broken)[0], "length", "5'")


def test_a_head_line_names_the_route() -> None:
    assert stated_head(f"found: the old one\n{WORDS}") == ("found", "the old one")
    assert stated_head(WORDS) is None
    assert without_head(f"found: the old one\n{WORDS}") == WORDS
    assert sheet(f"found: the old one\n{WORDS}").row.status == "found"


# ---------------------------------------------------------------------- buying and driving


def test_a_line_finds_its_item_by_class_words_and_size() -> None:
    items = [
        item("E90-3", "Elbow, 90 degrees, 3 in", "fitting"),
        item("E90L-3", "Elbow, 90 degrees, long sweep, 3 in", "fitting"),
        item("E90-4", "Elbow, 90 degrees, 4 in", "fitting"),
        item("RB", "Reducer, 4 in to 3 in", "fitting"),
        item("WB", "Wall bracket, stand-off, 3 or 4 in", "hardware"),
        item("CPL", "Conduit coupling, 1/2 in", "electrical"),
    ]
    wanted = {
        "elbow_90:3": "E90-3", "elbow_90_long:3": "E90L-3", "elbow_90:4": "E90-4", "reducer:3:4": "RB",
    }  # fmt: skip
    for key, code in wanted.items():
        found = match(line(key, "fitting", ""), items)
        assert found is not None
        assert found.item.code == code
    assert match(line("support_bracket:4", "hardware", ""), items).item.code == "WB"  # type: ignore[union-attr]
    assert match(line("conduit_coupling:emt:1/2", "electrical", ""), items).item.code == "CPL"  # type: ignore[union-attr]
    assert match(line("elbow_90:6", "fitting", ""), items) is None
    assert match(line("something_new", "fitting", ""), items) is None


def test_larger_cartridges_are_counted_by_the_ounce() -> None:
    large = item("AC", "Acoustical sealant, 29 oz, for membrane", "sealing", "tube", "11.25")
    small = line("membrane_sealant", "sealing", "Membrane sealant, 10 oz cartridge", "tube", "7")
    assert unit_factor(small, large) == Decimal(10) / Decimal(29)
    (one,) = buy([small], [large], {})
    assert one.quantity == 3
    assert one.cost_cents == 3375
    assert "3 of the larger" in one.reason


def test_an_item_of_another_unit_is_never_bought() -> None:
    pipe = item("P", "Pipe, 3 in, Schedule 40", "pipe", "each")
    wanted = line("pipe:3", "pipe", "Pipe, 3 in", "ft", "30")
    assert match(wanted, [pipe]) is None
    with pytest.raises(NotUnderstood, match="sold by the each"):
        item_typed(wanted, "P", [pipe])
    (one,) = buy([wanted], [pipe], {"pipe:3": pipe.item.id})
    assert one.item is None
    assert one.how == "open"


def test_typed_choices_say_what_is_wrong() -> None:
    wanted = line("cap:3", "fitting", "Cap, 3 in")
    caps = [item("C1", "Cap, 3 in", "fitting"), item("C2", "Cap, 4 in", "fitting")]
    assert item_typed(wanted, "c1", caps) == caps[0].item.id
    assert item_typed(wanted, "not from the list", caps) is None
    assert item_typed(wanted, "", caps) == "unchosen"
    for text, word in (("cap", "fits 2 items"), ("moon", "not on the price list")):
        with pytest.raises(NotUnderstood, match=word):
            item_typed(wanted, text, caps)
    assert override_typed(wanted, "") is None
    assert override_typed(wanted, "4") == 4
    for text in ("-1", "many"):
        with pytest.raises(NotUnderstood):
            override_typed(wanted, text)


def test_counts_drive_the_usual_tasks_under_the_conditions_of_the_job() -> None:
    picks = [
        pick("Run pipe in crawl space", "ft", "4", "160"), pick("Run pipe in basement", "ft", "2.5"),
        pick("Wire the fan", "each", "60"),
    ]  # fmt: skip
    drivers = [
        LabourDriver("pipe_ft", "crawl", Decimal(20), "ft", "20 ft"),
        LabourDriver("pipe_ft", "garage", Decimal(4), "ft", "4 ft"),
        LabourDriver("pipe_ft", "basement", Decimal(6), "ft", "6 ft"),
        LabourDriver("conduit_ft", "", Decimal(18), "ft", "fan"),
        LabourDriver("joint", "crawl", Decimal(9), "joint", "9"),
    ]
    driven = drive(drivers, picks, {})
    assert [one.minutes for one in driven] == [128, 10, 15, 60, 0]
    totals = {total.pick.task.name: total for total in task_totals(driven)}
    assert totals["Run pipe in basement"].quantity == 10
    assert totals["Run pipe in crawl space"].reason == "20 ft; low crawl"
    own = drive(drivers[:1], picks, {"pipe_ft:crawl": None})
    assert own[0].pick is None
    with pytest.raises(NotUnderstood, match="counted by the ft"):
        task_typed(drivers[4], "Run pipe in crawl space", picks)
    assert task_typed(drivers[3], "wire", picks) == picks[2].task.id


def test_joints_and_supports_drive_tasks_of_their_space_under_its_conditions() -> None:
    picks = [
        pick("Cement joints in crawl space", "joint", "2.5", "160"), pick("Cement joints", "joint", "1.5"),
        pick("Set supports in crawl space", "each", "3.5", "150"), pick("Set supports", "each", "2"),
        pick("Set supports outside", "each", "4"),
    ]  # fmt: skip
    drivers = [
        LabourDriver(kind, space, Decimal(10), "joint" if kind == "joint" else "each", "10")
        for kind in ("joint", "support") for space in ("crawl", "outside", "garage")
    ]  # fmt: skip
    driven = drive(drivers, picks, {})
    assert [one.minutes for one in driven] == [40, 15, 15, 53, 40, 20]
    own = drive(drivers, picks[1:2], {})
    assert [one.pick is not None for one in own] == [True] * 3 + [False] * 3
    assert own[0].minutes == 15, "a library without a task for the space uses the general one"
    assert own[3].note == "in the minutes of running pipe"


@pytest.mark.parametrize("part", ["conduit_connector", "conduit_coupling", "conduit_strap"])
def test_pvc_conduit_takes_pvc_parts_and_says_when_there_is_none(part: str) -> None:
    word = part.removeprefix("conduit_")
    metal = item("M", f"Conduit {word}, 1/2 in", "electrical")
    plastic = item("P", f"PVC conduit {word}, 1/2 in", "electrical")
    wanted = line(f"{part}:pvc:1/2", "electrical", f"PVC conduit {word}, 1/2 in")
    assert match(line(f"{part}:emt:1/2", "electrical", ""), [plastic, metal]) is metal
    assert match(wanted, [metal, plastic]) is plastic
    (without,) = buy([wanted], [metal], {})
    assert (without.item, without.how) == (None, "open")
    assert without.note == f"the price list has no “PVC conduit {word}, 1/2 in”: choose an item"


# ---------------------------------------------------------------------- air


@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 3000)), min_size=2, max_size=8, unique_by=lambda p: p[0]))
def test_points_are_typed_kept_and_printed_alike(pairs: list[tuple[int, int]]) -> None:
    flows = sorted(flow for flow, _ in pairs)
    pressures = sorted((pressure for _, pressure in pairs), reverse=True)
    points = tuple(
        (Decimal(flow), Decimal(max(pressure, 1)) / 1000) for flow, pressure in zip(flows, pressures, strict=True)
    )
    assert read_points(print_points(points)) == points
    assert stored_points(store_points(points)) == points


@pytest.mark.parametrize(
    ("text", "word"),
    [("0: 1", "two points"), ("0 1.9\n60 1.5", "no point"), ("0: 1\n60: 2", "rises"), ("5: 1\n5: 1", "twice")],
)
def test_a_curve_that_cannot_be_is_told_kindly(text: str, word: str) -> None:
    with pytest.raises(NotUnderstood, match=word):
        read_points(text)


FAN = FanCurve([(0, 1.9), (60, 1.6), (120, 1.0), (170, 0)], name="own fan")
FOUND = read_route(
    "A: pit, crawl 3in up 2', 90, along 12', 90, along 9', 90, up 3', 90, along 4', fan, up 12', out"
).route
BETTER = read_route("A: pit, crawl 3in up 2', 45, along 20', 45, up 3', fan, up 12', out").route


def test_found_and_proposed_stand_side_by_side() -> None:
    air = job_air(FOUND, BETTER, FAN, blank_plan(1), (), air_limits(DAY))
    assert air.comparison is not None
    assert air.comparison.gain_cfm > 5
    figures = {row.label.split(" (")[0]: row for row in air_figures(air, air_limits(DAY))}
    assert figures["Air moved"].found != figures["Air moved"].proposed
    assert air.found is not None
    rows = loss_rows(air.found, ())
    assert sum(row.pascals for row in rows) == pytest.approx(air.found.point.losses.pa)


def test_what_is_missing_is_said_in_words() -> None:
    limits = air_limits(DAY)
    assert "Choose a fan" in job_air(FOUND, BETTER, None, blank_plan(1), (), limits).problem
    assert "Type a route" in job_air(None, None, FAN, blank_plan(1), (), limits).problem


def test_readings_replace_the_suction_wanted() -> None:
    flow = ReadingRow(1, 1, DAY, "flow", "", Decimal(40), Decimal(120), "")
    hole = ReadingRow(2, 1, DAY, "suction", "far corner", Decimal(4), None, "")
    air = job_air(FOUND, BETTER, FAN, blank_plan(1), (flow, hole), air_limits(DAY))
    assert air.measured
    assert air.proposed is not None
    assert air.proposed.point.below_pa != pytest.approx(60)
    odd = job_air(FOUND, None, FAN, blank_plan(1), (flow, replace(hole, value=Decimal(300))), air_limits(DAY))
    assert "more than the 120 Pa" in odd.problem
