"""Pipe by the tables: outside diameters, stock lengths, pieces of a long run, painted area.

ASTM D1785, Table 1 (outside diameters), read in stored copies of D1785 and of a supplier's size chart; compared with
`fluids.piping.nearest_pipe`, which keeps millimetres. Stock lengths of 10 ft: a trade page, read second-hand.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from fluids.piping import nearest_pipe

from domain.routes import parse_route
from domain.routes.route import PIPE_SIZES
from domain.takeoff import PaintWish, Wanted, take_off, takeoff_rules
from domain.takeoff.cutting import cut_list
from domain.takeoff.paint import painted_sq_ft

RULES = takeoff_rules(date(2026, 3, 2))


@pytest.mark.parametrize(
    ("size", "outside"), [("1.5", "1.900"), ("2", "2.375"), ("3", "3.500"), ("4", "4.500"), ("6", "6.625")]
)
def test_outside_diameters_of_d1785(size: str, outside: str) -> None:
    assert RULES.route.outside_in[Decimal(size)] == Decimal(outside)


@pytest.mark.parametrize("size", PIPE_SIZES)
def test_outside_diameters_of_another_table(size: Decimal) -> None:
    outside_m = nearest_pipe(NPS=float(size), schedule="40")[2]
    assert float(RULES.route.outside_in[size]) == pytest.approx(outside_m / 0.0254, rel=1e-3)


def test_forty_seven_feet_are_five_sticks_and_four_couplings() -> None:
    # computed: ceil(47 / 10) = 5 sticks, at least 4 joints
    found = take_off(Wanted(routes=(parse_route("basement 3in along 47' level"),)), RULES)
    pipe, coupling = found.line("pipe:3"), found.line("coupling:3")
    assert pipe is not None
    assert coupling is not None
    assert (pipe.quantity, pipe.unit, coupling.quantity) == (50, "ft", 4)
    assert "5 sticks of 10 ft" in pipe.reason


def test_belled_ends_take_no_couplings() -> None:
    belled = takeoff_rules(date(2026, 3, 2), belled=[Decimal(3)])
    found = take_off(Wanted(routes=(parse_route("basement 3in along 47' level"),)), belled)
    assert found.line("coupling:3") is None
    pipe = found.line("pipe:3")
    assert pipe is not None
    assert "4 joints in belled ends" in pipe.reason


def test_twenty_foot_sticks() -> None:
    assert (cut_list([47 * 192], 20 * 192).new_sticks, cut_list([47 * 192], 20 * 192).joints) == (3, 2)


@pytest.mark.parametrize(
    ("size", "area", "feet_a_can"), [("2", "0.6218", 32.2), ("3", "0.9163", 21.8), ("4", "1.1781", 17.0)]
)
def test_area_of_a_foot_of_pipe(size: str, area: str, feet_a_can: float) -> None:
    # computed: pi x outside diameter / 12; feet a can at 20 sq ft a can and coat
    ten_thousand_feet = parse_route(f"outside {size}in up 10000'")
    square_feet, _ = painted_sq_ft([ten_thousand_feet], ["outside"], RULES)
    assert round(square_feet / 10_000, 4) == Decimal(area)
    assert float(20 / (square_feet / 10_000)) == pytest.approx(feet_a_can, abs=0.05)


def test_cans_and_quarts_for_the_outside_stack() -> None:
    route = parse_route("outside 3in up 20' out")
    cans = take_off(Wanted(routes=(route,), paint=PaintWish(container="can")), RULES)
    quarts = take_off(Wanted(routes=(route,), paint=PaintWish()), RULES)
    # 20 ft x 0.9163 x 2 coats = 36.65 sq ft: 1.83 cans of 20, 0.42 quarts of 87.5; 10% waste, rounded up
    paint, primer = cans.line("paint:can"), cans.line("paint_primer:can")
    assert paint is not None
    assert (paint.net, paint.quantity, primer) == (Decimal("1.833"), 3, None)
    paint, primer = quarts.line("paint:quart"), quarts.line("paint_primer:quart")
    assert paint is not None
    assert primer is not None
    assert (paint.net, paint.quantity, primer.net) == (Decimal("0.419"), 1, Decimal("0.209"))
