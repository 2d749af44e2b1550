"""What a route costs in pressure at a given flow: in all, with its band, and by leg and fitting.

Every figure is an estimate. Measured on the trade's own pipe and fittings (Brodhead and Saum, 1996 AARST, abstract
read), plastic pipe lost 9 to 23% less than reckoned and fittings from 53% less to 109% more. The band says so: pipe
from 0.77 of the figure up to the figure itself (none measured above it), everything else from 0.47 to 2.09 of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from domain.airflow.division import Division, Scatter, Split, divide
from domain.airflow.fittings import METHODS
from domain.airflow.network import Line, Network, Piece, network
from domain.airflow.pipe import (
    AIR_DENSITY,
    METRES_PER_FOOT,
    METRES_PER_INCH,
    METRES_SECOND_PER_FPM,
    PIPE_ROUGHNESS_M,
    Number,
    checked,
    plain_friction_factor,
    reynolds,
    velocity_fpm,
)
from domain.routes.route import FITTINGS, SPACES, SUCTION_POINTS, TURNS, Fitting, Leg, Part, Route, size_words

LEAST = Scatter(0.77, 0.47)
MOST = Scatter(1.0, 2.09)
"""Losses as measured for each pascal reckoned; source above."""


@dataclass(frozen=True, slots=True)
class LossItem:
    """What one leg, fitting, entrance or open end costs.

    ``index``: of the part in its run, -1 for the entrance, the number of parts for an open end nobody typed.
    ``share``: of the route's loss; those on the path that decides (``on_path``) add up to 1. ``pa`` can be below
    nothing where a wye or tee draws one stream along. ``taken_in``: the run that comes in at the side of a wye or
    tee, whose own loss there this is.
    """

    run: str
    index: int
    part: Part | None
    suction: str
    pa: float
    share: float
    flow_cfm: float
    speed_fpm: float
    basis: str
    is_pipe: bool
    on_path: bool
    taken_in: str = ""

    @property
    def low_pa(self) -> float:
        """The least it is likely to be, Pa."""
        return self.pa * LEAST.pipe if self.is_pipe else min(self.pa * LEAST.fittings, self.pa * MOST.fittings)

    @property
    def high_pa(self) -> float:
        """The most it is likely to be, Pa."""
        return self.pa * MOST.pipe if self.is_pipe else max(self.pa * LEAST.fittings, self.pa * MOST.fittings)

    @property
    def is_elbow(self) -> bool:
        """Whether it is an elbow of any angle."""
        return isinstance(self.part, Fitting) and self.part.kind in TURNS

    @property
    def words(self) -> str:
        """What it is, to be read: ``12.5 ft of 3 in pipe, crawl space``."""
        if self.part is None:
            entrance = f"entrance, {SUCTION_POINTS.get(self.suction, self.suction)}"
            return entrance if self.index < 0 else "open end of the pipe"
        size, space = size_words(self.part.size), SPACES.get(self.part.space, self.part.space)
        if isinstance(self.part, Leg):
            return f"{self.part.length_ft.normalize():f} ft of {size} pipe, {space}"
        joined = f", “{self.taken_in}” coming in" if self.taken_in else ""
        return f"{FITTINGS.get(self.part.kind, self.part.kind)} {size}, {space}{joined}"


@dataclass(frozen=True, slots=True)
class RouteLoss:
    """A route's loss at one flow. Pascals throughout; ``float(loss)`` is ``loss.pa``.

    ``pa`` is what the path that loses most costs from its suction point to the open air, the velocity pressure that
    leaves with the air included. ``flows`` has the cfm of every suction point.
    """

    route: str
    method: str
    flow_cfm: float
    pa: float
    low_pa: float
    high_pa: float
    items: tuple[LossItem, ...]
    flows: tuple[tuple[str, float], ...]

    def __float__(self) -> float:
        return self.pa

    @property
    def fastest(self) -> LossItem:
        """Where the air is fastest: a leg where there is one."""
        legs = [item for item in self.items if item.is_pipe] or list(self.items)
        return max(legs, key=lambda item: item.speed_fpm)

    @property
    def elbows(self) -> tuple[LossItem, ...]:
        """The elbows, each with what it costs."""
        return tuple(item for item in self.items if item.is_elbow)

    @property
    def method_words(self) -> str:
        """The method, to be read."""
        return METHODS[self.method]


def route_loss(
    route: Route, flow_cfm: Number, method: str = "coefficients", *, bore: str = "table", split: Split | None = None
) -> float:
    """Pascals a route loses at so many cfm at its discharge, from suction point to open air.

    ``method``: see `domain.airflow.fittings.METHODS`; ``bore``: see `domain.airflow.bores.BORES`; ``split``: shares
    by suction point, None to divide the air so that every suction point has the same suction. Where the shares
    differ from that, it is the loss of the path that loses most. Raises NotUnderstood for a route that cannot be
    followed, an unknown size or a negative flow, ValueError for an unknown method or bore.
    """
    return divide(network(route, method, bore), checked(flow_cfm, "flow", "cfm"), split).loss_pa


def route_losses(
    route: Route, flow_cfm: Number, method: str = "coefficients", *, bore: str = "table", split: Split | None = None
) -> RouteLoss:
    """As `route_loss`, with its band and by leg and fitting."""
    net = network(route, method, bore)
    return break_down(route, net, divide(net, checked(flow_cfm, "flow", "cfm"), split))


def break_down(route: Route, net: Network, division: Division) -> RouteLoss:
    """List every loss of a divided flow."""
    on_path = _path(net, division.worst)
    items: list[LossItem] = []
    for number, line in enumerate(net.lines):
        entered = on_path.get(number)
        suction = route.runs[number].suction
        for section, pieces in enumerate(line.pieces):
            flow = division.flows[number][section]
            deciding = entered is not None and section > entered
            per_foot: dict[float, tuple[float, float, float]] = {}
            for piece in pieces:
                items.append(_item(line.name, suction, piece, flow, deciding, division.loss_pa, per_foot))
            if section < len(line.joins):
                items.extend(_join_items(net, line, section, division, number, on_path, suction))
    deciding_items = [item for item in items if item.on_path]
    return RouteLoss(
        route.name,
        net.method,
        division.flow_cfm,
        division.loss_pa,
        sum(item.low_pa for item in deciding_items),
        sum(item.high_pa for item in deciding_items),
        tuple(items),
        tuple((line.name, flows[0]) for line, flows in zip(net.lines, division.flows, strict=True)),
    )


def _path(net: Network, start: int) -> dict[int, int]:
    """The lines of the path from a suction point on: by line, the junction behind which the path is in it (-1: all)."""
    taken_in = {join.side: (number, at) for number, line in enumerate(net.lines) for at, join in enumerate(line.joins)}
    path = {start: -1}
    number = start
    while number:
        number, at = taken_in[number]
        path[number] = at
    return path


def _item(
    run: str,
    suction: str,
    piece: Piece,
    flow: float,
    on_path: bool,
    whole: float,
    known: dict[float, tuple[float, float, float]],
) -> LossItem:
    """One piece; ``known`` keeps velocity pressure, loss a foot and speed of each bore of the section."""
    loss = piece.loss
    if loss.diameter_in not in known:
        known[loss.diameter_in] = _figures(loss.diameter_in, flow)
    pressure, per_foot, speed = known[loss.diameter_in]
    pa = per_foot * loss.length_ft + loss.coefficient * pressure
    share = pa / whole if whole else 0.0
    return LossItem(run, piece.index, piece.part, suction, pa, share, flow, speed, loss.basis, piece.is_pipe, on_path)


def _figures(diameter_in: float, flow: float) -> tuple[float, float, float]:
    """Velocity pressure in Pa, Pa lost in a foot of pipe, and speed in fpm."""
    if not flow:
        return 0.0, 0.0, 0.0
    speed = velocity_fpm(flow, diameter_in)
    metres = diameter_in * METRES_PER_INCH
    pressure = AIR_DENSITY * (speed * METRES_SECOND_PER_FPM) ** 2 / 2
    factor = plain_friction_factor(reynolds(flow, diameter_in), PIPE_ROUGHNESS_M / metres)
    return pressure, factor * METRES_PER_FOOT / metres * pressure, speed


def _join_items(
    net: Network, line: Line, at: int, division: Division, number: int, on_path: dict[int, int], suction: str
) -> list[LossItem]:
    """A wye or tee twice: what it costs the run itself, and what the run it takes in."""
    join = line.joins[at]
    side = net.lines[join.side].name
    flow = division.flows[number][at + 1]
    pressure = join.vp_cfm * flow * flow
    whole, speed = division.loss_pa, velocity_fpm(flow, join.joined_in)
    entered = on_path.get(number)
    deciding = (entered is not None and at > entered, join.side in on_path)
    items = []
    for own, is_side in zip(division.coefficients[number][at], (False, True), strict=True):
        pa = own * pressure
        share = pa / whole if whole else 0.0
        basis, taken = f"{own:.3g} velocity pressures", side if is_side else ""
        where = (line.name, join.index, join.part, suction)
        items.append(LossItem(*where, pa, share, flow, speed, basis, False, deciding[is_side], taken))
    return items
