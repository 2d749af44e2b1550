"""A pipe route as it is found or proposed: runs of legs and fittings, from each suction point to the discharge.

The order is the order of the air. The first run is the main one and ends at the discharge; every other run ends
where a wye or tee of another run takes it in (``Fitting.joins`` names it). Lengths are what a tape shows between the
centres of two fittings: level for ``along`` and ``pitched``, plumb for ``up`` and ``down``. Heights are above grade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

DIRECTIONS = ("along", "up", "down", "pitched")
HEADINGS = ("right", "left", "near", "far")
"""Where a level leg goes in the side drawing; an empty heading goes on as the leg before."""

SPACES = {
    "slab": "below the slab",
    "basement": "basement",
    "crawl": "crawl space",
    "garage": "garage",
    "room": "conditioned room",
    "attic": "attic",
    "outside": "outside wall",
    "roof": "roof",
}
"""Where a part of the route is, as it is kept and as it is read."""

INDOOR_SPACES = frozenset({"basement", "crawl", "room"})
"""Where a fan or pressurised pipe would push soil gas into the house; an attic and a garage are judged apart."""

PIPE_SIZES = (Decimal("1.5"), Decimal(2), Decimal(3), Decimal(4), Decimal(6))
"""Nominal sizes in inches that Schedule 40 pipe is taken off in."""

FITTINGS = {
    "elbow_90": "90° elbow",
    "elbow_90_long": "90° elbow, long sweep",
    "elbow_45": "45° elbow",
    "elbow_22": "22½° elbow",
    "wye": "wye",
    "tee": "tee",
    "coupling": "coupling",
    "flexible_coupling": "flexible coupling",
    "reducer": "reducer",
    "sleeve": "wall or floor sleeve",
    "fire_passage": "fire-rated passage",
    "roof_flashing": "roof flashing",
    "fan": "fan",
    "valve": "valve",
    "drain": "condensate drain",
    "discharge": "discharge",
}
"""Every kind of fitting, as it is kept and as it is read."""

TURNS = {
    "elbow_90": Decimal(90),
    "elbow_90_long": Decimal(90),
    "elbow_45": Decimal(45),
    "elbow_22": Decimal("22.5"),
}
"""Degrees the pipe turns in an elbow."""

JUNCTIONS = frozenset({"wye", "tee"})
PASSAGES = frozenset({"sleeve", "fire_passage", "roof_flashing"})
"""What a pipe goes through in one piece: no joint, no loss of air."""
SIZE_CHANGERS = frozenset({"reducer", "flexible_coupling"})

SUCTION_POINTS = {
    "pit": "suction pit below the slab",
    "sump": "sump lid",
    "tile": "drain tile",
    "membrane": "below the membrane",
    "block": "hollow block wall",
}

STATUSES = {"found": "as found", "proposed": "proposed"}


@lru_cache(maxsize=4096)
def _along_the_pitch(level_ft: Decimal, rise_ft: Decimal) -> Decimal:
    return (level_ft * level_ft + rise_ft * rise_ft).sqrt() if rise_ft else level_ft


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight length of pipe.

    ``rise_in_per_ft``: how far it rises toward the discharge (so falls back to the suction point) for each level
    foot; negative when it drops; None on an ``along`` leg: laid at the standard's minimum. ``under_ft`` and
    ``over_ft`` are heights above grade the pipe has to stay under or over (joists, a duct, a door).
    """

    direction: str  # along | up | down | pitched
    length_ft: Decimal
    size: Decimal  # nominal inches
    space: str
    rise_in_per_ft: Decimal | None = None
    heading: str = ""
    under_ft: Decimal | None = None
    over_ft: Decimal | None = None
    kept: bool = False  # already there and left in place: nothing to buy

    @property
    def is_level(self) -> bool:
        """Whether water could lie in it: along and pitched legs, which carry a slope."""
        return self.direction in ("along", "pitched")

    def rise_ft(self, minimum_in_per_ft: Decimal) -> Decimal:
        """Height gained from its first end to its last, in feet; the minimum slope where none is given."""
        if self.direction == "up":
            return self.length_ft
        return -self.length_ft if self.direction == "down" else self.fall_in(minimum_in_per_ft) / 12

    def fall_in(self, minimum_in_per_ft: Decimal) -> Decimal:
        """Inches an along or pitched leg falls back to the suction point, exactly: level feet x slope."""
        return self.length_ft * (minimum_in_per_ft if self.rise_in_per_ft is None else self.rise_in_per_ft)

    def pipe_ft(self, minimum_in_per_ft: Decimal) -> Decimal:
        """Length along the pipe in feet: sqrt(level length squared + rise squared) where it slopes."""
        if not self.is_level:
            return self.length_ft
        return _along_the_pitch(self.length_ft, self.rise_ft(minimum_in_per_ft))


@dataclass(frozen=True, slots=True)
class Fitting:
    """Anything between two legs, or at the end of the last.

    ``size`` is the nominal size on the side of the suction point, ``to_size`` the one on the other side where it
    differs (reducer, flexible coupling). A wye or tee takes in the run named ``joins`` at its side, whose size is
    ``side_size`` (None: the same); ``turned`` says that the main run turns in it instead of passing straight on.
    """

    kind: str
    size: Decimal
    space: str
    to_size: Decimal | None = None
    joins: str = ""
    side_size: Decimal | None = None
    turned: bool = False
    kept: bool = False

    @property
    def words(self) -> str:
        """What it is called."""
        return FITTINGS.get(self.kind, self.kind)

    @property
    def size_after(self) -> Decimal:
        """Nominal size of the pipe that leaves it toward the discharge."""
        return self.size if self.to_size is None else self.to_size

    @property
    def turn_degrees(self) -> Decimal:
        """How far the air of its own run turns in it."""
        if self.kind in JUNCTIONS and self.turned:
            return Decimal(90 if self.kind == "tee" else 45)
        return TURNS.get(self.kind, Decimal(0))


Part = Leg | Fitting


@dataclass(frozen=True, slots=True)
class Run:
    """From one suction point on, in the order of the air.

    ``start_ft`` is the height of the suction point above grade, usually negative in a basement; None when it
    follows from where the run joins another (on the main run: grade). ``kept``: the suction point is there already;
    ``said``: somebody named it, so that it is dug or fitted.
    """

    name: str
    suction: str  # pit | sump | tile | membrane | block
    parts: tuple[Part, ...]
    start_ft: Decimal | None = None
    kept: bool = False
    said: bool = True

    @property
    def new_suction(self) -> str:
        """The kind of suction point that has to be made; "" where it is there, or where nobody named one."""
        there = self.kept or (bool(self.parts) and self.parts[0].kept)
        return "" if there or not self.said else self.suction

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The straight lengths, in order."""
        return tuple(part for part in self.parts if isinstance(part, Leg))

    @property
    def fittings(self) -> tuple[Fitting, ...]:
        """What is between them, in order."""
        return tuple(part for part in self.parts if isinstance(part, Fitting))

    @property
    def last_size(self) -> Decimal | None:
        """Nominal size at its end; None when nothing is there yet."""
        if not self.parts:
            return None
        last = self.parts[-1]
        return last.size if isinstance(last, Leg) else last.size_after


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What the discharge is near: None where nobody has measured yet.

    The nearest door, window or vent (level distance, height of its top above grade), and the nearest wall or part
    of the roof that rises above the discharge.
    """

    opening_distance_ft: Decimal | None = None
    opening_top_ft: Decimal | None = None
    wall_distance_ft: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Route:
    """One way of the pipe through a house: as found, or one of the alternatives proposed."""

    name: str
    status: str  # found | proposed
    runs: tuple[Run, ...]
    surroundings: Surroundings = Surroundings()

    @property
    def main(self) -> Run | None:
        """The run that ends at the discharge; None while the route is empty."""
        return self.runs[0] if self.runs else None

    def run_named(self, name: str) -> Run | None:
        """The run with this name."""
        return next((run for run in self.runs if run.name == name), None)

    @property
    def parts(self) -> Iterator[Part]:
        """Every part of every run, run after run."""
        return (part for run in self.runs for part in run.parts)

    @property
    def legs(self) -> tuple[Leg, ...]:
        """Every leg, run after run."""
        return tuple(part for part in self.parts if isinstance(part, Leg))

    @property
    def fittings(self) -> tuple[Fitting, ...]:
        """Every fitting, run after run."""
        return tuple(part for part in self.parts if isinstance(part, Fitting))

    @property
    def total_ft(self) -> Decimal:
        """Feet of all legs as measured."""
        return sum((leg.length_ft for leg in self.legs), Decimal(0))


def size_words(size: Decimal) -> str:
    """A nominal size as it is read: ``3 in``, ``1-1/2 in``."""
    return "1-1/2 in" if size == Decimal("1.5") else f"{size.normalize():f} in"
