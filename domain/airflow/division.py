"""How much air comes from each suction point, and what every path loses on its way.

Balanced: followed from the main run's own suction point on. Where it takes in another run, that run's flow is the one
that loses as much up to the junction; so one search a junction, and one for the whole when the total is given.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.airflow.junctions import branch_coefficient, run_coefficient
from domain.airflow.network import Join, Network
from domain.airflow.pipe import SMALLEST, checked
from domain.airflow.roots import crossing, crossing_near
from domain.errors import NotUnderstood

Split = Mapping[str, float]
"""Shares of the air by the name of the run; any positive numbers, only their proportion counts."""


@dataclass(frozen=True, slots=True)
class Scatter:
    """What measured losses came to for each pascal reckoned, in pipe and in fittings."""

    pipe: float = 1.0
    fittings: float = 1.0


AS_RECKONED = Scatter()


@dataclass(frozen=True, slots=True)
class Division:
    """Flows in cfm and losses in Pa.

    ``flows[line][section]``; ``coefficients[line][join]``: of the run itself and of the one taken in;
    ``loss_pa``: of the path that loses most (balanced: of every path); ``worst``: the line that path begins on.
    """

    flows: tuple[tuple[float, ...], ...]
    coefficients: tuple[tuple[tuple[float, float], ...], ...]
    loss_pa: float
    worst: int = 0

    @property
    def flow_cfm(self) -> float:
        """What leaves at the discharge."""
        return self.flows[0][-1]


def join_coefficients(join: Join, run_cfm: float, side_cfm: float) -> tuple[float, float]:
    """Velocity pressures of the joined stream lost by the run itself, and by the one it takes in."""
    total = run_cfm + side_cfm
    if not total:
        return 0.0, 0.0
    branch_cfm = run_cfm if join.turned else side_cfm
    share = branch_cfm / total
    branch = branch_coefficient(share, join.bore_ratio, join.angle)
    straight = run_coefficient(share, join.bore_ratio, join.angle)
    return (branch, straight) if join.turned else (straight, branch)


class Balance:
    """Follows the air through a network whose suction points all have the same suction."""

    def __init__(self, net: Network, scatter: Scatter = AS_RECKONED, near: Division | None = None) -> None:
        self.net, self.scatter = net, scatter
        self._ratios = {} if near is None else _ratios(net, near)  # last answers: where the next search begins

    def loss(self, number: int, section: int, flow_cfm: float) -> float:
        """Pascals lost in a section of a line."""
        pipe, fittings = self.net.lines[number].loss(section, flow_cfm)
        return pipe * self.scatter.pipe + fittings * self.scatter.fittings

    def follow(self, number: int, suction_cfm: float) -> tuple[float, float]:
        """Flow at the end of a line, and Pa lost up to there, when so much enters at its own suction point."""
        flow, lost = suction_cfm, self.loss(number, 0, suction_cfm)
        for at, join in enumerate(self.net.lines[number].joins):
            side = self.side(number, at, flow, lost)
            pressure = join.vp_cfm * (flow + side) ** 2 * self.scatter.fittings
            lost += join_coefficients(join, flow, side)[0] * pressure
            flow += side
            lost += self.loss(number, at + 1, flow)
        return flow, lost

    def side(self, number: int, at: int, flow: float, lost: float) -> float:
        """Flow that the run taken in brings, when the taking run brings ``flow`` and has lost ``lost`` Pa."""
        return self.follow(self.net.lines[number].joins[at].side, self.side_suction(number, at, flow, lost))[0]

    def side_suction(self, number: int, at: int, flow: float, lost: float) -> float:
        """As `side`, but the flow that enters at the taken run's own suction point."""
        join = self.net.lines[number].joins[at]
        if not flow:
            return 0.0

        def surplus(suction_cfm: float) -> float:
            side, side_lost = self.follow(join.side, suction_cfm) if suction_cfm else (0.0, 0.0)
            own, other = join_coefficients(join, flow, side)
            pressure = join.vp_cfm * (flow + side) ** 2 * self.scatter.fittings
            return side_lost + other * pressure - lost - own * pressure

        known = self._ratios.get((number, at))
        guess, width = (flow, 0.5) if known is None else (flow * known, 0.01)
        found = crossing_near(surplus, guess, width, flow * 1e6)
        if found is None:
            raise NotUnderstood("One suction point has no pipe to speak of. Check its legs.")
        self._ratios[number, at] = found / flow
        return found

    def suction_for(self, total_cfm: float) -> float:
        """What enters at the main suction point when so much leaves at the discharge."""
        if not self.net.lines[0].joins or not total_cfm:
            return total_cfm
        return crossing(lambda own: self.follow(0, own)[0] - total_cfm, 0.0, total_cfm, -total_cfm)

    def division(self, suction_cfm: float) -> Division:
        """Every flow and loss, when so much enters at the main suction point."""
        flows: dict[int, tuple[float, ...]] = {}
        coefficients: dict[int, tuple[tuple[float, float], ...]] = {}
        loss = self._record(0, suction_cfm, flows, coefficients)[1]
        order = range(len(self.net.lines))
        return Division(tuple(flows[each] for each in order), tuple(coefficients[each] for each in order), loss)

    def _record(
        self,
        number: int,
        suction_cfm: float,
        flows: dict[int, tuple[float, ...]],
        coefficients: dict[int, tuple[tuple[float, float], ...]],
    ) -> tuple[float, float]:
        flow, lost = suction_cfm, self.loss(number, 0, suction_cfm)
        passed, own = [flow], []
        for at, join in enumerate(self.net.lines[number].joins):
            side = self._record(join.side, self.side_suction(number, at, flow, lost), flows, coefficients)[0]
            both = join_coefficients(join, flow, side)
            own.append(both)
            flow += side
            lost += both[0] * join.vp_cfm * flow * flow * self.scatter.fittings + self.loss(number, at + 1, flow)
            passed.append(flow)
        flows[number], coefficients[number] = tuple(passed), tuple(own)
        return flow, lost


def _ratios(net: Network, division: Division) -> dict[tuple[int, int], float]:
    """By line and join: the flow that enters the run taken in, over the flow of the taking run there."""
    flows = division.flows
    return {
        (number, at): flows[join.side][0] / flows[number][at]
        for number, line in enumerate(net.lines)
        for at, join in enumerate(line.joins)
        if flows[number][at] and flows[join.side][0]
    }


def divide(net: Network, total_cfm: float, split: Split | None = None, scatter: Scatter = AS_RECKONED) -> Division:
    """Divide a flow in cfm among the suction points: balanced, or by the shares given.

    Raises NotUnderstood for a flow below nothing and for shares that do not name every suction point.
    """
    total = checked(total_cfm, "flow", "cfm")
    total = 0.0 if total < SMALLEST else total
    if split is not None:
        return _divide_by_shares(net, total, split, scatter)
    balance = Balance(net, scatter)
    return balance.division(balance.suction_for(total))


def _divide_by_shares(net: Network, total: float, split: Split, scatter: Scatter) -> Division:
    for name in split:
        net.number(name)
    shares = [checked(split.get(line.name, 0.0), f"share of “{line.name}”", above_zero=True) for line in net.lines]
    suction = [total * share / sum(shares) for share in shares]
    balance = Balance(net, scatter)
    flows: dict[int, tuple[float, ...]] = {}
    coefficients: dict[int, tuple[tuple[float, float], ...]] = {}

    def record(number: int) -> tuple[float, dict[int, float]]:
        """Flow at the end of a line, and what each suction point that feeds it has lost by then."""
        flow = suction[number]
        lost = {number: balance.loss(number, 0, flow)}
        passed, own = [flow], []
        for at, join in enumerate(net.lines[number].joins):
            side, side_lost = record(join.side)
            both = join_coefficients(join, flow, side)
            own.append(both)
            flow += side
            pressure = join.vp_cfm * flow * flow * scatter.fittings
            along = balance.loss(number, at + 1, flow)
            lost = {each: pa + both[0] * pressure + along for each, pa in lost.items()} | {
                each: pa + both[1] * pressure + along for each, pa in side_lost.items()
            }
            passed.append(flow)
        flows[number], coefficients[number] = tuple(passed), tuple(own)
        return flow, lost

    losses = record(0)[1]
    worst = max(losses, key=lambda number: losses[number])
    order = range(len(net.lines))
    return Division(
        tuple(flows[each] for each in order), tuple(coefficients[each] for each in order), losses[worst], worst
    )
