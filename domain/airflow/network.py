"""A route made ready for reckoning: stretches of pipe between junctions, and how the air divides among the runs.

Each run is cut at its wyes and tees. Between two cuts the flow is the same, so all pipe and fittings of one bore come
down to three numbers: feet of pipe, feet that stand for fittings, velocity pressures. That keeps a keystroke fast
however many legs a route has.

Two ways for the air to divide: **balanced**, so that every suction point has the same suction (each path from a
suction point to the discharge loses the same), or by shares that the owner gives, as after setting valves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from domain.airflow.bores import inside_diameter_in
from domain.airflow.fittings import EXIT, FittingLoss, check_method, entrance_coefficient, fitting_loss
from domain.airflow.junctions import TEE_ANGLE, WYE_ANGLE
from domain.airflow.pipe import (
    AIR_DENSITY,
    AIR_VISCOSITY,
    CFM_PER_CUBIC_METRE_SECOND,
    METRES_PER_FOOT,
    METRES_PER_INCH,
    PIPE_ROUGHNESS_M,
    checked,
    plain_friction_factor,
)
from domain.errors import NotUnderstood
from domain.routes.route import JUNCTIONS, Fitting, Leg, Part, Route, Run

_AREA_PER_SQUARE_INCH = 3.141592653589793 / 4 * METRES_PER_INCH**2


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing the air goes through: a leg, a fitting, the entrance ("in") or the open end ("out")."""

    index: int  # of the part in its run; -1 entrance, number of parts for the open end
    part: Part | None
    loss: FittingLoss
    is_pipe: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """All of one bore between two junctions."""

    diameter_in: float
    pipe_ft: float
    fitting_ft: float
    coefficient: float
    per_cfm: float  # Reynolds number at 1 cfm
    vp_cfm: float  # velocity pressure in Pa at 1 cfm
    roughness: float

    def loss(self, flow_cfm: float) -> tuple[float, float]:
        """Pascals lost in the pipe, and in the fittings."""
        if not flow_cfm:
            return 0.0, 0.0
        pressure = self.vp_cfm * flow_cfm * flow_cfm
        factor = plain_friction_factor(self.per_cfm * flow_cfm, self.roughness)
        per_foot = factor * METRES_PER_FOOT / (self.diameter_in * METRES_PER_INCH) * pressure
        return per_foot * self.pipe_ft, per_foot * self.fitting_ft + self.coefficient * pressure


@dataclass(frozen=True, slots=True)
class Join:
    """Where a run takes another in. Bores in inches; ``turned``: the run itself comes in through the branch."""

    index: int
    part: Fitting
    side: int  # number of the run taken in
    angle: int
    bore_ratio: float  # branch over joined
    joined_in: float
    vp_cfm: float  # velocity pressure of the joined stream at 1 cfm
    turned: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One run, cut at its junctions: one section more than joins."""

    name: str
    sections: tuple[tuple[Stretch, ...], ...]
    pieces: tuple[tuple[Piece, ...], ...]
    joins: tuple[Join, ...]

    def loss(self, section: int, flow_cfm: float) -> tuple[float, float]:
        """Pascals lost in a section: pipe, fittings."""
        pipe = fittings = 0.0
        for stretch in self.sections[section]:
            in_pipe, in_fittings = stretch.loss(flow_cfm)
            pipe += in_pipe
            fittings += in_fittings
        return pipe, fittings


@dataclass(frozen=True, slots=True)
class Network:
    """A route's lines in the order of its runs; the first ends in the open."""

    lines: tuple[Line, ...]
    method: str
    bore: str

    def number(self, name: str) -> int:
        """Which line has this name; NotUnderstood for none."""
        for at, line in enumerate(self.lines):
            if line.name == name:
                return at
        raise NotUnderstood(f"There is no suction point “{name}” on this route.", name)


@lru_cache(maxsize=32)  # as found and proposed are asked about again and again while one of them is typed
def network(
    route: Route, method: str = "coefficients", bore: str = "table", without: frozenset[tuple[int, int]] = frozenset()
) -> Network:
    """Make a route ready. ``without``: (run number, part index) of fittings to leave out, to see what they cost.

    Raises NotUnderstood where the route cannot be followed: nothing in it, a run that joins nothing, is joined twice
    or leads back into itself, a size that is not known; ValueError for an unknown method or bore.
    """
    check_method(method)
    if not route.runs or not route.runs[0].parts:
        raise NotUnderstood("There is no pipe on this route yet. Add the first leg.")
    bare = next((run.name for run in route.runs if not run.parts), None)
    if bare is not None:
        raise NotUnderstood(f"There is no pipe from suction point “{bare}” yet. Add its first leg.", bare)
    numbers = {run.name: at for at, run in enumerate(route.runs)}
    _check_joins(route.runs, numbers)
    lines = tuple(
        _line(run, at, numbers, method, bore, frozenset(index for number, index in without if number == at))
        for at, run in enumerate(route.runs)
    )
    return Network(lines, method, bore)


def _check_joins(runs: Sequence[Run], numbers: Mapping[str, int]) -> None:
    """Every run but the first is taken in exactly once, by a run that does not come out of it."""
    if len(numbers) != len(runs):
        raise NotUnderstood("Two suction points have the same name. Give each its own.")
    taken_by: dict[int, int] = {}
    for at, run in enumerate(runs):
        for fitting in run.fittings:
            if fitting.kind not in JUNCTIONS or not fitting.joins:
                continue
            side = numbers.get(fitting.joins)
            if side is None:
                raise NotUnderstood(
                    f"The {fitting.kind} takes in “{fitting.joins}”, but no suction point has that name.", fitting.joins
                )
            if side in taken_by or not side:
                where = "ends at the discharge" if not side else "is already taken in elsewhere"
                raise NotUnderstood(f"“{fitting.joins}” {where}, so it cannot join here too.", fitting.joins)
            taken_by[side] = at
    for at, run in enumerate(runs[1:], 1):
        seen = {at}
        while at:
            if at not in taken_by:
                raise NotUnderstood(
                    f"“{run.name}” leads nowhere yet. Join it to another run with a wye or tee.", run.name
                )
            at = taken_by[at]
            if at in seen:
                raise NotUnderstood(f"“{run.name}” leads back into itself. Check which wye or tee it joins.", run.name)
            seen.add(at)


def _line(run: Run, number: int, numbers: Mapping[str, int], method: str, bore: str, without: frozenset[int]) -> Line:
    """Cut one run at its junctions and sum what lies between."""
    cuts: list[list[Piece]] = [[]]
    joins: list[Join] = []
    entrance = entrance_coefficient(run.suction)
    first = inside_diameter_in(run.parts[0].size, bore)
    cuts[0].append(Piece(-1, None, FittingLoss(first, entrance, basis=f"{entrance:g} velocity pressures")))
    for index, part in enumerate(run.parts):
        if isinstance(part, Leg):
            feet = checked(_feet_of(part), "length of a leg", "ft")
            cuts[-1].append(Piece(index, part, FittingLoss(inside_diameter_in(part.size, bore), length_ft=feet), True))
        elif part.kind in JUNCTIONS and part.joins:
            joins.append(_join(part, index, numbers[part.joins], bore))
            cuts.append([])
        elif index not in without:
            cuts[-1].append(Piece(index, part, fitting_loss(part, method, bore)))
    if not number and not (isinstance(run.parts[-1], Fitting) and run.parts[-1].kind == "discharge"):
        last = inside_diameter_in(run.last_size or run.parts[-1].size, bore)
        cuts[-1].append(Piece(len(run.parts), None, FittingLoss(last, EXIT, basis="one velocity pressure")))
    return Line(run.name, tuple(_stretches(cut) for cut in cuts), tuple(tuple(cut) for cut in cuts), tuple(joins))


def _feet_of(leg: Leg) -> float:
    """Feet along the pipe; where the slope is left to the standard's minimum it adds less than 0.01%: left out."""
    rise = float(leg.rise_in_per_ft or 0) / 12
    length = float(leg.length_ft)
    return length * float((1 + rise * rise) ** 0.5) if rise and leg.is_level else length


def _join(part: Fitting, index: int, side: int, bore: str) -> Join:
    run_in = inside_diameter_in(part.size, bore)
    joined_in = inside_diameter_in(part.size_after, bore)
    side_in = run_in if part.side_size is None else inside_diameter_in(part.side_size, bore)
    branch_in = run_in if part.turned else side_in
    angle = WYE_ANGLE if part.kind == "wye" else TEE_ANGLE
    return Join(index, part, side, angle, branch_in / joined_in, joined_in, _vp_at_one_cfm(joined_in), part.turned)


def _stretches(pieces: Sequence[Piece]) -> tuple[Stretch, ...]:
    sums: dict[float, list[float]] = {}
    for piece in pieces:
        total = sums.setdefault(piece.loss.diameter_in, [0.0, 0.0, 0.0])
        total[0 if piece.is_pipe else 1] += piece.loss.length_ft
        total[2] += piece.loss.coefficient
    return tuple(stretch(diameter, *total) for diameter, total in sums.items())


def stretch(diameter_in: float, pipe_ft: float, fitting_ft: float = 0.0, coefficient: float = 0.0) -> Stretch:
    """A stretch of one bore (inches, feet, velocity pressures)."""
    metres = diameter_in * METRES_PER_INCH
    speed = 1 / CFM_PER_CUBIC_METRE_SECOND / (_AREA_PER_SQUARE_INCH * diameter_in * diameter_in)
    per_cfm = AIR_DENSITY * speed * metres / AIR_VISCOSITY
    return Stretch(
        diameter_in, pipe_ft, fitting_ft, coefficient, per_cfm, _vp_at_one_cfm(diameter_in), PIPE_ROUGHNESS_M / metres
    )


def _vp_at_one_cfm(diameter_in: float) -> float:
    speed = 1 / CFM_PER_CUBIC_METRE_SECOND / (_AREA_PER_SQUARE_INCH * diameter_in * diameter_in)
    return AIR_DENSITY * speed * speed / 2
