"""The air of one job: the fan on the route as found and on the one proposed, with what was measured on site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.airflow import (
    AirLimits,
    Comparison,
    ElbowCost,
    FanCurve,
    OperatingPoint,
    SiteReading,
    UnderSlab,
    as_read,
    asked_for,
    compare,
    elbow_costs,
    ground_through,
    measured_point,
    operating_point,
)
from domain.errors import NotUnderstood
from domain.job_takeoff.measured import Measured, measured, weakest_hole
from domain.job_takeoff.no_air import no_air, water_note
from domain.job_takeoff.records import AirPlan, ReadingRow
from domain.routes import Route, RouteRules
from domain.units import format_whole_percent

LITTLE, MUCH = 0.75, 1.2
"""A fan that gives less or more of its sheet than this is worth a look (ours, no source)."""

Line = tuple[tuple[float, float], ...]
"""Points (cfm, Pa)."""


@dataclass(frozen=True, slots=True)
class AirCase:
    """One route with the fan: where they come to rest, what each elbow costs, the line to plot."""

    route: Route
    fan: FanCurve
    point: OperatingPoint
    notes: tuple[str, ...]
    asked: Line
    weakest: tuple[str, float] | None = None  # the test hole with the least suction, Pa there: in proportion


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
    method: str = "coefficients"
    site: UnderSlab | None = None
    notes: tuple[str, ...] = ()  # about readings that could not be used

    @property
    def cases(self) -> tuple[AirCase, ...]:
        """The cases there are, as found first."""
        return tuple(case for case in (self.found, self.proposed) if case is not None)

    @property
    def most_cfm(self) -> float:
        """How far the plot goes to the right."""
        return max((fan.last_cfm for fan in self.fans), default=0.0)

    @property
    def fans(self) -> tuple[FanCurve, ...]:
        """The fan planned, and the present one where that is another."""
        present = self.found.fan if self.found is not None else None
        others = (present,) if present is not None and present != self.curve else ()
        return (self.curve, *others) if self.curve is not None else ()


def job_air(
    found: Route | None, proposed: Route | None, curve: FanCurve | None, plan: AirPlan, readings: Sequence[ReadingRow],
    limits: AirLimits, present: FanCurve | None = None, *, rules: RouteRules | None = None,
) -> JobAir:  # fmt: skip
    """Reckon both routes with the fan of the plan. Never raises: what is missing or wrong is said in ``problem``.

    A route without a fan, or one that standing water closes, gets no figures; ``notes`` say why.
    ``present``: the fan on the route as found, where it is another one than is planned. ``rules``: how a pipe falls,
    without which no water is looked for.
    """
    if curve is None:
        return JobAir(None, problem="Choose a fan, or type the points of its sheet.")
    if found is None and proposed is None:
        return JobAir(curve, problem="Type a route first: the air follows from it.")
    try:
        return _job_air(found, proposed, curve, plan, readings, limits, present or curve, rules)
    except NotUnderstood as problem:
        return JobAir(curve, problem=str(problem))


def _job_air(
    found: Route | None, proposed: Route | None, curve: FanCurve, plan: AirPlan, readings: Sequence[ReadingRow],
    limits: AirLimits, present: FanCurve, rules: RouteRules | None,
) -> JobAir:  # fmt: skip
    suction, method = float(plan.suction_wanted), plan.loss_method
    told = measured(readings, found, present, method)
    site, seen = told.ground, told.present[-1] if told.present else None
    comparison, sheet, same, notes = None, present, present == curve, told.notes
    for word, route in (("As found", found), ("Proposed", proposed)):
        if route is not None and (said := no_air(route, rules) or water_note(route, rules)):
            notes += (f"{word}: {said}",)
    found = None if found is None or no_air(found, rules) else found
    proposed = None if proposed is None or no_air(proposed, rules) else proposed
    if found is None and proposed is None:
        return JobAir(curve, problem="\n".join(notes))
    if found is not None and proposed is not None:
        comparison = compare(
            found, proposed, present, suction, method, proposed_curve=curve, site=site, found_reading=seen
        )
        present, curve, site = comparison.fan, comparison.proposed_fan, comparison.ground
    elif found is not None and seen is not None:
        present, site = as_read(present, found, seen, method), ground_through(seen, site, len(found.runs))
        curve = present if same else curve
    if seen is not None and found is not None:
        notes += _off_its_sheet(sheet, present, seen)

    def case(route: Route | None, fan: FanCurve, point: OperatingPoint | None) -> AirCase | None:
        if route is None:
            return None
        if point is None and seen is not None and route is found:
            point = measured_point(fan, route, seen, suction, method)
        point = point or operating_point(fan, route, suction, method, site=site)
        asked = asked_for(route, max(fan.last_cfm, curve.last_cfm), suction, method, site=site)
        return AirCase(route, fan, point, point.notes(limits), asked, _weakest(told, point))

    return JobAir(
        curve, case(found, present, comparison.found if comparison else None),
        case(proposed, curve, comparison.proposed if comparison else None), comparison, site is not None, "", suction,
        method, site, notes,
    )  # fmt: skip


def _off_its_sheet(sheet: FanCurve, found: FanCurve, seen: SiteReading) -> tuple[str, ...]:
    """A fan far from its sheet: more often the reading, the route or the fan chosen is another than thought."""
    given = found.pressure_pa(seen.flow_cfm)
    said = sheet.pressure_pa(seen.flow_cfm) if seen.flow_cfm <= sheet.last_cfm else 0.0
    if said and LITTLE * said <= given <= MUCH * said:
        return ()
    part = "more air than its sheet goes to"
    if said:
        part = f"{format_whole_percent(given / said * 100)} of what its sheet says"
    return (
        f"As read, the present fan gives {part} at {seen.flow_cfm:g} cfm. Check the reading, the route as found and "
        "which fan it is; what is shown follows the reading.",
    )


def _weakest(told: Measured, point: OperatingPoint) -> tuple[str, float] | None:
    holes = told.with_holes
    return None if holes is None or point.too_weak else weakest_hole(holes, point.below_pa)


def elbows_of(case: AirCase, air: JobAir) -> tuple[ElbowCost, ...]:
    """What each elbow of a route costs, the dearest first; none where it cannot be reckoned."""
    try:
        return elbow_costs(case.fan, case.route, air.wanted_pa, air.method, site=air.site)
    except NotUnderstood:
        return ()
