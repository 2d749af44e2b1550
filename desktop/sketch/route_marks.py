"""The signs on a side drawing: fittings, fan, supports, suction points, water and problems."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import cos, radians, sin

from desktop.sketch.shapes import XY, Dot, Poly, Shape, Words
from domain.routes.drawing import Mark

ELBOWS = ("elbow_90", "elbow_90_long", "elbow_45", "elbow_22")
TROUBLE = ("stop", "look")


class Spot:
    """A place on the drawing with the way the pipe goes there and how thick it is drawn."""

    def __init__(self, at: XY, angle: float, thick: float) -> None:
        self.x, self.y, self.thick = at[0], at[1], thick
        self._along = (cos(radians(angle)), -sin(radians(angle)))

    def to(self, along: float, across: float) -> XY:
        """The place so far along the pipe and so far to its left."""
        dx, dy = self._along
        return self.x + dx * along + dy * across, self.y + dy * along - dx * across


def mark_shapes(mark: Mark, at: XY, thick: float) -> Iterator[Shape]:
    """The sign of a mark; nothing for a kind that the pipe itself shows."""
    spot = Spot(at, mark.angle, thick)
    if mark.kind in ELBOWS:
        yield Dot(at[0], at[1], thick * 0.62, "ink", 1, "kept")
        return
    draw = _SIGNS.get(mark.kind)
    if draw is not None:
        yield from draw(spot, mark)


def _band(spot: Spot, half_long: float, half_wide: float, fill: str, stroke: str = "ink") -> Poly:
    corners = ((-half_long, -half_wide), (half_long, -half_wide), (half_long, half_wide), (-half_long, half_wide))
    return Poly(tuple(spot.to(*corner) for corner in corners), stroke, 1, fill)


def _coupling(spot: Spot, mark: Mark) -> Iterator[Shape]:
    yield _band(spot, 3, spot.thick * 0.7, "kept")


def _flexible(spot: Spot, mark: Mark) -> Iterator[Shape]:
    half = spot.thick * 0.75
    yield _band(spot, 4.5, half, "soft")
    for along in (-2, 2):
        yield Poly((spot.to(along, -half), spot.to(along, half)), "paper", 1)


def _reducer(spot: Spot, mark: Mark) -> Iterator[Shape]:
    small, large = spot.thick * 0.55, spot.thick * 0.9
    yield Poly((spot.to(-5, -small), spot.to(5, -large), spot.to(5, large), spot.to(-5, small)), "ink", 1, "kept")


def _junction(spot: Spot, mark: Mark) -> Iterator[Shape]:
    yield Dot(spot.x, spot.y, spot.thick * 0.8, "ink", 1, "kept")


def _passage(spot: Spot, mark: Mark) -> Iterator[Shape]:
    tone = "over" if mark.kind == "fire_passage" else "ink"
    for along in (-3, 3):
        yield Poly((spot.to(along, -spot.thick * 1.5), spot.to(along, spot.thick * 1.5)), tone, 2)


def _flashing(spot: Spot, mark: Mark) -> Iterator[Shape]:
    half = spot.thick
    yield Poly((spot.to(-5, -half * 2), spot.to(5, -half), spot.to(5, half), spot.to(-5, half * 2)), "ink", 1, "soft")


def _fan(spot: Spot, mark: Mark) -> Iterator[Shape]:
    """A circle with two lines that close the way the air goes, as ventilation plans draw a fan (from memory)."""
    radius = max(9.0, spot.thick * 1.35)
    yield Dot(spot.x, spot.y, radius, "ink", 1.6, "paper")
    for side in (-1, 1):
        begins, ends = spot.to(-radius * 0.5, side * radius * 0.87), spot.to(radius * 0.94, side * radius * 0.34)
        yield Poly((begins, ends), "ink", 1.4)


def _valve(spot: Spot, mark: Mark) -> Iterator[Shape]:
    half = spot.thick * 0.8
    yield Poly((spot.to(-6, -half), spot.to(-6, half), spot.to(6, -half), spot.to(6, half)), "ink", 1, "kept")


def _drain(spot: Spot, mark: Mark) -> Iterator[Shape]:
    yield Poly(((spot.x, spot.y), (spot.x, spot.y + spot.thick + 5)), "accent", 2)
    yield Dot(spot.x, spot.y + spot.thick + 8, 3, "accent", 1, "accent")


def _discharge(spot: Spot, mark: Mark) -> Iterator[Shape]:
    half = spot.thick * 0.5 + 3
    yield Poly((spot.to(4, -half), spot.to(14, 0), spot.to(4, half)), "accent", 1, "accent")


def _suction(spot: Spot, mark: Mark) -> Iterator[Shape]:
    """A bowl under the slab, a box for a sump, a ring for drain tile, waves below a membrane, blocks of a wall."""
    x, y, wide = spot.x, spot.y, max(13.0, spot.thick * 1.8)
    if "pit" in mark.words:
        bowl = tuple((x - wide * cos(radians(step)), y + wide * 0.8 * sin(radians(step))) for step in range(0, 181, 20))
        yield Poly(bowl, "soft", 1, "space", 3)
    elif "sump" in mark.words:
        yield Poly(((x - wide, y), (x - wide, y + wide), (x + wide, y + wide), (x + wide, y)), "soft", 1.5, "space")
        yield Poly(((x - wide - 3, y), (x + wide + 3, y)), "ink", 2.5)
    elif "tile" in mark.words:
        yield Dot(x, y + 7, 7, "soft", 1.5, "space")
    elif "membrane" in mark.words:
        wave = tuple((x - 2 * wide + step * wide / 2, y + (3 if step % 2 else 0)) for step in range(9))
        yield Poly(wave, "accent", 1.5)
    else:
        for row in (0, 1):
            yield Poly(((x - 8, y + row * 7), (x + 8, y + row * 7), (x + 8, y + row * 7 + 7), (x - 8, y + row * 7 + 7)),
                       "soft", 1, "space")  # fmt: skip


def support_strokes(x: float, y: float, upright: bool, thick: float, small: bool) -> tuple[tuple[XY, XY], ...]:
    """The strokes of a support: a rod with a foot, from above or, for an upright pipe, from its side."""
    reach = thick / 2 + (4 if small else 6)
    if upright:
        rod = ((x, y), (x - reach, y))
        return (rod,) if small else (rod, ((x - reach, y - 3), (x - reach, y + 3)))
    rod = ((x, y), (x, y - reach))
    return (rod,) if small else (rod, ((x - 3, y - reach), (x + 3, y - reach)))


def _low_spot(spot: Spot, mark: Mark) -> Iterator[Shape]:
    x, y = spot.x, spot.y + spot.thick / 2 + 9
    yield Poly(((x, y - 7), (x + 4, y), (x, y + 4), (x - 4, y)), "accent", 1, "accent")


def _trouble(spot: Spot, mark: Mark) -> Iterator[Shape]:
    tone = "error" if mark.kind == "stop" else "over"
    yield Dot(spot.x, spot.y, 7.5, "paper", 1.5, tone)
    yield Words(spot.x, spot.y, "!", "paper", "middle", True)


_SIGNS: Mapping[str, Callable[[Spot, Mark], Iterator[Shape]]] = {
    "coupling": _coupling,
    "flexible_coupling": _flexible,
    "reducer": _reducer,
    "wye": _junction,
    "tee": _junction,
    "sleeve": _passage,
    "fire_passage": _passage,
    "roof_flashing": _flashing,
    "fan": _fan,
    "valve": _valve,
    "drain": _drain,
    "discharge": _discharge,
    "suction": _suction,
    "low_spot": _low_spot,
    "stop": _trouble,
    "look": _trouble,
}
