"""The air of one job: the fan on the route as found and on the one proposed, with what was measured on site."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from domain.airflow import (
    AirLimits,
    Comparison,
    ElbowCost,
    FanCurve,
    OperatingPoint,
    SiteReading,
    TestHole,
    UnderSlab,
    asked_for,
    compare,
    elbow_costs,
    operating_point,
    under_slab,
)
from domain.errors import NotUnderstood
from domain.job_takeoff.records import FLOW, SUCTION, AirPlan, ReadingRow
from domain.routes import Route

Line = tuple[tuple[float, float], ...]
"""Points (cfm, Pa)."""


@dataclass(frozen=True, slots=True)
class AirCase:
    """One route with the fan: where they come to rest, what each elbow costs, the line to plot."""

    route: Route
    point: OperatingPoint
    notes: tuple[str, ...]
    asked: Line


@dataclass(frozen=True, slots=True)
class JobAir:
    """Found and proposed beside each other; ``problem`` says in words why there is nothing to show."""

    curve: FanCurve | None
    found: AirCase | None = None
    proposed: AirCase | None = None
    comparison: Comparison | None = None
    measured: bool = False  # what the ground asks for follows from readings on site
    problem: str = ""
    wanted_pa: float = 0.0

    @property
    def cases(self) -> tuple[AirCase, ...]:
        """The cases there are, as found first."""
        return tuple(case for case in (self.found, self.proposed) if case is not None)

    @property
    def most_cfm(self) -> float:
        """How far the plot goes to the right."""
        return self.curve.last_cfm if self.curve is not None else 0.0


def site_readings(rows: Iterable[ReadingRow]) -> tuple[SiteReading, ...]:
    """Each flow that was read with the suction at the fan, and what the test holes showed that day.

    Raises NotUnderstood, naming the place, where a hole shows more suction than the fan.
    """
    rows = tuple(rows)
    holes: dict[date, list[TestHole]] = {}
    for row in rows:
        if row.kind == SUCTION:
            holes.setdefault(row.read_on, []).append(TestHole(row.place or "a test hole", float(row.value)))
    return tuple(
        SiteReading(float(row.value), float(row.at_suction), tuple(holes.get(row.read_on, ())))
        for row in rows
        if row.kind == FLOW and row.at_suction is not None
    )


def job_air(
    found: Route | None, proposed: Route | None, curve: FanCurve | None, plan: AirPlan, readings: Sequence[ReadingRow],
    limits: AirLimits,
) -> JobAir:  # fmt: skip
    """Reckon both routes with the fan of the plan. Never raises: what is missing or wrong is said in ``problem``."""
    if curve is None:
        return JobAir(None, problem="Choose a fan, or type the points of its sheet.")
    if found is None and proposed is None:
        return JobAir(curve, problem="Type a route first: the air follows from it.")
    try:
        return _job_air(found, proposed, curve, plan, readings, limits)
    except NotUnderstood as problem:
        return JobAir(curve, problem=str(problem))


def _job_air(
    found: Route | None, proposed: Route | None, curve: FanCurve, plan: AirPlan, readings: Sequence[ReadingRow],
    limits: AirLimits,
) -> JobAir:  # fmt: skip
    measured = site_readings(readings)
    points = len((found or proposed or Route("", "", ())).runs)
    site = under_slab(measured, points=max(1, points)) if measured else None
    suction, method = float(plan.suction_wanted), plan.loss_method
    comparison = None
    if found is not None and proposed is not None:
        comparison = compare(found, proposed, curve, suction, method, site=site)

    def case(route: Route | None, point: OperatingPoint | None) -> AirCase | None:
        if route is None:
            return None
        point = point or operating_point(curve, route, suction, method, site=site)
        return AirCase(
            route, point, point.notes(limits), asked_for(route, curve.last_cfm, suction, method, site=site)
        )

    return JobAir(
        curve, case(found, comparison.found if comparison else None),
        case(proposed, comparison.proposed if comparison else None), comparison, site is not None, "", suction,
    )  # fmt: skip


def elbows_of(route: Route, curve: FanCurve, plan: AirPlan, readings: Sequence[ReadingRow]) -> tuple[ElbowCost, ...]:
    """What each elbow of a route costs, the dearest first; none where it cannot be reckoned."""
    try:
        measured = site_readings(readings)
        site: UnderSlab | None = under_slab(measured, points=max(1, len(route.runs))) if measured else None
        return elbow_costs(curve, route, float(plan.suction_wanted), plan.loss_method, site=site)
    except NotUnderstood:
        return ()
