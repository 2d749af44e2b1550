"""Sealant: feet of bead a 10.1 fl oz cartridge makes.

Computed from exact definitions: 1 US gallon = 231 cu in = 128 fl oz, so 10.1 fl oz = 18.227 cu in; feet = 18.227 /
(width x depth x 12). Cross-check read second-hand: about 24 to 27 ft of 1/4 x 1/4 in from 10 oz (engineerfix.com). A
chart on the web with 50 to 55 ft for the same bead is wrong by two and is not followed.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.takeoff import SealJoint, SuctionPit, Wanted, take_off, takeoff_rules
from domain.takeoff.sealing import cartridges, feet_per_cartridge, pit_cubic_feet, pit_pails, rod_eighths, section_in2

RULES = takeoff_rules(date(2026, 3, 2))


def joint(width: str, depth: str, section: str = "square", feet: str = "24") -> SealJoint:
    return SealJoint("Joint", Decimal(feet), section, Decimal(width), Decimal(depth))


def test_a_cartridge_holds_eighteen_cubic_inches() -> None:
    assert round(RULES.surface.in3_per_cartridge, 3) == Decimal("18.227")


@pytest.mark.parametrize(
    ("width", "depth", "feet"),
    [
        ("0.25", "0.25", "24.30"),
        ("0.25", "0.125", "48.61"),
        ("0.375", "0.375", "10.80"),
        ("0.5", "0.25", "12.15"),
        ("0.5", "0.375", "8.10"),
        ("0.5", "0.5", "6.08"),
        ("0.75", "0.375", "5.40"),
        ("0.125", "0.125", "97.21"),
    ],
)
def test_feet_of_bead_a_cartridge(width: str, depth: str, feet: str) -> None:
    assert feet_per_cartridge(joint(width, depth), RULES) == Decimal(feet)


def test_the_published_cross_check() -> None:
    assert 24 <= feet_per_cartridge(joint("0.25", "0.25"), RULES) <= 27


def test_sections() -> None:
    half, three_eighths = Decimal("0.5"), Decimal("0.375")
    assert section_in2("square", half, three_eighths) == Decimal("0.1875")
    assert section_in2("triangular", half, three_eighths) == Decimal("0.09375")
    assert round(section_in2("round", half, Decimal(0)), 5) == Decimal("0.19635")  # pi / 16


@given(st.integers(1, 10_000), st.integers(1, 32), st.integers(1, 32))
def test_a_three_cornered_bead_takes_half_and_twice_the_length_takes_twice(feet: int, width: int, depth: int) -> None:
    w, d = Decimal(width) / 16, Decimal(depth) / 16
    whole = cartridges(SealJoint("J", Decimal(feet), "square", w, d), RULES)
    half = cartridges(SealJoint("J", Decimal(feet), "triangular", w, d), RULES)
    double = cartridges(SealJoint("J", Decimal(2 * feet), "square", w, d), RULES)
    assert abs(whole - 2 * half) < Decimal("1e-12")
    assert abs(double - 2 * whole) < Decimal("1e-12")


def test_a_joint_with_backer_rod() -> None:
    found = take_off(Wanted(joints=(SealJoint("Cove", Decimal(100), backer=True),)), RULES)
    sealant, rod = found.line("sealant"), found.line("backer_rod:0.5")
    assert sealant is not None
    assert rod is not None
    # 100 ft / 10.80 ft = 9.26 cartridges, 10% waste, rounded up
    assert (sealant.net, sealant.quantity, rod.quantity) == (Decimal("9.258"), 11, 110)


@pytest.mark.parametrize(
    ("joint_in", "rod_in"), [("0.25", "0.375"), ("0.375", "0.5"), ("0.5", "0.625"), ("0.4", "0.5")]
)
def test_backer_rod_a_quarter_thicker_up_to_the_next_eighth(joint_in: str, rod_in: str) -> None:
    # common practice, no source
    assert rod_eighths(Decimal(joint_in)) == Decimal(rod_in)


def test_soil_of_a_pit() -> None:
    # computed: a bowl 24 in across, 12 in deep is half a ball of 1 ft radius, 2/3 pi = 2.094 cu ft
    pit = SuctionPit("Pit", Decimal(24), Decimal(12))
    assert pit_cubic_feet(pit) == Decimal("2.094")
    assert pit_cubic_feet(SuctionPit("Pit", Decimal(24), Decimal(12), "straight")) == Decimal("3.142")
    assert pit_pails(pit) == Decimal("3.9")  # 2.094 x 1,728 x 1.25 / 1,155


@pytest.mark.parametrize(
    "bad",
    [SealJoint("J", Decimal(0)), SealJoint("J", Decimal(5), width_in=Decimal(0)), SealJoint("J", Decimal(5), "oval")],
)
def test_a_joint_of_nothing_is_refused_kindly(bad: SealJoint) -> None:
    with pytest.raises(NotUnderstood):
        take_off(Wanted(joints=(bad,)), RULES)
