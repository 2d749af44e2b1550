"""Where a fan and a route come to rest: the flow at which the fan gives what pipe and ground together ask for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypedDict, Unpack

from domain.airflow.division import AS_RECKONED, Balance, Division, Scatter, Split, divide
from domain.airflow.fan_curve import FanCurve
from domain.airflow.limits import AirLimits, limit_notes
from domain.airflow.loss import LEAST, MOST, LossItem, RouteLoss, break_down
from domain.airflow.network import Network, network
from domain.airflow.pipe import Number, checked, inwc_from_pa
from domain.airflow.roots import crossing_near
from domain.airflow.site import SiteReading, UnderSlab
from domain.routes.route import Route


class How(TypedDict, total=False):
    """How route and ground are reckoned: bore of the pipe, a split of the air that is given, ground as measured."""

    bore: str
    split: Split | None
    site: UnderSlab | None


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """Flows in cfm, pressures in Pa; an estimate unless ``measured``.

    ``low_cfm`` and ``high_cfm``: the flow if the losses are at the ends of their band. ``fan_pa``: what the fan
    gives there. ``below_pa``: the suction left at the suction point. ``too_weak``: the fan cannot give the suction
    wanted even at no flow. ``past_sheet``: the flow lies beyond the last point of the fan's sheet; what is shown is
    that point.
    """

    flow_cfm: float
    low_cfm: float
    high_cfm: float
    fan_pa: float
    below_pa: float
    wanted_pa: float
    losses: RouteLoss
    too_weak: bool = False
    past_sheet: bool = False
    measured: bool = False

    @property
    def speed_fpm(self) -> float:
        """The speed of the air where it is fastest."""
        return self.losses.fastest.speed_fpm

    def is_noisy(self, limits: AirLimits) -> bool:
        """Whether the air can be heard."""
        return self.speed_fpm > limits.noise_fpm

    def is_too_fast(self, limits: AirLimits) -> bool:
        """Whether it goes faster than the standard says to stay under."""
        return self.speed_fpm > limits.most_fpm

    def notes(self, limits: AirLimits) -> tuple[str, ...]:
        """Sentences for the screen about what is not as it should be; none when all is well."""
        notes: list[str] = []
        below, wanted = _inches(self.below_pa), _inches(self.wanted_pa)
        if self.too_weak:
            return (f"This fan gives {below} at most, and {wanted} is wanted.",)
        if self.past_sheet:
            notes.append(
                f"The fan moves {self.flow_cfm:.0f} cfm or more, past the end of its sheet. Add its next points."
            )
        if self.below_pa < self.wanted_pa * 0.995:
            notes.append(f"About {below} at the suction point, less than the {wanted} wanted.")
        return (*notes, *limit_notes(self.losses, limits))


@dataclass(frozen=True, slots=True)
class ElbowCost:
    """What one elbow costs: Pa at the operating point, and cfm that would pass more if it were straight pipe."""

    item: LossItem
    pa: float
    cfm: float


def operating_point(
    curve: FanCurve,
    route: Route,
    suction_wanted_pa: Number,
    method: str = "coefficients",
    **how: Unpack[How],
) -> OperatingPoint:
    """The flow at which the fan's pressure equals the route's loss plus the suction below the slab.

    That suction is the one wanted (Pa), or, where ``site`` was measured, what the ground asks for at each flow; the
    wanted one is then only compared with it. ``method``, ``bore``, ``split``: see `domain.airflow.loss.route_loss`.
    Raises NotUnderstood as there, and for a suction below nothing.
    """
    asked = _asked(route, suction_wanted_pa, method, **how)
    division, past_sheet = asked.rest(curve)
    low = asked.rest(curve, MOST, division)[0].flow_cfm
    high = asked.rest(curve, LEAST, division)[0].flow_cfm
    flow = division.flow_cfm
    return OperatingPoint(
        flow,
        low,
        high,
        curve.pressure_pa(flow),
        asked.demand(flow) if flow else curve.highest_pa,
        asked.wanted_pa,
        break_down(route, asked.net, division),
        too_weak=not flow,
        past_sheet=past_sheet,
    )


def flow_at_rest(
    curve: FanCurve,
    route: Route,
    suction_wanted_pa: Number,
    method: str = "coefficients",
    *,
    scatter: Scatter = AS_RECKONED,
    **how: Unpack[How],
) -> float:
    """The flow alone, cfm, with every loss at one place of its band; arguments as for `operating_point`."""
    return _asked(route, suction_wanted_pa, method, **how).rest(curve, scatter)[0].flow_cfm


def loss_at(
    route: Route,
    flow_cfm: Number,
    method: str = "coefficients",
    *,
    bore: str = "table",
    split: Split | None = None,
    scatter: Scatter = AS_RECKONED,
) -> float:
    """What a route loses at a flow, Pa, with every loss at one place of its band."""
    return divide(network(route, method, bore), checked(flow_cfm, "flow", "cfm"), split, scatter).loss_pa


def measured_point(
    curve: FanCurve,
    route: Route,
    reading: SiteReading,
    suction_wanted_pa: Number = 0.0,
    method: str = "coefficients",
    *,
    bore: str = "table",
    split: Split | None = None,
) -> OperatingPoint:
    """The point at which a fan was found to run: flow and suction as measured, the losses of the parts reckoned."""
    net = network(route, method, bore)
    flow = reading.flow_cfm
    losses = break_down(route, net, divide(net, flow, split))
    wanted = checked(suction_wanted_pa, "suction wanted", "Pa")
    fan_pa = curve.pressure_pa(flow)
    return OperatingPoint(flow, flow, flow, fan_pa, reading.suction_pa, wanted, losses, measured=True)


def elbow_costs(
    curve: FanCurve,
    route: Route,
    suction_wanted_pa: Number,
    method: str = "coefficients",
    **how: Unpack[How],
) -> tuple[ElbowCost, ...]:
    """What every elbow of a route costs, the dearest first; arguments as for `operating_point`.

    The cfm come from reckoning the route again without that one elbow, once for each kind, size and place alike.
    """
    asked = _asked(route, suction_wanted_pa, method, **how)
    net, bore = asked.net, how.get("bore", "table")
    division = asked.rest(curve)[0]
    known: dict[tuple[str, float, float], float] = {}
    costs: list[ElbowCost] = []
    for item in break_down(route, net, division).elbows:
        alike = (item.run, item.flow_cfm, item.pa)
        if alike not in known:
            without = network(route, method, bore, frozenset({(net.number(item.run), item.index)}))
            rest = replace(asked, net=without).rest(curve, AS_RECKONED, division)[0]
            known[alike] = rest.flow_cfm - division.flow_cfm
        costs.append(ElbowCost(item, item.pa, known[alike]))
    return tuple(sorted(costs, key=lambda cost: -cost.pa))


def asked_for(
    route: Route,
    most_cfm: Number,
    suction_wanted_pa: Number,
    method: str = "coefficients",
    *,
    steps: int = 30,
    **how: Unpack[How],
) -> tuple[tuple[float, float], ...]:
    """Points (cfm, Pa) of what route and ground ask for, from no flow on: the line to draw against a fan's curve."""
    most = checked(most_cfm, "flow", "cfm")
    asked = _asked(route, suction_wanted_pa, method, **how)
    flows = [most * step / steps for step in range(steps + 1)]
    return tuple((flow, divide(asked.net, flow, asked.split).loss_pa + asked.demand(flow)) for flow in flows)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What route and ground ask of a fan. ``demand``: suction in Pa at the suction points by the flow in cfm."""

    net: Network
    wanted_pa: float
    demand: Callable[[float], float]
    split: Split | None

    def rest(
        self, curve: FanCurve, scatter: Scatter = AS_RECKONED, near: Division | None = None
    ) -> tuple[Division, bool]:  # fmt: skip
        """The division of the air where fan and route agree, and whether that lies past the fan's sheet.

        ``near``: an answer that will not be far off, to begin from.
        """
        net, demand, split = self.net, self.demand, self.split
        balance = Balance(net, scatter, near)

        def follow(entering: float) -> tuple[float, float]:
            if split is None:
                return balance.follow(0, entering)
            return entering, divide(net, entering, split, scatter).loss_pa

        def short(entering: float) -> float:
            flow, lost = follow(entering)
            return demand(flow) + lost - curve.pressure_pa(flow)

        def divided(entering: float) -> Division:
            return balance.division(entering) if split is None else divide(net, entering, split, scatter)

        if curve.highest_pa <= demand(0.0):
            return divide(net, 0.0, split, scatter), False
        begin = near.flows[0][0 if split is None else -1] if near is not None else 0.0
        guess, width = (begin, 0.1) if begin else (curve.last_cfm / 2 / (1 if split else len(net.lines)), 0.5)
        entering = crossing_near(short, guess, width, curve.last_cfm)
        if entering is not None:
            found = divided(entering)
            if found.flow_cfm <= curve.last_cfm * (1 + 1e-9):
                return found, False
        return divide(net, curve.last_cfm, split, scatter), True


def _asked(
    route: Route, suction_wanted_pa: Number, method: str = "coefficients", *, bore: str = "table",
    split: Split | None = None, site: UnderSlab | None = None,
) -> _Asked:  # fmt: skip
    """The suction wanted, or, where the ground was measured, what it asks for at each flow. Raises NotUnderstood."""
    wanted = checked(suction_wanted_pa, "suction wanted", "Pa")
    demand = (lambda _: wanted) if site is None else site.with_points(max(1, len(route.runs))).suction_pa
    return _Asked(network(route, method, bore), wanted, demand, split)


def _inches(pascals: float) -> str:
    return f"{inwc_from_pa(pascals):.2f} inWC ({pascals:.0f} Pa)"
