"""Supports: never farther apart than the rule, never fewer than the length asks for, and none where none is needed."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.routes import Leg, Route, Run, parse_route, route_rules, study_route
from domain.routes.supports import Supports
from domain.takeoff.support_lines import support_words
from tests.domain.route_examples import DAY, FEW, RULES, feet, routes

OLDER = route_rules(DAY, supports="older")


def held(typed: str, older: bool = False) -> Supports:
    return study_route(parse_route(typed), OLDER if older else RULES).supports


@pytest.mark.parametrize(
    ("typed", "count"),
    [
        ("along 31' level", 8),  # 31 / 4 = 7.75
        ("along 4' level", 1),
        ("along 4'1\" level", 2),
        ("along 1' level", 0),  # no longer than our shortest
        ("up 10'", 1),
        ("up 10'1\"", 2),
        ("slab along 12' level", 0),
        ("along 12' level kept", 0),
        ("along 10' level 90 along 10' level", 5),  # one stretch of 20 ft through an elbow in plan
        ("along 10' level 90 up 3' 90 along 10' level", 7),  # 3 + 1 + 3
        ("pitched 6' rise 24", 2),  # steeper than a foot a foot: stands, 13.4 ft along the pipe
    ],
)
def test_counts_by_the_newer_rule(typed: str, count: int) -> None:
    assert len(held(typed).all) == count


@pytest.mark.parametrize(
    ("typed", "count"),
    [("along 31' level", 6), ("up 8'", 1), ("up 9'", 2), ("up 12' sleeve up 6'", 0), ("up 12' flashing up 6'", 0)],
)
def test_counts_by_the_older_rule_where_a_floor_or_roof_holds_the_pipe(typed: str, count: int) -> None:
    assert len(held(typed, older=True).all) == count


def test_one_more_near_the_discharge_only_where_none_is() -> None:
    rules = [support.rule for support in held("up 16' out").all]
    assert rules == ["spacing", "spacing", "discharge"]  # at 4 and 12 ft; the discharge is at 16
    assert [support.rule for support in held("up 5' out").all] == ["spacing"]  # at 2.5 ft: within 3 ft already


def test_an_attic_fan_is_held_on_both_sides() -> None:
    found = held("attic up 8' flex fan flex up 4'")
    assert [(support.part, support.at.z) for support in found.all if support.rule == "fan"] == [
        (0, Decimal("6.5")), (4, Decimal("9.5")),
    ]  # fmt: skip
    assert not [support for support in held("outside up 8' flex fan flex up 4'").all if support.rule == "fan"]


@given(feet(100_000, 1_001), st.sampled_from(("along", "up")))
def test_none_is_farther_from_the_next_than_the_rule(length: Decimal, direction: str) -> None:
    route = Route("", "proposed", (Run("A", "pit", (Leg(direction, length, Decimal(3), "basement", Decimal(0)),)),))
    places = [support.at.x + support.at.z for support in study_route(route, RULES).supports.all]
    spacing = RULES.support_upright_ft if direction == "up" else RULES.support_along_ft
    assert len(places) == ceil(length / spacing)
    hair = Decimal("1e-20")
    assert all(after - before <= spacing + hair for before, after in pairwise(places))
    assert places[0] <= spacing / 2 + hair
    assert length - places[-1] <= spacing / 2 + hair


@FEW
@given(routes())
def test_every_support_is_on_its_leg(route: Route) -> None:
    study = study_route(route, RULES)
    for support in study.supports.all:
        placed = study.walk.runs[support.run][support.part]
        leg = placed.part
        assert isinstance(leg, Leg)
        assert not leg.kept
        assert (support.space, support.size) == (leg.space, leg.size)
        low, high = sorted((placed.start.z, placed.end.z))
        assert low - Decimal("1e-6") <= support.at.z <= high + Decimal("1e-6")


@given(st.integers(1, 30), st.sampled_from(("along", "pitched")), st.sampled_from(("1/8", "1/4", "1/2")))
def test_an_exact_multiple_takes_no_support_more_for_its_slope(times: int, direction: str, rise: str) -> None:
    length = times * RULES.support_along_ft
    words = f"{direction} {length.normalize():f}'" + (f" rise {rise}" if direction == "pitched" else "")
    assert len(held(f"A: pit, crawl 3in {words}").all) == times


@given(feet(60_000, 1_500), feet(60_000, 1_500), st.sampled_from(("level", "rise 1/4", "rise 3", "rise 13")))
def test_the_printed_reason_reproduces_the_number(one: Decimal, other: Decimal, slope: str) -> None:
    found = held(f"A: pit, crawl 3in along {one}' {slope}, up {other}'")
    printed = support_words(found, RULES)
    asked = 0
    for lengths, spacing in re.findall(r"([\d. +]+) ft (?:level|upright) runs? at ([\d.]+) ft", printed):
        asked += sum(ceil(Decimal(length) / Decimal(spacing)) for length in lengths.split(" + "))
    assert printed.startswith(f"{asked} support")
