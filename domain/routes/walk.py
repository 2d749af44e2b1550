"""Walks a route from its suction points and says where each part begins and ends.

x goes to the right of the side drawing, y away from the viewer, z is the height above grade; all in feet. A leg
without a heading goes on as the leg before it; the main run begins to the right. A run that joins another is walked
from its suction point too and then moved so that it ends where it joins.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from domain.routes.route import Leg, Part, Route, Run
from domain.routes.rules import RouteRules

ZERO = Decimal(0)
STEPS = {
    "right": (Decimal(1), ZERO),
    "left": (Decimal(-1), ZERO),
    "far": (ZERO, Decimal(1)),
    "near": (ZERO, Decimal(-1)),
}


@dataclass(frozen=True, slots=True)
class Point:
    """A place in the house, feet."""

    x: Decimal
    y: Decimal
    z: Decimal

    def moved(self, by: Point) -> Point:
        """This place shifted by another."""
        return Point(self.x + by.x, self.y + by.y, self.z + by.z)


@dataclass(frozen=True, slots=True)
class Placed:
    """A part where it is: a leg from its first end to its last, a fitting at one place."""

    run: int
    index: int
    part: Part
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Walk:
    """A route in space. ``starts`` are the suction points run by run; ``joined`` is where each run ends in another."""

    runs: tuple[tuple[Placed, ...], ...]
    starts: tuple[Point, ...]
    joined: tuple[tuple[int, int] | None, ...]  # (run, part) that takes the run in

    @property
    def placed(self) -> tuple[Placed, ...]:
        """Every part, run after run."""
        return tuple(placed for run in self.runs for placed in run)

    def end_of(self, run: int) -> Point:
        """Where a run ends."""
        return self.runs[run][-1].end if self.runs[run] else self.starts[run]


def joins_of(route: Route) -> tuple[tuple[int, int] | None, ...]:
    """For each run the (run, part) of the first wye or tee that takes it in; None for a run nobody joins.

    A run that would join itself, or a ring of runs, counts as not joined: `domain.routes.checking` says so.
    """
    number_of = {run.name: number for number, run in reversed(list(enumerate(route.runs)))}
    found: list[tuple[int, int] | None] = [None] * len(route.runs)
    for host, run in enumerate(route.runs):
        for index, part in enumerate(run.parts):
            guest = number_of.get(part.joins) if not isinstance(part, Leg) and part.joins else None
            if guest and found[guest] is None and not _leads_to(found, host, guest):
                found[guest] = (host, index)
    return tuple(found)


def _leads_to(found: list[tuple[int, int] | None], run: int, wanted: int) -> bool:
    """Whether the air of a run passes through another, or is the same run."""
    step: int | None = run
    while step is not None:
        if step == wanted:
            return True
        taken = found[step]
        step = taken[0] if taken else None
    return False


def walk_route(route: Route, rules: RouteRules) -> Walk:
    """Where each part of the route is. Never fails: a run that joins nothing is drawn beside the others."""
    joins = joins_of(route)
    walked: list[tuple[Placed, ...] | None] = [None] * len(route.runs)
    starts = [Point(ZERO, ZERO, ZERO)] * len(route.runs)
    for number in _hosts_first(joins):
        run = route.runs[number]
        join = joins[number]
        if join is None:
            aside = Decimal(number * -4)
            start = Point(aside, ZERO, run.start_ft or ZERO)
            placed = _walked(run, number, start, "right", rules)
        else:
            host = walked[join[0]] or ()
            target = host[join[1]].end
            loose = _walked(run, number, Point(ZERO, ZERO, ZERO), _side_heading(host, join[1]), rules)
            end = loose[-1].end if loose else Point(ZERO, ZERO, ZERO)
            start = Point(target.x - end.x, target.y - end.y, target.z - end.z)
            placed = tuple(Placed(p.run, p.index, p.part, p.start.moved(start), p.end.moved(start)) for p in loose)
        walked[number], starts[number] = placed, start
    return Walk(tuple(run or () for run in walked), tuple(starts), joins)


def _hosts_first(joins: tuple[tuple[int, int] | None, ...]) -> list[int]:
    """Run numbers in an order in which what a run joins comes before it."""

    def depth(run: int) -> int:
        taken = joins[run]
        return 0 if taken is None else 1 + depth(taken[0])

    return sorted(range(len(joins)), key=depth)


def _side_heading(host: tuple[Placed, ...], index: int) -> str:
    """A run that joins a left-right pipe comes from the near side, any other from the left."""
    before = next((p for p in reversed(host[:index]) if isinstance(p.part, Leg) and p.part.is_level), None)
    across = before is not None and before.start.y != before.end.y
    return "right" if across else "far"


def _walked(run: Run, number: int, start: Point, heading: str, rules: RouteRules) -> tuple[Placed, ...]:
    placed = []
    here = start
    for index, part in enumerate(run.parts):
        there = here
        if isinstance(part, Leg):
            heading = part.heading or heading
            rise = part.rise_ft(rules.slope_in_per_ft)
            across, away = STEPS[heading] if part.is_level else (ZERO, ZERO)
            there = Point(here.x + across * part.length_ft, here.y + away * part.length_ft, here.z + rise)
        placed.append(Placed(number, index, part, here, there))
        here = there
    return tuple(placed)
