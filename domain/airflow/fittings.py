"""What a fitting costs the air, by two published methods to choose from.

"coefficients": so many velocity pressures, as multiples of fT, the friction factor of clean commercial steel of the
same bore in full turbulence, after Crane Technical Paper 410. Read: elbow 30 fT, bend of 1.5 diameters 14 fT and the
angle factor, as restated by the Elbow block of a modelling manual; 45° elbow 16 and tee 20 and 60, as a tubing
maker's page restates them. From memory, and equal to what the ``fluids`` library takes from Crane: entrances, size
changes. From memory alone: valve.

"lengths", "lengths_sweep": feet of straight pipe, ANSI/AARST CC-1000, 2018, guidance 8.6, read. It prints a sharp
and a sweep column that differ by up to 3.7 times; sharp unless the owner chooses otherwise, and a long sweep elbow
is always read from the sweep column. The table holds elbows of 3, 4 and 6 in only (the sharp 45° of 6 in was not
legible in the copy seen): everything else goes by coefficient, and says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import log10, radians, sin

from domain.airflow.bores import inside_diameter_in
from domain.airflow.pipe import a_number, checked
from domain.errors import NotUnderstood
from domain.routes.route import Fitting, size_words

METHODS = {
    "coefficients": "loss coefficients",
    "lengths": "published equivalent lengths, sharp elbows",
    "lengths_sweep": "published equivalent lengths, sweep elbows",
}
"""The methods to choose from, as they are kept and as they are read."""

STEEL_ROUGHNESS_IN = 0.0018
"""Clean commercial steel; from memory. fT from it lies within 1% of the library that the tests compare with."""

ENTRANCE_FLUSH = 0.5
ENTRANCE_STANDING_IN = 0.78
EXIT = 1.0
REDUCER_ANGLE = 30.0
"""Included angle of a reducer's cone in degrees; an assumption of ours, no source: makers differ."""

MULTIPLES = {"elbow_90": 30.0, "elbow_90_long": 14.0, "elbow_45": 16.0, "valve": 8.0}
STRAIGHT_TEE, TURNED_TEE = 20.0, 60.0
"""A tee or wye that takes in no other run: fT passing straight on, fT turned into the branch of a tee."""

SHARP_FT = {
    ("elbow_90", Decimal(3)): 11.0,
    ("elbow_90", Decimal(4)): 15.0,
    ("elbow_90", Decimal(6)): 20.0,
    ("elbow_45", Decimal(3)): 5.0,
    ("elbow_45", Decimal(4)): 6.0,
}
SWEEP_FT = {
    ("elbow_90", Decimal(3)): 3.0,
    ("elbow_90", Decimal(4)): 6.0,
    ("elbow_90", Decimal(6)): 15.0,
    ("elbow_45", Decimal(3)): 2.0,
    ("elbow_45", Decimal(4)): 3.0,
    ("elbow_45", Decimal(6)): 6.0,
}


@dataclass(frozen=True, slots=True)
class FittingLoss:
    """``coefficient``: velocity pressures lost at the speed in the bore ``diameter_in``; or ``length_ft`` of pipe of
    that bore. ``basis`` says where it is from."""

    diameter_in: float
    coefficient: float = 0.0
    length_ft: float = 0.0
    basis: str = ""


def check_method(method: str) -> None:
    """ValueError when there is no such method."""
    if method not in METHODS:
        raise ValueError(f"no such method: {method}; choose from {', '.join(METHODS)}")


@lru_cache(maxsize=64)
def turbulent_friction(diameter_in: float) -> float:
    """fT: friction factor in full turbulence of clean commercial steel of this bore, (2 log10(3.7 D/e))^-2."""
    return float((2 * log10(3.7 * diameter_in / STEEL_ROUGHNESS_IN)) ** -2)


def angle_factor(degrees: float) -> float:
    """Share of a 90° elbow's loss in one of another angle: 0.0148 t - 3.9716e-5 t² (Keller, as restated; read)."""
    return 0.0148 * degrees - 3.9716e-5 * degrees * degrees


def size_change_coefficient(from_in: float, to_in: float, angle_degrees: float = 180.0) -> float:
    """Velocity pressures lost where the bore changes, at the speed in the smaller one; 180° is a sudden change.

    Crane, b = smaller/larger: wider 2.6 sin(t/2)(1-b²)² up to 45°, (1-b²)² beyond; narrower 0.8 sin(t/2)(1-b²) up
    to 45°, 0.5 (1-b²) sqrt(sin(t/2)) beyond. Raises NotUnderstood for a bore of nothing or an angle out of 0 to 180.
    """
    first, last = checked(from_in, "first size", "in"), checked(to_in, "last size", "in")
    angle = a_number(angle_degrees, "angle")
    if min(first, last) <= 0 or not 0 < angle <= 180:
        raise NotUnderstood("A change of size needs two sizes above nothing and an angle up to 180 degrees.")
    narrowing = 1 - (min(first, last) / max(first, last)) ** 2
    slant = sin(radians(angle) / 2)
    if last >= first:
        return float((2.6 * slant if angle <= 45 else 1.0) * narrowing**2)
    return float((0.8 * slant if angle <= 45 else 0.5 * slant**0.5) * narrowing)


def entrance_coefficient(suction: str) -> float:
    """Velocity pressures lost where the air enters the pipe: 0.78 where it stands into a pit or sump, else 0.5."""
    return ENTRANCE_STANDING_IN if suction in ("pit", "sump") else ENTRANCE_FLUSH


@lru_cache(maxsize=512)
def fitting_loss(fitting: Fitting, method: str = "coefficients", bore: str = "table") -> FittingLoss:
    """What a fitting costs on its own; a wye or tee that takes in another run is in `domain.airflow.junctions`.

    Couplings, sleeves, passages, flashings and drains cost nothing beyond the pipe they stand for; what a fan costs
    is in its curve. Raises NotUnderstood for an unknown size, ValueError for an unknown method or bore.
    """
    check_method(method)
    diameter = inside_diameter_in(fitting.size, bore)
    if fitting.size_after != fitting.size:
        return _size_change(fitting, diameter, bore)
    if fitting.kind == "discharge":
        return FittingLoss(diameter, EXIT, basis="one velocity pressure")
    if method != "coefficients":
        feet = equivalent_length_ft(fitting.kind, fitting.size, sharp=method == "lengths")
        if feet is not None:
            return FittingLoss(diameter, length_ft=feet, basis=f"{feet:g} ft of pipe")
    multiple = _multiple(fitting)
    if not multiple:
        return FittingLoss(diameter)
    kept = "" if method == "coefficients" else "; no published length"
    return FittingLoss(diameter, multiple * turbulent_friction(diameter), basis=f"{multiple:.3g} fT{kept}")


def equivalent_length_ft(kind: str, size: Decimal, sharp: bool = True) -> float | None:
    """Feet of straight pipe that lose as much as an elbow: CC-1000 guidance 8.6; None where the table has none."""
    if kind == "elbow_90_long":
        kind, sharp = "elbow_90", False
    return (SHARP_FT if sharp else SWEEP_FT).get((kind, size))


def _multiple(fitting: Fitting) -> float:
    """How many fT a fitting costs."""
    if fitting.kind in ("wye", "tee"):
        if not fitting.turned:
            return STRAIGHT_TEE
        return TURNED_TEE if fitting.kind == "tee" else MULTIPLES["elbow_45"]
    if fitting.kind == "elbow_22":
        return MULTIPLES["elbow_90"] * angle_factor(22.5)
    return MULTIPLES.get(fitting.kind, 0.0)


def _size_change(fitting: Fitting, diameter: float, bore: str) -> FittingLoss:
    """A reducer is a cone, anything else that changes the size is sudden."""
    after = inside_diameter_in(fitting.size_after, bore)
    angle = REDUCER_ANGLE if fitting.kind == "reducer" else 180.0
    words = "a cone" if fitting.kind == "reducer" else "sudden"
    coefficient = size_change_coefficient(diameter, after, angle)
    basis = f"{words}, {size_words(fitting.size)} to {size_words(fitting.size_after)}"
    return FittingLoss(min(diameter, after), coefficient, basis=basis)
