"""Where a route has to be held, by the standard chosen.

Counted stretch by stretch: a stretch is what lies along, or stands upright, without a break (elbows in plan belong to
it; a pipe that rises more than a foot a foot stands). A stretch of L feet at a spacing of s takes L / s supports,
rounded up, spread evenly, so that none is farther than s from the next. L is what was measured, to a thousandth of a
foot, as the reason prints it: the slope of a drain makes 12 ft no longer by a hair, and so no support more. One more
goes within 3 ft of the discharge where none is, and one each side of an attic fan. Below the slab and on what is kept
none is needed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from domain.routes.route import PASSAGES, Fitting, Leg, Route
from domain.routes.rules import RouteRules
from domain.routes.walk import Placed, Point, Walk, walk_route
from domain.units.measured import measured
from domain.units.numbers import to_places

STANDS_FROM_IN_PER_FT = Decimal(12)
DRAIN_IN_PER_FT = Decimal(1)
"""Up to this rise a foot along is a foot of pipe (0.3% short at most); steeper, the pipe is longer than its plan."""
MOST_FEET = Decimal("1e12")
MOST_IN_A_STRETCH = 1000
"""A route is never refused, however long: `domain.routes.checking` stops a leg longer than any in a house, and here no
more than so many supports are placed, so that a slip of the finger does not stop the window."""


@dataclass(frozen=True, slots=True)
class Support:
    """One hanger, strap or bracket, on which part, where, and which rule asks for it."""

    run: int
    part: int
    space: str
    size: Decimal
    upright: bool
    rule: str  # spacing | discharge | fan
    at: Point


@dataclass(frozen=True, slots=True)
class Stretch:
    """What lies along or stands upright without a break, and how many supports the spacing asks for."""

    upright: bool
    feet: Decimal
    spacing_ft: Decimal
    count: int
    held_by_passage: bool


@dataclass(frozen=True, slots=True)
class Supports:
    """All supports of a route, and the stretches they were counted by."""

    all: tuple[Support, ...]
    stretches: tuple[Stretch, ...]


@dataclass(slots=True)
class _Chain:
    upright: bool
    legs: list[tuple[Placed, Leg, Decimal]]  # with the feet along the pipe
    feet: Decimal = Decimal(0)
    passed: bool = False
    to_discharge: bool = False


def spacing_count(feet: Decimal, spacing_ft: Decimal) -> int:
    """Supports of a stretch: feet / spacing, rounded up.

    Raises NotUnderstood for a length less than nothing or a spacing of nothing.
    """
    length = measured(feet, "The length to be held", most=MOST_FEET)
    spacing = measured(spacing_ft, "The spacing of supports", some=True)
    return int((length / spacing).to_integral_value(ROUND_CEILING))


def supports(route: Route, rules: RouteRules, walk: Walk | None = None) -> Supports:
    """Every support the route needs by the rules."""
    walk = walk or walk_route(route, rules)
    found: list[Support] = []
    stretches: list[Stretch] = []
    for run in walk.runs:
        for chain in _chains(run, rules):
            stretch = _stretch(chain, rules)
            stretches.append(stretch)
            places = [stretch.feet * (2 * n + 1) / (2 * stretch.count) for n in range(stretch.count)]
            found += [_support(chain, feet, "spacing") for feet in places]
            if chain.to_discharge:
                found += _near_discharge(chain, places, rules)
        found += _round_attic_fan(run, rules)
    return Supports(tuple(found), tuple(stretches))


def _chains(run: tuple[Placed, ...], rules: RouteRules) -> Iterator[_Chain]:
    chain: _Chain | None = None
    for placed in run:
        part = placed.part
        if isinstance(part, Leg) and part.length_ft > 0 and not part.kept and part.space != "slab":
            upright = _stands(part)
            if chain is None or chain.upright != upright:
                if chain is not None:
                    yield chain
                chain = _Chain(upright, [])
            feet = _held_ft(part, rules)
            chain.legs.append((placed, part, feet))
            chain.feet += feet
        elif isinstance(part, Fitting) and part.kind in PASSAGES:
            if chain is not None:
                chain.passed = True
        elif isinstance(part, Leg) or part.kind == "fan":
            if chain is not None:
                yield chain
            chain = None
        elif part.kind == "discharge" and chain is not None:
            chain.to_discharge = True
    if chain is not None:
        yield chain


def _held_ft(leg: Leg, rules: RouteRules) -> Decimal:
    rise = rules.slope_in_per_ft if leg.rise_in_per_ft is None else leg.rise_in_per_ft
    return leg.length_ft if leg.is_level and abs(rise) <= DRAIN_IN_PER_FT else leg.pipe_ft(rules.slope_in_per_ft)


def _stands(leg: Leg) -> bool:
    steep = leg.rise_in_per_ft is not None and abs(leg.rise_in_per_ft) > STANDS_FROM_IN_PER_FT
    return not leg.is_level or steep


def _stretch(chain: _Chain, rules: RouteRules) -> Stretch:
    spacing = rules.support_upright_ft if chain.upright else rules.support_along_ft
    feet = to_places(chain.feet, 3)
    held = chain.upright and chain.passed and rules.passage_holds
    count = 0 if held or feet <= rules.support_shortest_ft else min(spacing_count(feet, spacing), MOST_IN_A_STRETCH)
    return Stretch(chain.upright, feet, spacing, count, held)


def _support(chain: _Chain, feet: Decimal, rule: str) -> Support:
    """A support so many feet along the chain."""
    before = Decimal(0)
    for placed, leg, length in chain.legs:
        if feet <= before + length:
            at = _between(placed, (feet - before) / length)
            return Support(placed.run, placed.index, leg.space, leg.size, chain.upright, rule, at)
        before += length
    placed, leg, _ = chain.legs[-1]
    return Support(placed.run, placed.index, leg.space, leg.size, chain.upright, rule, placed.end)


def _between(placed: Placed, share: Decimal) -> Point:
    a, b = placed.start, placed.end
    return Point(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share, a.z + (b.z - a.z) * share)


def _near_discharge(chain: _Chain, places: list[Decimal], rules: RouteRules) -> list[Support]:
    feet, near = chain.feet, rules.support_discharge_ft
    if any(feet - place <= near for place in places):
        return []
    return [_support(chain, max(feet - near, feet / 2), "discharge")]


def _round_attic_fan(run: tuple[Placed, ...], rules: RouteRules) -> list[Support]:
    """One support within reach below and above a fan in an attic (advice of the standard, not a rule)."""
    found = []
    for position, placed in enumerate(run):
        fan = placed.part
        if not isinstance(fan, Fitting) or fan.kind != "fan" or fan.space != "attic":
            continue
        below = next((p for p in reversed(run[:position]) if isinstance(p.part, Leg)), None)
        above = next((p for p in run[position + 1 :] if isinstance(p.part, Leg)), None)
        for side, ends_here in ((below, True), (above, False)):
            if side is None or not isinstance(side.part, Leg) or side.part.kept or not side.part.length_ft:
                continue
            reach = min(rules.support_fan_in / 12 / side.part.length_ft, Decimal(1))
            at = _between(side, 1 - reach if ends_here else reach)
            leg = side.part
            found.append(Support(side.run, side.index, leg.space, leg.size, _stands(leg), "fan", at))
    return found
