"""Slope and condensate: the fall each level leg needs and has, the room for it, and where water would lie.

Needed: level feet x minimum fall (1/8 in per ft toward the suction point: ANSI/AARST SGM-SF 2017 rev. 12/20,
s. 6.2.2). Water runs out at the suction points, at a drain and at an open discharge; how deep it would stand elsewhere
is found by letting it rise to the lowest edge it has to pass on the way to one of those.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from domain.routes.route import Leg, Route
from domain.routes.rules import RouteRules
from domain.routes.walk import Placed, Walk, walk_route
from domain.units.lengths import format_inches
from domain.units.numbers import to_places

INCHES = Decimal(12)
LEAST_DEPTH_IN = Decimal("0.01")
"""Less is rounding of lengths, not water."""


@dataclass(frozen=True, slots=True)
class LegSlope:
    """The fall of one along or pitched leg, in inches; ``room_in`` is the play that obstacles leave, None if unknown.

    Play is what is left between the top of the pipe and what it must stay under, and between its bottom and what it
    must stay over: the smaller of the two; less than nothing means it does not pass.
    """

    run: int
    part: int
    needs_in: Decimal
    has_in: Decimal
    room_in: Decimal | None

    @property
    def falls_enough(self) -> bool:
        """Whether it has at least the fall it needs."""
        return self.has_in >= self.needs_in

    @property
    def fits(self) -> bool:
        """Whether it passes its obstacles with this fall."""
        return self.room_in is None or self.room_in >= 0

    @property
    def words(self) -> str:
        """``needs 3 7/8" of fall, has 1": 2 7/8" short``."""
        needs, has = format_inches(self.needs_in), format_inches(self.has_in)
        verdict = "" if self.falls_enough else f": {format_inches(self.needs_in - self.has_in)} short"
        tight = "" if self.fits or self.room_in is None else f"; misses its obstacle by {format_inches(-self.room_in)}"
        return f"needs {needs} of fall, has {has}{verdict}{tight}"


@dataclass(frozen=True, slots=True)
class LowSpot:
    """Where water would stand, behind which part, and how deep (inches, before it runs on)."""

    run: int
    part: int
    depth_in: Decimal


@dataclass(frozen=True, slots=True)
class Slopes:
    """The slope of a whole route."""

    legs: tuple[LegSlope, ...]
    low_spots: tuple[LowSpot, ...]


def slopes(route: Route, rules: RouteRules, walk: Walk | None = None) -> Slopes:
    """Fall needed and had by each along and pitched leg, and the low spots of the route."""
    walk = walk or walk_route(route, rules)
    legs = tuple(
        _leg_slope(placed, placed.part, rules)
        for placed in walk.placed
        if isinstance(placed.part, Leg) and placed.part.is_level
    )
    return Slopes(legs, low_spots(walk))


def _leg_slope(placed: Placed, leg: Leg, rules: RouteRules) -> LegSlope:
    needs, has = leg.length_ft * rules.slope_in_per_ft, leg.fall_in(rules.slope_in_per_ft)
    return LegSlope(placed.run, placed.index, needs, has, _room(placed, leg, rules))


def _room(placed: Placed, leg: Leg, rules: RouteRules) -> Decimal | None:
    half = rules.outside_in.get(leg.size, leg.size) / 2
    top = max(placed.start.z, placed.end.z) * INCHES + half
    bottom = min(placed.start.z, placed.end.z) * INCHES - half
    plays = []
    if leg.under_ft is not None:
        plays.append(leg.under_ft * INCHES - top)
    if leg.over_ft is not None:
        plays.append(bottom - leg.over_ft * INCHES)
    return to_places(min(plays), 3) if plays else None


def low_spots(walk: Walk) -> tuple[LowSpot, ...]:
    """Every place where water would stand, the deepest point of each; flat legs that drain at one end are none."""
    if all(placed.end.z >= placed.start.z for run in walk.runs for placed in run):
        return ()
    heights, edges, outlets = _profile(walk)
    level = _water_level(heights, edges, outlets)
    spots, seen = [], set()
    for node in sorted(heights, key=lambda node: (heights[node], node)):
        if node in seen or level[node] <= heights[node]:
            continue
        seen |= _pool(node, heights, edges, level)
        depth = to_places((level[node] - heights[node]) * INCHES, 3)
        if depth >= LEAST_DEPTH_IN:
            spots.append(LowSpot(*node, depth))
    return tuple(sorted(spots, key=lambda spot: (spot.run, spot.part)))


Node = tuple[int, int]  # (run, part): the end of that part; part -1 is the suction point


def _profile(walk: Walk) -> tuple[dict[Node, Decimal], dict[Node, list[Node]], set[Node]]:
    heights: dict[Node, Decimal] = {}
    edges: dict[Node, list[Node]] = defaultdict(list)
    outlets: set[Node] = set()
    for number, parts in enumerate(walk.runs):
        heights[(number, -1)] = walk.starts[number].z
        outlets.add((number, -1))
        for placed in parts:
            here, before = (number, placed.index), (number, placed.index - 1)
            heights[here] = placed.end.z
            edges[here].append(before)
            edges[before].append(here)
            if not isinstance(placed.part, Leg) and placed.part.kind in ("drain", "discharge"):
                outlets.add(here)
        join = walk.joined[number]
        if join is not None:
            last = (number, len(parts) - 1)
            edges[last].append(join)
            edges[join].append(last)
    return heights, edges, outlets


def _water_level(
    heights: dict[Node, Decimal], edges: dict[Node, list[Node]], outlets: set[Node]
) -> dict[Node, Decimal]:
    """How high water stands at each place: the lowest of the highest edges on any way to an outlet."""
    level: dict[Node, Decimal] = {}
    waiting = [(heights[node], node) for node in outlets]
    heapq.heapify(waiting)
    while waiting:
        height, node = heapq.heappop(waiting)
        if node in level:
            continue
        level[node] = height
        for neighbour in edges[node]:
            if neighbour not in level:
                heapq.heappush(waiting, (max(height, heights[neighbour]), neighbour))
    return level


def _pool(
    start: Node, heights: dict[Node, Decimal], edges: dict[Node, list[Node]], level: dict[Node, Decimal]
) -> set[Node]:
    """The places one pool of water covers."""
    pool, waiting = {start}, [start]
    while waiting:
        for neighbour in edges[waiting.pop()]:
            if neighbour not in pool and level[neighbour] > heights[neighbour]:
                pool.add(neighbour)
                waiting.append(neighbour)
    return pool
