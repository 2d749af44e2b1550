"""Sealant from joint length and bead section, in cartridges; backer rod; soil carried out of a suction pit.

1 US gallon = 231 cu in = 128 fl oz, so a 10.1 fl oz cartridge holds 18.227 cu in (computed).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from domain.errors import NotUnderstood
from domain.takeoff.lines import Need
from domain.takeoff.rules import TakeoffRules
from domain.units.lengths import format_length
from domain.units.measured import measured
from domain.units.numbers import plain, to_places

PI = Decimal("3.14159265358979323846")
SECTIONS = {"square": "square", "triangular": "three-cornered", "round": "round"}
ROD_OVER = Decimal("1.25")
"""Backer rod a quarter thicker than the joint is wide: common practice, no source."""
PAIL_IN3 = Decimal(1155)  # 5 US gallons
SWELL = Decimal("1.25")
"""Dug soil takes a quarter more room: allowance of this program, from memory."""


@dataclass(frozen=True, slots=True)
class SealJoint:
    """A joint to seal: its length in feet and its bead in inches. A round bead has ``width_in`` across."""

    label: str
    feet: Decimal
    section: str = "square"  # square (or flat: width x depth) | triangular | round
    width_in: Decimal = Decimal("0.375")
    depth_in: Decimal = Decimal("0.375")
    backer: bool = False
    product: str = "sealant"


@dataclass(frozen=True, slots=True)
class SuctionPit:
    """A round hole below the slab, in inches."""

    label: str
    across_in: Decimal
    deep_in: Decimal
    hollow: str = "bowl"  # bowl (half an ellipsoid) | straight (as deep all over)


def section_in2(section: str, width_in: Decimal, depth_in: Decimal) -> Decimal:
    """Area of a bead in square inches: w x d, w x d / 2 or pi w^2 / 4. Raises NotUnderstood for a bead of nothing."""
    width = measured(width_in, "The width of a bead")
    depth = measured(depth_in, "The depth of a bead")
    if width <= 0 or (depth <= 0 and section != "round"):
        raise NotUnderstood("A bead has a width and a depth, in inches, for example 3/8 by 3/8.")
    if section == "round":
        return PI * width * width / 4
    if section == "triangular":
        return width * depth / 2
    if section == "square":
        return width * depth
    raise NotUnderstood(f"“{section}” is no section of a bead: choose square, triangular or round.", section)


def feet_per_cartridge(joint: SealJoint, rules: TakeoffRules) -> Decimal:
    """Feet of this bead one cartridge makes, two places: cu in / (section x 12)."""
    area = section_in2(joint.section, joint.width_in, joint.depth_in)
    return to_places(rules.surface.in3_per_cartridge / (area * 12), 2)


def cartridges(joint: SealJoint, rules: TakeoffRules) -> Decimal:
    """Cartridges for a joint before waste: feet x 12 x section / cu in of a cartridge."""
    area = section_in2(joint.section, joint.width_in, joint.depth_in)
    feet = measured(joint.feet, f"{joint.label}: the length to seal")
    return feet * 12 * area / rules.surface.in3_per_cartridge


def seal_needs(joint: SealJoint, rules: TakeoffRules) -> Iterator[Need]:
    """Sealant, and backer rod where wanted. Raises NotUnderstood for a joint or bead of nothing."""
    if measured(joint.feet, f"{joint.label}: the length to seal") <= 0:
        raise NotUnderstood(f"{joint.label}: type how many feet are sealed, for example 24.", f"{joint.feet}")
    each = feet_per_cartridge(joint, rules)
    across = f"{_inch(joint.width_in)} in"
    bead = across if joint.section == "round" else f"{_inch(joint.width_in)} x {_inch(joint.depth_in)} in"
    why = (
        f"{joint.label}: {plain(joint.feet)} ft of {SECTIONS[joint.section]} bead {bead}, {plain(each)} ft a cartridge"
    )
    caution = "Air the space while sealant cures."
    yield Need(
        joint.product, "sealing", "Sealant, 10 oz cartridge", cartridges(joint, rules), "tube", why, caution=caution
    )  # fmt: skip
    if joint.backer:
        rod = rod_eighths(joint.width_in)
        why = f"{joint.label}: {format_length(joint.feet)} behind a joint {across} wide"
        yield Need(f"backer_rod:{rod.normalize():f}", "sealing", f"Backer rod, {_inch(rod)} in", joint.feet, "ft", why)


def rod_eighths(width_in: Decimal) -> Decimal:
    """The rod for a joint, in inches: a quarter thicker, up to the next eighth."""
    return (measured(width_in, "The width of a joint") * ROD_OVER * 8).to_integral_value(ROUND_CEILING) / 8


def pit_cubic_feet(pit: SuctionPit) -> Decimal:
    """Soil of a pit as it lies, cubic feet, three places: pi/4 d^2 h, or two thirds of it for a bowl.

    Raises NotUnderstood for a pit of nothing.
    """
    across, deep = (measured(inches, f"{pit.label}: the pit") for inches in (pit.across_in, pit.deep_in))
    if across <= 0 or deep <= 0:
        raise NotUnderstood(f"{pit.label}: type how wide and how deep the pit is, in inches.")
    cylinder = PI / 4 * across * across * deep
    share = cylinder * 2 / 3 if pit.hollow == "bowl" else cylinder
    return to_places(share / 1728, 3)


def pit_pails(pit: SuctionPit) -> Decimal:
    """Pails of five gallons to carry out, loose soil swelling by a quarter; one place."""
    return to_places(pit_cubic_feet(pit) * 1728 * SWELL / PAIL_IN3, 1)


def _inch(value: Decimal) -> str:
    """``3/8``, ``1-1/4`` or, where sixteenths do not give it, the decimal."""
    sixteenths = value * 16
    if sixteenths != int(sixteenths):
        return plain(value)
    return format_length(value / 12, "ft-in").rstrip('"').replace(" ", "-")
