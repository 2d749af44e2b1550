"""The stored parts of a job's takeoff and its air."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

SUCTION, FLOW = "suction", "flow"
TEST_FAN, PRESENT_FAN = "test", "present"
FANS = {TEST_FAN: "test fan", PRESENT_FAN: "present fan"}
"""Which fan ran while a reading was taken: one put on the open pit for the test, or the one that is installed."""
READING_KINDS = {SUCTION: "suction at a test hole", FLOW: "flow of a fan"}


@dataclass(frozen=True, slots=True)
class RouteRow:
    """One route in words. ``built``: a proposed one counts in the list to buy."""

    id: int
    job_id: int
    position: int
    status: str  # found | proposed
    name: str
    words: str
    built: bool


@dataclass(frozen=True, slots=True)
class PartRow:
    """What is taken off beside the routes; ``details`` is read by `domain.job_takeoff.parts`."""

    id: int
    job_id: int
    position: int
    kind: str
    details: str


@dataclass(frozen=True, slots=True)
class ExtraRow:
    """Something the owner adds to the list in words of their own."""

    id: int
    job_id: int
    position: int
    description: str
    quantity: Decimal
    unit: str
    item_class: str
    reason: str


@dataclass(frozen=True, slots=True)
class FanCurveRow:
    """A fan's curve; ``points`` is JSON of (cfm, inches of water) pairs."""

    id: int
    name: str
    item_id: int | None
    points: str
    watts: Decimal | None
    note: str
    archived: bool


@dataclass(frozen=True, slots=True)
class AirPlan:
    """How the air of a job's routes is judged; ``suction_wanted`` in pascals at the suction point."""

    id: int
    job_id: int
    fan_curve_id: int | None
    suction_wanted: Decimal
    method: str  # coefficients | lengths
    sharp_elbows: bool
    present_fan_id: int | None = None  # the fan that is there now; None: the same as is planned

    @property
    def loss_method(self) -> str:
        """The method as `domain.airflow` names it."""
        return "lengths_sweep" if self.method == "lengths" and not self.sharp_elbows else self.method


USUAL_SUCTION = Decimal(60)
"""Pascals at the suction point while nothing is said: an assumption of this program, no source."""


def blank_plan(job_id: int) -> AirPlan:
    """The plan of a job for which nothing was said yet."""
    return AirPlan(0, job_id, None, USUAL_SUCTION, "coefficients", True)


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """What was measured on site: a suction (Pa) at a test hole, or a flow (cfm) with a suction (Pa).

    That suction was read at the open suction point where the test fan drew, and in the pipe at the fan where the
    present one did: between the two lies what the pipe loses.
    """

    id: int
    job_id: int
    read_on: date
    kind: str  # suction | flow
    place: str
    value: Decimal
    at_suction: Decimal | None
    note: str
    fan: str = TEST_FAN
