"""Lengths and counts that cannot be: refused in words, never a breakdown; a mile of pipe does not stop the window."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from domain.errors import NotUnderstood
from domain.routes import read_route, study_route
from domain.routes.supports import MOST_IN_A_STRETCH, spacing_count
from domain.takeoff import Circuit, CrawlFloor, SealJoint, SuctionPit, Wanted, take_off, takeoff_rules
from domain.takeoff.conduit import straps
from domain.takeoff.conduit_fill import conduit_fill, most_wires
from domain.takeoff.cutting import cut_list
from domain.takeoff.sealing import pit_pails, rod_eighths, section_in2
from domain.units.measured import measured

RULES = takeoff_rules(date(2026, 3, 2))
NAN, ENDLESS = Decimal("NaN"), Decimal("Infinity")
CANNOT_BE: list[Any] = [NAN, ENDLESS, Decimal(-1), Decimal(10) ** 30, None, "wide"]


def listed(**wanted: Any) -> object:
    return take_off(Wanted(**wanted), RULES)


ASKED: dict[str, Callable[[Any], object]] = {
    "a bead's width": lambda value: section_in2("square", value, Decimal("0.25")),
    "a bead's depth": lambda value: section_in2("triangular", Decimal("0.25"), value),
    "a round bead": lambda value: section_in2("round", value, Decimal("0.25")),
    "a backer rod": rod_eighths,
    "a pit's width": lambda value: pit_pails(SuctionPit("pit", value, Decimal(12))),
    "a pit's depth": lambda value: pit_pails(SuctionPit("pit", Decimal(12), value)),
    "a joint": lambda value: listed(joints=(SealJoint("joint", value),)),
    "a joint's bead": lambda value: listed(joints=(SealJoint("joint", Decimal(9), width_in=value, backer=True),)),
    "a floor": lambda value: listed(floors=(CrawlFloor("crawl", value, Decimal(20)),)),
    "a roll's width": lambda value: listed(floors=(CrawlFloor("crawl", Decimal(30), Decimal(20), value),)),
    "a section": lambda value: listed(circuits=(Circuit("fan", (value,)),)),
    "straps": lambda value: straps(value, Decimal(10), Decimal(3)),
    "strap spacing": lambda value: straps(Decimal(30), value, Decimal(3)),
    "a stretch": lambda value: spacing_count(value, Decimal(4)),
    "support spacing": lambda value: spacing_count(Decimal(30), value),
}


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("value", CANNOT_BE, ids=str)
def test_what_cannot_be_is_refused_in_words(name: str, value: Any) -> None:
    with pytest.raises(NotUnderstood, match=r"\.$"):
        ASKED[name](value)


@pytest.mark.parametrize("name", [name for name in ASKED if name not in ("a backer rod", "straps", "a stretch")])
def test_nothing_is_no_length(name: str) -> None:
    with pytest.raises(NotUnderstood):
        ASKED[name](Decimal(0))


def test_a_roll_shorter_than_a_sixteenth_is_no_roll() -> None:
    floor = CrawlFloor("crawl", Decimal(30), Decimal(20), roll_ft=Decimal("0.001"))
    with pytest.raises(NotUnderstood, match="how long a roll is"):
        listed(floors=(floor,))


@pytest.mark.parametrize(
    ("kind", "size", "gauge", "words"),
    [("abs", "1/2", "12", "No conduit"), ("emt", "2-1/2", "12", "No conduit"), ("emt", "1/2", "13", "No wire")],
)
def test_a_conduit_or_wire_the_tables_do_not_have_is_named(kind: str, size: str, gauge: str, words: str) -> None:
    fill = RULES.conduit.fill
    with pytest.raises(NotUnderstood, match=words):
        conduit_fill(kind, size, [gauge] * 3, fill)
    with pytest.raises(NotUnderstood, match=words):
        most_wires(kind, size, gauge, fill)


@pytest.mark.parametrize("bad", [0, -1, NAN, 3.5, None])
def test_a_cut_list_is_made_of_whole_sixteenths(bad: Any) -> None:
    with pytest.raises(ValueError, match=r"sixteenths|more than nothing"):
        cut_list([bad], 1920)
    with pytest.raises(ValueError, match=r"sixteenths|more than nothing"):
        cut_list([96], bad)


def test_whole_numbers_and_floats_are_taken_as_they_are_written() -> None:
    assert measured(3, "A length") == 3
    assert measured(0.1, "A length") == Decimal("0.1")
    assert section_in2("round", 0.5, 0) == section_in2("round", Decimal("0.5"), Decimal(0))  # type: ignore[arg-type]


def test_miles_of_pipe_are_stopped_and_do_not_stop_the_window() -> None:
    words = f"A: pit basement 3in {'along 999999ft 90 ' * 20} out"
    begun = time.perf_counter()
    study = study_route(read_route(words).route, RULES.route)
    listed(routes=(study.route,))
    assert time.perf_counter() - begun < 5  # all supports of them took 80 seconds
    assert any("longer than any leg in a house" in problem.message for problem in study.problems)
    assert len(study.supports.all) <= MOST_IN_A_STRETCH + 1
