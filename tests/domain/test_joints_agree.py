"""Labor and cement count the same joints, those of couplings too; a leg no house has counts nothing."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings

from domain.routes import Route, read_route
from domain.takeoff import Wanted, take_off
from tests.domain.route_examples import routes
from tests.domain.test_takeoff_list import RULES

LONG = "A: pit at -3', basement 3in up 3', 90, along 40' rise 1/4, 90, sleeve, outside up 22', out"


def joints(route: Route) -> tuple[Decimal, Decimal]:
    """Joints labor is driven by, and those cement was counted for, each a quart at so many."""
    found = take_off(Wanted((route,)), RULES)
    driven = sum((one.quantity for one in found.drivers if one.kind == "joint"), Decimal(0))
    glued = sum((Decimal(part.split(" joint")[0].split()[-1]) for part in cement(found).split(" of ")[:-1]), Decimal(0))
    return driven, glued


def cement(found: object) -> str:
    return next((one.reason for one in found.lines if one.key == "cement"), "")  # type: ignore[attr-defined]


def test_sticks_that_are_joined_count_for_both() -> None:
    driven, glued = joints(read_route(LONG).route)
    assert driven == glued
    reasons = [one.reason for one in take_off(Wanted((read_route(LONG).route,)), RULES).drivers if one.kind == "joint"]
    assert any("where sticks are joined, basement" in reason for reason in reasons)


@settings(max_examples=25, deadline=None)
@given(routes())
def test_for_any_route_there_is_one_number(route: Route) -> None:
    driven, glued = joints(route)
    assert driven == glued
