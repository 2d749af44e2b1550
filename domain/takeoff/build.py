"""From routes, circuits, joints, membrane and paint to one list to buy, the cut list and what labour scales with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from domain.routes.route import Route
from domain.routes.study import RouteStudy
from domain.routes.supports import Supports, supports
from domain.takeoff.conduit import Circuit, circuit_needs, circuits_notes
from domain.takeoff.cutting import QUICK
from domain.takeoff.drivers import (
    LabourDriver,
    merged_drivers,
    other_drivers,
    removal_drivers,
    route_drivers,
    stick_drivers,
    suction_drivers,
)
from domain.takeoff.fittings import (
    cap_needs,
    cement_needs,
    fan_needs,
    fire_needs,
    fitting_needs,
    hole_notes,
    label_needs,
)
from domain.takeoff.lines import Need, TakeoffLine, counted, line_of, merged
from domain.takeoff.membrane import CrawlFloor, membrane_needs
from domain.takeoff.paint import PaintWish, paint_needs, painted_sq_ft
from domain.takeoff.pieces import Piece, RoutePieces, route_pieces
from domain.takeoff.pipe import PipeCuts, cut_pipe, pipe_needs, stick_joints
from domain.takeoff.rules import TakeoffRules
from domain.takeoff.sealing import SealJoint, SuctionPit, seal_needs
from domain.takeoff.suction import PIT_CLOSING, suction_needs, unnamed_notes
from domain.takeoff.support_lines import support_needs
from domain.units.numbers import plain


@dataclass(frozen=True, slots=True)
class Extra:
    """Something the owner adds by hand, in the words and unit typed."""

    description: str
    quantity: Decimal
    unit: str
    item_class: str = "other"
    reason: str = "typed"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Everything one takeoff is made from. ``routes`` are built, ``removed`` are routes as found that come out.

    ``offcuts`` are feet on the truck by pipe size. By the key of a line: ``overrides`` are quantities, ``packs`` what
    the item is bought in, ``waste_percent`` its own waste instead of its class's (both usually from the price list).
    """

    routes: tuple[Route, ...] = ()
    removed: tuple[Route, ...] = ()
    offcuts: Mapping[Decimal, Sequence[Decimal]] = field(default_factory=dict)
    circuits: tuple[Circuit, ...] = ()
    joints: tuple[SealJoint, ...] = ()
    pits: tuple[SuctionPit, ...] = ()
    floors: tuple[CrawlFloor, ...] = ()
    paint: PaintWish | None = None
    extras: tuple[Extra, ...] = ()
    overrides: Mapping[str, Decimal] = field(default_factory=dict)
    packs: Mapping[str, Decimal] = field(default_factory=dict)
    waste_percent: Mapping[str, Decimal] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Takeoff:
    """The list to buy in the order of the work, the cut lists, what labour scales with, and notes to read.

    ``unused_overrides`` are overrides of lines that are no longer on the list; they are kept and come back with them.
    """

    lines: tuple[TakeoffLine, ...]
    cuts: tuple[PipeCuts, ...]
    drivers: tuple[LabourDriver, ...]
    notes: tuple[str, ...]
    unused_overrides: Mapping[str, Decimal]

    def line(self, key: str) -> TakeoffLine | None:
        """The line with this key."""
        return next((line for line in self.lines if line.key == key), None)

    @property
    def proven(self) -> bool:
        """Whether every cut list is shown to be the shortest possible."""
        return all(cut.plan.proven for cut in self.cuts)


@dataclass(frozen=True, slots=True)
class _Counted:
    """A route with its pieces and supports, counted once."""

    route: Route
    pieces: RoutePieces
    supports: Supports


def take_off(wanted: Wanted, rules: TakeoffRules, steps: int = QUICK, studied: Iterable[RouteStudy] = ()) -> Takeoff:
    """The takeoff of everything wanted. ``steps`` limits the search for the shortest cut list (`cutting.THOROUGH`).

    ``studied`` routes are not walked again.

    Raises NotUnderstood, in words for the screen, for a circuit, joint, floor, pit or offcut that cannot be. Routes are
    never refused: `domain.routes.check_route` says what is wrong with one.
    """
    held = {id(study.route): study.supports for study in studied}
    made = [
        _Counted(route, route_pieces(route, rules), held.get(id(route)) or supports(route, rules.route))
        for route in wanted.routes
    ]
    pieces = [piece for one in made for piece in one.pieces.pieces]
    cuts = cut_pipe(pieces, rules, wanted.offcuts, steps)
    needs = merged(_needs(wanted, made, pieces, cuts, rules, steps))
    waste = {PIT_CLOSING: Decimal(0), **rules.waste_percent, **wanted.waste_percent}  # a bag a pit is whole
    lines = tuple(line_of(need, waste, wanted.overrides, wanted.packs) for need in needs)
    keys = {line.key for line in lines}
    return Takeoff(
        lines=lines,
        cuts=cuts,
        drivers=merged_drivers(_drivers(wanted, made, cuts, rules)),
        notes=tuple(_notes(wanted, made, cuts, rules)),
        unused_overrides={key: value for key, value in wanted.overrides.items() if key not in keys},
    )


def _needs(
    wanted: Wanted,
    made: Sequence[_Counted],
    pieces: Sequence[Piece],
    cuts: Sequence[PipeCuts],
    rules: TakeoffRules,
    steps: int,
) -> Iterator[Need]:
    yield from pipe_needs(cuts, pieces, rules)
    several = len(wanted.routes) > 1
    for one in made:
        for need in _route_needs(one, rules):
            yield replace(need, reason=f"{one.route.name or 'route'}: {need.reason}") if several else need
    yield from cement_needs(_joints_by_size(made, cuts), rules)
    yield from suction_needs(wanted.routes, wanted.pits)
    for circuit in wanted.circuits:
        yield from circuit_needs(circuit, rules, steps)
    for joint in wanted.joints:
        yield from seal_needs(joint, rules)
    for floor in wanted.floors:
        yield from membrane_needs(floor, rules, steps)
    if wanted.paint is not None:
        yield from paint_needs(wanted.routes, wanted.paint, rules)
    yield from (_extra(extra) for extra in wanted.extras)


def _route_needs(one: _Counted, rules: TakeoffRules) -> Iterable[Need]:
    route = one.route
    return (
        *fitting_needs(route),
        *cap_needs(route),
        *fire_needs(route),
        *support_needs(one.supports, rules.route),
        *fan_needs(route, rules),
        *label_needs(route, rules),
    )


def _joints_by_size(made: Iterable[_Counted], cuts: Iterable[PipeCuts]) -> dict[Decimal, int]:
    total: Counter[Decimal] = Counter(stick_joints(cuts))
    for one in made:
        for (size, _), number in one.pieces.joints.items():
            total[size] += number
    return dict(total)


def _extra(extra: Extra) -> Need:
    key = f"extra:{' '.join(extra.description.casefold().split())}:{extra.unit}"
    return Need(key, extra.item_class, extra.description, extra.quantity, extra.unit, extra.reason)


def _drivers(
    wanted: Wanted, made: Sequence[_Counted], cuts: Sequence[PipeCuts], rules: TakeoffRules
) -> Iterator[LabourDriver]:  # fmt: skip
    for route in wanted.removed:
        yield from removal_drivers(route)
    for one in made:
        yield from route_drivers(one.route, one.pieces.joints, one.supports)
    yield from stick_drivers([one.route for one in made], stick_joints(cuts))
    yield from suction_drivers(wanted.routes, wanted.pits, wanted.removed)
    yield from other_drivers(wanted.joints, wanted.floors, wanted.circuits)
    if wanted.paint is not None:
        feet = painted_sq_ft(wanted.routes, wanted.paint.spaces, rules)[1]
        if feet:
            words = f"{plain(feet)} ft of pipe, {counted(wanted.paint.coats, 'coat')}"
            yield LabourDriver("paint_ft", "", feet, "ft", words)


def _notes(wanted: Wanted, made: Sequence[_Counted], cuts: Sequence[PipeCuts], rules: TakeoffRules) -> Iterator[str]:
    yield from unnamed_notes(wanted.routes)
    yield from hole_notes(wanted.routes)
    for one in made:
        yield from one.pieces.too_short
    for cut in cuts:
        if not cut.plan.proven:
            yield (
                f"The cut list of {cut.size} in pipe is good but not proven the shortest: "
                f"{cut.plan.new_sticks} sticks, at least {cut.plan.at_least}."
            )
    yield from circuits_notes(wanted.circuits, rules.conduit)
