"""A fan's curve as its owner enters it from the fan's own sheet: pressure against flow.

Between two points it is read along a monotone cubic (Fritsch and Carlson's condition, with the weighted harmonic mean
of the neighbouring slopes, the form of Brodlie; from memory, compared with SciPy's in the tests), so it never rises
where the points fall. Before the first point it keeps that point's pressure; behind the last nothing is known, and
whoever reads it there is told so.

Sheets give static pressure, which leaves out the velocity pressure at the fan's own outlet. A route's loss counts
what leaves with the air in full, so an estimate here errs a little to the low side of the flow.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from domain.airflow.pipe import PA_PER_INWC, Number, checked
from domain.errors import NotUnderstood

PRESSURE_UNITS = {"inWC": PA_PER_INWC, "Pa": 1.0}
"""Pascals in one of each."""
FLOW_UNITS = {"cfm": 1.0, "m3/h": 1 / (0.3048**3 * 60)}
"""Cubic feet a minute in one of each."""

MOST_CFM, MOST_PA, MOST_POINTS = 5000.0, 25_000.0, 200
"""More than any fan of this trade does: our own limits, against slips of the finger."""


@dataclass(frozen=True, slots=True)
class FanCurve:
    """Points (flow, pressure) as typed, in order of flow; ``pressure_unit`` "inWC" or "Pa", ``flow_unit`` "cfm" or
    "m3/h".

    Raises NotUnderstood, naming the point, for fewer than two points, a flow twice, a value below nothing or too
    large, and a pressure that rises. The points may be given in any order.
    """

    points: Sequence[tuple[Number, Number]]
    pressure_unit: str = "inWC"
    name: str = ""
    flow_unit: str = "cfm"
    flows: tuple[float, ...] = field(init=False, repr=False, compare=False)  # cfm
    pressures: tuple[float, ...] = field(init=False, repr=False, compare=False)  # Pa
    _slopes: tuple[float, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.pressure_unit not in PRESSURE_UNITS:
            raise NotUnderstood("Give the fan's pressure in inWC or in Pa.", self.pressure_unit)
        if self.flow_unit not in FLOW_UNITS:
            raise NotUnderstood("Give the fan's flow in cfm or in m3/h.", self.flow_unit)
        rows = sorted(self._checked_points())
        _check_order(rows, self.flow_unit, self.pressure_unit)
        per_pressure, per_flow = PRESSURE_UNITS[self.pressure_unit], FLOW_UNITS[self.flow_unit]
        flows = tuple(flow * per_flow for flow, _ in rows)
        pressures = tuple(pressure * per_pressure for _, pressure in rows)
        object.__setattr__(self, "points", tuple(rows))
        object.__setattr__(self, "flows", flows)
        object.__setattr__(self, "pressures", pressures)
        object.__setattr__(self, "_slopes", _slopes(flows, pressures))

    def _checked_points(self) -> Iterable[tuple[float, float]]:
        rows = list(self.points)
        if len(rows) < 2:
            raise NotUnderstood("A fan curve needs two points or more: flow and pressure from the fan's sheet.")
        if len(rows) > MOST_POINTS:
            raise NotUnderstood(f"A fan curve of {len(rows)} points is more than a sheet has. Keep {MOST_POINTS}.")
        most_pa, most_cfm = PRESSURE_UNITS[self.pressure_unit], FLOW_UNITS[self.flow_unit]
        for number, (flow, pressure) in enumerate(rows, 1):
            yield (
                checked(flow, f"flow of point {number}", self.flow_unit, most=MOST_CFM / most_cfm),
                checked(pressure, f"pressure of point {number}", self.pressure_unit, most=MOST_PA / most_pa),
            )

    @property
    def highest_pa(self) -> float:
        """The pressure of the first point, the most the fan gives."""
        return self.pressures[0]

    @property
    def last_cfm(self) -> float:
        """The flow of the last point: as far as the sheet goes."""
        return self.flows[-1]

    def pressure_pa(self, flow_cfm: Number) -> float:
        """Pascals at a flow in cfm; at the ends as the module says."""
        flow = checked(flow_cfm, "flow", "cfm")
        if flow <= self.flows[0]:
            return self.pressures[0]
        if flow >= self.flows[-1]:
            return self.pressures[-1]
        at = bisect_right(self.flows, flow) - 1
        width = self.flows[at + 1] - self.flows[at]
        t = (flow - self.flows[at]) / width
        u = 1 - t
        return (
            u * u * (1 + 2 * t) * self.pressures[at]
            + t * t * (1 + 2 * u) * self.pressures[at + 1]
            + t * u * width * (u * self._slopes[at] - t * self._slopes[at + 1])
        )

    def line(self, steps: int = 60) -> tuple[tuple[float, float], ...]:
        """Points (cfm, Pa) to draw the curve through, from its first flow to its last."""
        first, last = self.flows[0], self.flows[-1]
        flows = [first + (last - first) * step / steps for step in range(steps)] + [last]
        return tuple((flow, self.pressure_pa(flow)) for flow in flows)


def _check_order(rows: Sequence[tuple[float, float]], flow_unit: str, pressure_unit: str) -> None:
    for (flow, pressure), (next_flow, next_pressure) in pairwise(rows):
        if flow == next_flow:
            raise NotUnderstood(f"{flow:g} {flow_unit} stands there twice. Keep one of the two points.", f"{flow:g}")
        if next_pressure > pressure:
            raise NotUnderstood(
                f"The pressure rises from {pressure:g} to {next_pressure:g} {pressure_unit} between {flow:g} and "
                f"{next_flow:g} {flow_unit}. A fan gives less pressure the more air it moves: check the two points.",
                f"{next_pressure:g}",
            )
    if rows[0][1] <= 0:
        raise NotUnderstood("The first point of a fan curve has to have some pressure.", f"{rows[0][1]:g}")


def _slopes(x: Sequence[float], y: Sequence[float]) -> tuple[float, ...]:
    """Slopes at the points that keep a cubic through them monotone."""
    widths = [b - a for a, b in pairwise(x)]
    chords = [(b - a) / width for (a, b), width in zip(pairwise(y), widths, strict=True)]
    if len(chords) == 1:
        return chords[0], chords[0]
    inner = [_between(widths[at], widths[at + 1], chords[at], chords[at + 1]) for at in range(len(chords) - 1)]
    first = _at_end(widths[0], widths[1], chords[0], chords[1])
    last = _at_end(widths[-1], widths[-2], chords[-1], chords[-2])
    return (first, *inner, last)


def _between(width: float, next_width: float, chord: float, next_chord: float) -> float:
    if chord * next_chord <= 0:
        return 0.0
    weight, next_weight = 2 * next_width + width, next_width + 2 * width
    return (weight + next_weight) / (weight / chord + next_weight / next_chord)


def _at_end(width: float, next_width: float, chord: float, next_chord: float) -> float:
    """A one-sided slope through three points, held to the sign of the chord and three times its size."""
    slope = ((2 * width + next_width) * chord - width * next_chord) / (width + next_width)
    if slope * chord <= 0:
        return 0.0
    if chord * next_chord <= 0 and abs(slope) > 3 * abs(chord):
        return 3 * chord
    return slope
