"""What a cut list leaves over and what of the truck's offcuts it uses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from domain.buying.records import TruckOffcut
from domain.errors import NotUnderstood
from domain.takeoff.pieces import offcut_sixteenths
from domain.takeoff.pipe import PipeCuts, feet_left
from domain.takeoff.rules import SHORTEST_KEPT_FT
from domain.units.lengths import parse_length_ft
from domain.units.numbers import plain

SHORTEST_FT = SHORTEST_KEPT_FT
CHOICE = "shortest_offcut"
LONGEST_FT = Decimal(20)

Offcut = tuple[Decimal, Decimal]
"""Nominal inches and feet."""


def shortest_kept(choices: Mapping[str, str]) -> Decimal:
    """The shortest offcut worth keeping, feet."""
    return Decimal(choices.get(CHOICE, plain(SHORTEST_FT)))


def left_over(cuts: Iterable[PipeCuts], shortest_ft: Decimal) -> list[Offcut]:
    """What is left of sticks and offcuts and worth keeping, never longer than it is: rounded down to 1/1000 ft."""
    return [
        (cut.size, feet)
        for cut in cuts
        for stick in cut.plan.sticks
        if (feet := feet_left(stick)) >= shortest_ft
    ]


def used_offcuts(cuts: Iterable[PipeCuts], there: Iterable[TruckOffcut]) -> list[int]:
    """Which of the truck's offcuts a cut list saws up, by their ids."""
    free: dict[tuple[Decimal, int], list[int]] = {}
    for one in there:
        free.setdefault((one.size, offcut_sixteenths(one.feet)), []).append(one.id)
    used: list[int] = []
    for cut in cuts:
        for stick in cut.plan.offcuts_used:
            ids = free.get((cut.size, stick.length))
            if ids:
                used.append(ids.pop(0))
    return used


def offcut_feet(text: str) -> Decimal:
    """The length of an offcut as typed. Raises NotUnderstood."""
    feet = parse_length_ft(text)
    if not Decimal("0.1") <= feet <= LONGEST_FT:
        raise NotUnderstood("An offcut is from an inch or so to 20 ft long. Type its length: 4'6\".", text)
    return feet

