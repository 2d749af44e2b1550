"""What labour tasks scale with: feet, joints, supports and the like, by the space they are in.

A company ties each to one of its labour tasks, whose access conditions count by that space.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from domain.routes.route import SPACES, SUCTION_POINTS, Route
from domain.routes.supports import Supports
from domain.takeoff.conduit import Circuit
from domain.takeoff.fittings import fire_places
from domain.takeoff.lines import reasons_together
from domain.takeoff.membrane import CrawlFloor, wall_ft
from domain.takeoff.sealing import SealJoint, SuctionPit
from domain.takeoff.suction import WORK, new_suctions, pits_to_dig
from domain.units.numbers import plain

DRIVERS = {
    "pipe_ft": "Run pipe",
    "joint": "Cement joints",
    "support": "Set supports",
    "passage": "Go through a wall or floor",
    "roof_passage": "Go through the roof and flash it",
    "fan": "Set the fan",
    "fan_kit": "Fit pressure indicator and labels",
    "remove_ft": "Remove old pipe",
    "remove_fan": "Remove the old fan",
    "pit": "Core and dig a suction pit",
    "sump_lid": "Fit and seal a sump lid",
    "tile": "Connect to the drain tile",
    "conduit_ft": "Run conduit",
    "seal_ft": "Seal cracks and joints",
    "paint_ft": "Paint pipe",
    "membrane_sq_ft": "Lay membrane",
    "membrane_wall_ft": "Seal membrane to walls",
    "pier": "Seal membrane round piers",
}
"""Each kind in words; the owner's own task is chosen on the Company page."""


@dataclass(frozen=True, slots=True)
class LabourDriver:
    """So much of what takes time, in one space ("" where the space does not matter), at so many places."""

    kind: str
    space: str
    quantity: Decimal
    unit: str
    reason: str
    places: int = 1


def route_drivers(route: Route, joints: Mapping[tuple[Decimal, str], int], found: Supports) -> Iterator[LabourDriver]:
    """Feet of new pipe, joints, supports and passages by space; the fan."""
    feet: dict[str, Decimal] = defaultdict(Decimal)
    for leg in route.legs:
        if not leg.kept and leg.length_ft > 0:
            feet[leg.space] += leg.length_ft
    for space, length in feet.items():
        yield LabourDriver("pipe_ft", space, length, "ft", f"{plain(length)} ft of new pipe, {_in(space)}")
    by_space: Counter[str] = Counter()
    for (_, space), number in joints.items():
        by_space[space] += number
    for space, number in by_space.items():
        yield LabourDriver("joint", space, Decimal(number), "joint", f"{number} in fittings, {_in(space)}")
    for space, number in Counter(support.space for support in found.all).items():
        yield LabourDriver("support", space, Decimal(number), "each", f"{number}, {_in(space)}")
    yield from _fitting_drivers(route)


def stick_drivers(routes: Iterable[Route], joints: Mapping[Decimal, int]) -> Iterator[LabourDriver]:
    """Joints where sticks of a size are joined, so that labor and cement have one number.

    The cut list does not say on which leg a stick ends, so they count where the longest new leg of that size is: a
    piece longer than a stick is most likely there. ``joints`` are those of all routes by size.
    """
    legs = [leg for route in routes for leg in route.legs if not leg.kept]
    for size, number in sorted(joints.items()):
        longest = max((leg for leg in legs if leg.size == size), key=lambda leg: leg.length_ft, default=None)
        space = longest.space if longest is not None else ""
        yield LabourDriver("joint", space, Decimal(number), "joint", f"{number} where sticks are joined, {_in(space)}")


def _fitting_drivers(route: Route) -> Iterator[LabourDriver]:
    kinds = {"sleeve": "passage", "fire_passage": "passage", "roof_flashing": "roof_passage", "fan": "fan"}
    number = Counter((kinds[part.kind], part.space) for part in route.fittings if part.kind in kinds and not part.kept)
    for (kind, space), count in number.items():
        yield LabourDriver(kind, space, Decimal(count), "each", f"{count}, {_in(space)}")
        if kind == "fan":
            yield LabourDriver("fan_kit", space, Decimal(count), "each", f"{count}, one with each new fan")
    implied = Counter(place.space for run in route.runs for place in fire_places(run) if place.bare)
    for space, count in implied.items():
        yield LabourDriver("passage", space, Decimal(count), "each", f"{count} into or out of the garage, {_in(space)}")


def removal_drivers(route: Route) -> Iterator[LabourDriver]:
    """What of a route as found comes out: everything that is not marked as kept."""
    feet: dict[str, Decimal] = defaultdict(Decimal)
    for leg in route.legs:
        if not leg.kept and leg.space != "slab":
            feet[leg.space] += leg.length_ft
    for space, length in feet.items():
        if length:
            yield LabourDriver("remove_ft", space, length, "ft", f"{plain(length)} ft of old pipe, {_in(space)}")
    fans = Counter(part.space for part in route.fittings if part.kind == "fan" and not part.kept)
    for space, number in fans.items():
        yield LabourDriver("remove_fan", space, Decimal(number), "each", f"{number}, {_in(space)}")


def suction_drivers(
    routes: Sequence[Route], pits: Sequence[SuctionPit], removed: Sequence[Route] = ()
) -> Iterator[LabourDriver]:
    """Pits to dig, sump lids to fit, joints to a drain tile; a hollow block wall is gone into like any other."""
    for number, why in pits_to_dig(routes, pits, removed):
        yield LabourDriver("pit", "slab", Decimal(number), "each", why)
    for kind, count in new_suctions(routes).items():
        if kind in WORK:
            words = f"{count} on the route: {SUCTION_POINTS[kind]}"
            yield LabourDriver(WORK[kind], "", Decimal(count), "each", words)


def other_drivers(
    joints: Iterable[SealJoint], floors: Iterable[CrawlFloor], circuits: Iterable[Circuit]
) -> Iterator[LabourDriver]:
    """Feet to seal, membrane to lay, conduit to run."""
    for joint in joints:
        yield LabourDriver("seal_ft", "", joint.feet, "ft", f"{plain(joint.feet)} ft, {joint.label}")
    for floor in floors:
        area = floor.length_ft * floor.width_ft
        words = f"{plain(area)} sq ft, {floor.label}: {plain(floor.length_ft)} by {plain(floor.width_ft)} ft covered"
        yield LabourDriver("membrane_sq_ft", "crawl", area, "sq ft", words)
        edge = wall_ft(floor)
        words = f"{plain(edge)} ft, {floor.label}: wall and piers sealed"
        yield LabourDriver("membrane_wall_ft", "crawl", edge, "ft", words)
        if floor.piers:
            yield LabourDriver("pier", "crawl", Decimal(floor.piers), "each", f"{floor.piers}, {floor.label}")
    for circuit in circuits:
        feet = sum(circuit.sections_ft, Decimal(0))
        if feet:
            yield LabourDriver("conduit_ft", "", feet, "ft", f"{plain(feet)} ft, {circuit.label}")


def merged_drivers(drivers: Iterable[LabourDriver]) -> tuple[LabourDriver, ...]:
    """Drivers of one kind and space put together; their reasons add up to the quantity."""
    found: dict[tuple[str, str], list[LabourDriver]] = {}
    for driver in drivers:
        found.setdefault((driver.kind, driver.space), []).append(driver)
    return tuple(
        replace(
            alike[0], quantity=sum((one.quantity for one in alike), Decimal(0)), places=len(alike),
            reason=reasons_together(one.reason for one in alike),
        )
        for alike in found.values()
    )  # fmt: skip


def _in(space: str) -> str:
    return SPACES.get(space, space)
