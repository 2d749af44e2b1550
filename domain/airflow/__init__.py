"""Air in the pipe: what a route loses, where a fan and a route come to rest, what a change of the route buys."""

from __future__ import annotations

from domain.airflow.bores import BORES, inside_diameter_in
from domain.airflow.compare import Comparison, as_read, compare, ground_through
from domain.airflow.compare_words import changes
from domain.airflow.fan_curve import FLOW_UNITS, PRESSURE_UNITS, FanCurve
from domain.airflow.fittings import METHODS, equivalent_length_ft, fitting_loss, size_change_coefficient
from domain.airflow.gain import MEASURABLE_CFM, Gain
from domain.airflow.limits import AirLimits, air_limits, limit_notes
from domain.airflow.loss import LossItem, RouteLoss, route_loss, route_losses
from domain.airflow.operating import (
    ElbowCost,
    OperatingPoint,
    asked_for,
    elbow_costs,
    measured_point,
    operating_point,
)
from domain.airflow.pipe import (
    friction_factor,
    inwc_from_pa,
    pa_from_inwc,
    pipe_loss,
    reynolds,
    velocity_fpm,
    velocity_pressure,
)
from domain.airflow.site import (
    BEDS,
    SiteReading,
    TestHole,
    UnderSlab,
    hole_suctions,
    suction_needed_pa,
    under_slab,
)

__all__ = [
    "BEDS",
    "BORES",
    "FLOW_UNITS",
    "MEASURABLE_CFM",
    "METHODS",
    "PRESSURE_UNITS",
    "AirLimits",
    "Comparison",
    "ElbowCost",
    "FanCurve",
    "Gain",
    "LossItem",
    "OperatingPoint",
    "RouteLoss",
    "SiteReading",
    "TestHole",
    "UnderSlab",
    "air_limits",
    "as_read",
    "asked_for",
    "changes",
    "compare",
    "elbow_costs",
    "equivalent_length_ft",
    "fitting_loss",
    "friction_factor",
    "ground_through",
    "hole_suctions",
    "inside_diameter_in",
    "inwc_from_pa",
    "limit_notes",
    "measured_point",
    "operating_point",
    "pa_from_inwc",
    "pipe_loss",
    "reynolds",
    "route_loss",
    "route_losses",
    "size_change_coefficient",
    "suction_needed_pa",
    "under_slab",
    "velocity_fpm",
    "velocity_pressure",
]
