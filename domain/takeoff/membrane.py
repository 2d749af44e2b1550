"""Membrane for a crawl space: strips of a roll that lap and turn up the walls, tape, sealant and fasteners.

Lap 12 in, sealed: ANSI/AARST CC-1000 2018 s. 6.4.3; turned up 6 in: 32 Ill. Adm. Code 422.160(c); both are figures of
the standards table. Strips needed: with n strips of width W and laps of l, n W - (n - 1) l covers the space and both
turn-ups, so n = ceil((width + 2 u - l) / (W - l)).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from domain.errors import NotUnderstood
from domain.takeoff.cutting import cut_list
from domain.takeoff.lines import Need, counted
from domain.takeoff.pieces import sixteenths
from domain.takeoff.rules import TakeoffRules
from domain.takeoff.sealing import SealJoint, cartridges, feet_per_cartridge
from domain.units.measured import measured
from domain.units.numbers import plain

LONGEST_FT = Decimal(1000)


@dataclass(frozen=True, slots=True)
class CrawlFloor:
    """A rectangle to cover, in feet. A crooked space is several of them.

    ``roll_ft`` is the length of a roll (None: as many square feet as the strips have). ``piers`` stand in it, each
    ``pier_round_ft`` round, and are sealed like a wall.
    """

    label: str
    length_ft: Decimal
    width_ft: Decimal
    roll_width_ft: Decimal = Decimal(12)
    roll_ft: Decimal | None = None
    piers: int = 0
    pier_round_ft: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Strips:
    """How the membrane lies: so many strips of one length, all in feet."""

    count: int
    strip_ft: Decimal
    width_ft: Decimal
    crosswise: bool

    @property
    def sq_ft(self) -> Decimal:
        """Membrane used."""
        return self.count * self.strip_ft * self.width_ft

    @property
    def seam_ft(self) -> Decimal:
        """Laps to tape."""
        return (self.count - 1) * self.strip_ft


def lay_strips(floor: CrawlFloor, rules: TakeoffRules) -> Strips:
    """The way round that takes less membrane, lengthwise when it is the same. Raises NotUnderstood."""
    _check(floor, rules)
    ways = [_strips(floor, rules, crosswise) for crosswise in (False, True)]
    return min(ways, key=lambda way: (way.sq_ft, way.seam_ft, way.crosswise))


def _strips(floor: CrawlFloor, rules: TakeoffRules, crosswise: bool) -> Strips:
    lap, up = rules.surface.membrane_lap_in / 12, rules.surface.membrane_upturn_in / 12
    length, across = (floor.width_ft, floor.length_ft) if crosswise else (floor.length_ft, floor.width_ft)
    needed = across + 2 * up
    count = 1
    if needed > floor.roll_width_ft:
        count = int(((needed - lap) / (floor.roll_width_ft - lap)).to_integral_value(ROUND_CEILING))
    return Strips(count, length + 2 * up, floor.roll_width_ft, crosswise)


def _check(floor: CrawlFloor, rules: TakeoffRules) -> None:
    for value, words in (
        (floor.length_ft, "the length"),
        (floor.width_ft, "the width"),
        (floor.roll_width_ft, "the width of the roll"),
        (floor.pier_round_ft, "the way round a pier"),
        (floor.roll_ft or 0, "the length of a roll"),
    ):
        measured(value, f"{floor.label}: {words}", most=LONGEST_FT)
    if not 0 < floor.length_ft <= LONGEST_FT or not 0 < floor.width_ft <= LONGEST_FT:
        raise NotUnderstood(f"{floor.label}: type length and width of the crawl space in feet, for example 40 by 26.")
    if floor.roll_width_ft * 12 <= rules.surface.membrane_lap_in:
        raise NotUnderstood(f"{floor.label}: the roll has to be wider than the lap.", f"{floor.roll_width_ft}")
    if floor.roll_ft is not None and sixteenths(floor.roll_ft) <= 0:
        raise NotUnderstood(f"{floor.label}: type how long a roll is, in feet, or leave it empty.", f"{floor.roll_ft}")
    if floor.piers < 0 or floor.pier_round_ft < 0:
        raise NotUnderstood(f"{floor.label}: piers cannot be less than none.", f"{floor.piers}")


def wall_ft(floor: CrawlFloor) -> Decimal:
    """Feet of wall and pier the membrane is sealed to."""
    return 2 * (floor.length_ft + floor.width_ft) + floor.piers * floor.pier_round_ft


def membrane_needs(floor: CrawlFloor, rules: TakeoffRules, steps: int) -> Iterator[Need]:
    """Membrane, seam tape, wall sealant and fasteners. Raises NotUnderstood for what cannot be laid."""
    strips = lay_strips(floor, rules)
    up, lap = (
        plain(inches.normalize()) for inches in (rules.surface.membrane_upturn_in, rules.surface.membrane_lap_in)
    )
    why = (
        f"{floor.label}: {counted(strips.count, 'strip')} of {plain(strips.strip_ft.normalize())} ft from a "
        f"{plain(floor.roll_width_ft)} ft roll, laps of {lap} in, turned up {up} in"
    )
    yield _membrane(floor, strips, why, steps)
    if strips.seam_ft:
        why = f"{floor.label}: {counted(strips.count - 1, 'seam')} of {plain(strips.strip_ft.normalize())} ft"
        yield Need("seam_tape", "membrane", "Membrane seam tape", strips.seam_ft, "ft", why)
    feet = wall_ft(floor)
    piers = f" and {counted(floor.piers, 'pier')}" if floor.piers else ""
    bead = rules.surface.wall_bead_in
    joint = SealJoint(floor.label, feet, "square", bead, bead)
    yield Need(
        "membrane_sealant", "sealing", "Membrane sealant, 10 oz cartridge", cartridges(joint, rules), "tube",
        f"{floor.label}: {plain(feet)} ft of wall{piers}, bead {plain(bead.normalize())} in square, "
        f"{plain(feet_per_cartridge(joint, rules))} ft a cartridge",
    )  # fmt: skip
    spacing = rules.surface.membrane_fastener_ft
    number = (2 * (floor.length_ft + floor.width_ft) / spacing).to_integral_value(ROUND_CEILING)
    yield Need(
        "membrane_fastener", "hardware", "Membrane fastener", number, "each",
        f"{floor.label}: {plain(number)}, one each {plain(spacing.normalize())} ft of wall",
    )  # fmt: skip


def _membrane(floor: CrawlFloor, strips: Strips, why: str, steps: int) -> Need:
    key, words = "membrane", "Membrane"
    if floor.roll_ft is None:
        return Need(key, "membrane", words, strips.sq_ft, "sq ft", why)
    plan = cut_list([sixteenths(strips.strip_ft)] * strips.count, sixteenths(floor.roll_ft), 0, (), steps)
    roll_sq_ft = floor.roll_ft * floor.roll_width_ft
    why = f"{why}; {counted(plan.new_sticks, 'roll')} of {plain(floor.roll_ft)} ft"
    return Need(
        key, "membrane", words, plan.new_sticks * roll_sq_ft, "sq ft", why, pack=roll_sq_ft, used=strips.sq_ft
    )
