"""What was measured at the house as the air estimate needs it: the test fan's readings and the present fan's apart.

A test fan draws on one open suction point, so its suction was read at that point. The present fan draws through the
pipe as it was found, from all its suction points: what the pipe loses before the fan is taken off the suction that was
read there, and the flow is shared by the points. Without a suction, the curve of the present fan tells it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from domain.airflow import FanCurve, SiteReading, TestHole, UnderSlab, route_losses, under_slab
from domain.airflow.loss import RouteLoss
from domain.errors import NotUnderstood
from domain.job_takeoff.records import FLOW, PRESENT_FAN, SUCTION, TEST_FAN, ReadingRow
from domain.routes import Route
from domain.routes.route import Fitting


@dataclass(frozen=True, slots=True)
class Measured:
    """The readings of a job, sorted out.

    ``test`` and ``present`` are at the suction point, each flow in all; ``points``: how many suction points the present
    fan draws on. ``ground`` is None where no reading tells it. ``notes`` are sentences about readings that do not go
    together with the route as found.
    """

    test: tuple[SiteReading, ...] = ()
    present: tuple[SiteReading, ...] = ()
    points: int = 1
    ground: UnderSlab | None = None
    notes: tuple[str, ...] = ()

    @property
    def with_holes(self) -> SiteReading | None:
        """The newest reading during which test holes were read, the present fan's first."""
        return next((one for one in (*reversed(self.present), *reversed(self.test)) if one.holes), None)


def checked_readings(rows: Iterable[ReadingRow]) -> None:
    """Raise NotUnderstood, naming the place, where a hole shows more suction than the fan that ran then."""
    rows = tuple(rows)
    for fan in (TEST_FAN, PRESENT_FAN):
        _readings(rows, fan)


def _holes(rows: Sequence[ReadingRow], fan: str, on: date) -> tuple[TestHole, ...]:
    return tuple(
        TestHole(row.place or "a test hole", float(row.value))
        for row in rows
        if row.kind == SUCTION and row.fan == fan and row.read_on == on
    )


def _readings(rows: Sequence[ReadingRow], fan: str) -> tuple[SiteReading, ...]:
    """Each flow that was read with its suction, and what the test holes showed that day with the same fan."""
    return tuple(
        SiteReading(float(row.value), float(row.at_suction), _holes(rows, fan, row.read_on))
        for row in rows
        if row.kind == FLOW and row.fan == fan and row.at_suction is not None
    )


def measured(
    rows: Iterable[ReadingRow], found: Route | None, present: FanCurve | None, method: str = "coefficients"
) -> Measured:
    """Sort the readings out. ``found``: the route the present fan draws through; ``present``: its curve, if known.

    Raises NotUnderstood as `checked_readings`, and where a route cannot be followed.
    """
    rows = tuple(rows)
    test = _readings(rows, TEST_FAN)
    points = max(1, len(found.runs)) if found is not None else 1
    inside: list[SiteReading] = []
    notes: list[str] = []
    for row in rows:
        if row.kind != FLOW or row.fan != PRESENT_FAN:
            continue
        one, note = _at_the_point(row, _holes(rows, PRESENT_FAN, row.read_on), found, present, method)
        inside += [one] if one is not None else []
        notes += [note] if note else []
    shared = [SiteReading(one.flow_cfm / points, one.suction_pa) for one in inside]
    told = [*test, *shared]
    return Measured(test, tuple(inside), points, under_slab(told) if told else None, tuple(notes))


def _at_the_point(
    row: ReadingRow, holes: tuple[TestHole, ...], found: Route | None, present: FanCurve | None, method: str
) -> tuple[SiteReading | None, str]:
    """A reading of the present fan as it is at the suction point, or why it cannot be used."""
    flow = float(row.value)
    if found is None:
        return None, "The present fan was read, but no route as found is typed: its pipe's loss is not known."
    losses = route_losses(found, flow, method)
    if row.at_suction is not None:
        given, lost = float(row.at_suction), _before_the_fan(found, losses)
    elif present is not None and flow <= present.last_cfm:
        given, lost = present.pressure_pa(flow), losses.pa
    else:
        return None, f"The {flow:g} cfm of the present fan tell nothing without the suction in the pipe at the fan."
    left = given - lost
    if left <= 0 or any(hole.suction_pa > left for hole in holes):
        return None, (
            f"The present fan at {flow:g} cfm: the pipe as found should lose {lost:.0f} Pa, which leaves too little of "
            f"the {given:.0f} Pa. Check reading and route; the reading is not used."
        )
    return SiteReading(flow, left, holes), ""


def _before_the_fan(found: Route, losses: RouteLoss) -> float:
    """What the path that decides loses between its suction point and the fan, Pa; all of it where no fan is drawn."""
    place = next(
        ((run.name, index) for run in found.runs for index, part in enumerate(run.parts)
         if isinstance(part, Fitting) and part.kind == "fan"),
        None,
    )  # fmt: skip
    if place is None:
        return losses.pa
    run, fan = place
    behind = sum(item.pa for item in losses.items if item.on_path and item.run == run and item.index > fan)
    return losses.pa - behind


def weakest_hole(one: SiteReading, suction_pa: float) -> tuple[str, float]:
    """The test hole with the least suction, and its Pa with so much at the suction point: in proportion, a guess."""
    hole = one.weakest
    if hole is None:
        raise NotUnderstood("No test hole is noted.")
    return hole.name, hole.suction_pa * suction_pa / one.suction_pa
