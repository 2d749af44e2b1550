"""What was measured on site: suction and flow with a test fan, suction at test holes. It replaces guesses.

A reading pairs the flow of a test fan, or of the fan that is there, with the suction at the suction point; that fixes
how hard the ground gives its air. Suction goes with flow to a power: 1 in soil, where the air creeps, 2 in a gravel
bed, where it tumbles (Reddy and others, EPA/600/SR-92/090, 1992, summary read: laminar with soil below the slab,
turbulent in gravel; the whole powers are the two ends of that). With two readings or more the power is fitted and
held between the two; with one and nothing said about the bed, 1.5 is our own middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from domain.airflow.pipe import Number, checked
from domain.errors import NotUnderstood

BEDS = {"soil": 1.0, "gravel": 2.0, "": 1.5}
"""The power of the flow by what lies below the slab; empty: nobody has looked."""


@dataclass(frozen=True, slots=True)
class TestHole:
    """Suction below the slab at a small hole, against the room, in Pa; its distance from the suction point in feet."""

    __test__ = False  # no test of pytest's, in spite of the name

    name: str
    suction_pa: float
    distance_ft: float | None = None


@dataclass(frozen=True, slots=True)
class SiteReading:
    """Flow in cfm and suction in Pa at the suction point at the same moment, with what the test holes showed then.

    Raises NotUnderstood for a flow or suction of nothing and for a number below nothing: suction is typed without
    a minus.
    """

    flow_cfm: float
    suction_pa: float
    holes: tuple[TestHole, ...] = ()

    def __post_init__(self) -> None:
        checked(self.flow_cfm, "flow measured", "cfm", above_zero=True)
        checked(self.suction_pa, "suction measured", "Pa", above_zero=True)
        for hole in self.holes:
            checked(hole.suction_pa, f"suction at {hole.name or 'the test hole'}", "Pa")
            if hole.suction_pa > self.suction_pa:
                raise NotUnderstood(
                    f"{hole.name or 'The test hole'} shows {hole.suction_pa:g} Pa, more than the "
                    f"{self.suction_pa:g} Pa at the suction point. Check the two readings.",
                    f"{hole.suction_pa:g}",
                )

    @property
    def weakest(self) -> TestHole | None:
        """The hole with the least suction; None without holes."""
        return min(self.holes, key=lambda hole: hole.suction_pa, default=None)


@dataclass(frozen=True, slots=True)
class UnderSlab:
    """How much suction the ground asks for: ``at_one_cfm`` x flow^``power`` (Pa, cfm).

    ``points``: how many suction points drew that flow.
    """

    at_one_cfm: float
    power: float
    points: int = 1

    def suction_pa(self, flow_cfm: float) -> float:
        """Suction at the suction point in Pa when so many cfm are drawn."""
        return self.at_one_cfm * flow_cfm**self.power if flow_cfm > 0 else 0.0

    def with_points(self, points: int) -> UnderSlab:
        """The same ground with another number of suction points, each taken to draw as those that were read do.

        A first guess, for points that draw on the same ground hinder each other.
        """
        return UnderSlab(self.at_one_cfm * (self.points / points) ** self.power, self.power, points)


def under_slab(readings: Sequence[SiteReading], bed: str = "", points: int = 1) -> UnderSlab:
    """Fit the ground's curve to readings; ``bed`` ("soil", "gravel" or "") counts only where a single flow was read.

    ``points``: how many suction points drew the flow. Least squares of the logarithms, the power held between 1 and 2.
    Raises NotUnderstood without a reading, and for a ``bed`` that is none.
    """
    if bed not in BEDS:
        raise NotUnderstood("Below the slab is soil or gravel; leave it empty if nobody has looked.", bed)
    if not readings:
        raise NotUnderstood(
            "There is no reading yet: note the flow of the test fan and the suction at the suction point."
        )
    logs = [(log(reading.flow_cfm), log(reading.suction_pa)) for reading in readings]
    mean_x = sum(x for x, _ in logs) / len(logs)
    mean_y = sum(y for _, y in logs) / len(logs)
    spread = sum((x - mean_x) ** 2 for x, _ in logs)
    if spread < 1e-6:
        power = BEDS[bed]
    else:
        power = sum((x - mean_x) * (y - mean_y) for x, y in logs) / spread
        power = min(BEDS["gravel"], max(BEDS["soil"], power))
    return UnderSlab(exp(mean_y - power * mean_x), power, points)


def hole_suctions(reading: SiteReading, suction_pa: Number) -> tuple[TestHole, ...]:
    """The test holes as they would be with another suction at the suction point: all in proportion.

    Proportion holds where the air creeps, as in soil; in gravel it is a first guess. An estimate either way.
    """
    ratio = checked(suction_pa, "suction", "Pa") / reading.suction_pa
    return tuple(TestHole(hole.name, hole.suction_pa * ratio, hole.distance_ft) for hole in reading.holes)


def suction_needed_pa(reading: SiteReading, wanted_at_holes_pa: Number) -> float:
    """Suction at the suction point, Pa, that would give the weakest hole so much, in proportion.

    Raises NotUnderstood without test holes, or where one showed no suction at all: another suction point or sealing
    comes before a stronger fan there.
    """
    wanted = checked(wanted_at_holes_pa, "suction wanted at the test holes", "Pa")
    weakest = reading.weakest
    if weakest is None:
        raise NotUnderstood("No test hole is noted. Note the suction at one, or type the suction wanted.")
    if not weakest.suction_pa:
        raise NotUnderstood(
            f"No suction reached {weakest.name or 'a test hole'}, so no fan can be reckoned from it. "
            "Think of sealing or of another suction point first."
        )
    return wanted / weakest.suction_pa * reading.suction_pa
