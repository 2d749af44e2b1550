"""A fan's sheet brought to what the fan was found to give: one reading says by how much it differs from its sheet.

Two ways, and nobody knows which is true of one fan: the pressures of the sheet times one factor, or the fan turning
slower or faster than on the sheet, flow with the speed and pressure with its square (the fan laws, as in any textbook
on fans; from memory). Both go through the reading. The first is used, the second tells how far to believe it; where
the reading lies past the sheet only the second can be used.
"""

from __future__ import annotations

from domain.airflow.fan_curve import FanCurve
from domain.airflow.pipe import Number, checked

SHEET_SCATTER = 0.10
"""A fan nobody has read is taken to be within so much of its sheet's pressures (ours, no source)."""

_SLOWEST, _FASTEST = 0.02, 50.0


def by_pressure(curve: FanCurve, factor: float) -> FanCurve:
    """The sheet with every pressure times ``factor``."""
    points = [(flow, pressure * factor) for flow, pressure in zip(curve.flows, curve.pressures, strict=True)]
    return FanCurve(points, "Pa", curve.name)


def by_speed(curve: FanCurve, factor: float) -> FanCurve:
    """The sheet of the same fan turning ``factor`` times as fast."""
    points = [
        (flow * factor, pressure * factor**2) for flow, pressure in zip(curve.flows, curve.pressures, strict=True)
    ]
    return FanCurve(points, "Pa", curve.name)


def sheet_factor(curve: FanCurve, flow_cfm: Number, pressure_pa: Number) -> float | None:
    """Pressure found over the sheet's at the same flow; None where the sheet says nothing there."""
    flow, pressure = checked(flow_cfm, "flow", "cfm"), checked(pressure_pa, "pressure", "Pa")
    given = curve.pressure_pa(flow)
    return pressure / given if flow <= curve.last_cfm and given > 0 and pressure > 0 else None


def speed_factor(curve: FanCurve, flow_cfm: Number, pressure_pa: Number) -> float:
    """How many times as fast the fan turns as on its sheet, if it gives this pressure (above 0) at this flow.

    Found by halving: the pressure at one flow rises with the speed.
    """
    flow, pressure = checked(flow_cfm, "flow", "cfm"), checked(pressure_pa, "pressure", "Pa", above_zero=True)
    low, high = _SLOWEST, _FASTEST
    for _ in range(60):
        middle = (low * high) ** 0.5
        # Past the end of the sheet nothing is given: so the end lies at the reading or beyond it.
        given = middle**2 * curve.pressure_pa(flow / middle) if flow <= curve.last_cfm * middle else 0.0
        if given < pressure:
            low = middle
        else:
            high = middle
    return high


def calibrated(curve: FanCurve, flow_cfm: Number, pressure_pa: Number) -> FanCurve:
    """The fan as it was found: its sheet through one reading of flow and pressure (Pa, above 0)."""
    factor = sheet_factor(curve, flow_cfm, pressure_pa)
    if factor is not None:
        return by_pressure(curve, factor)
    return by_speed(curve, speed_factor(curve, flow_cfm, pressure_pa))
