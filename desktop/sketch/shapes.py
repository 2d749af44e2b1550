"""The few shapes a sketch is made of. x to the right, y down from the top left; colours by their role.

Roles: ink, soft, faint, line, paper, pipe, kept, space, accent, over, error, under; empty: not drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Poly:
    """A line through points, closed and filled where ``fill`` is given. ``dash`` is the length of a dash, 0: solid."""

    points: tuple[XY, ...]
    stroke: str = "ink"
    width: float = 1.0
    fill: str = ""
    dash: float = 0.0
    round_ends: bool = False


@dataclass(frozen=True, slots=True)
class Dot:
    """A circle."""

    x: float
    y: float
    radius: float
    stroke: str = "ink"
    width: float = 1.0
    fill: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Words in one line; ``x`` is their left end, middle or right end, ``y`` the middle of their height."""

    x: float
    y: float
    text: str
    tone: str = "soft"
    anchor: str = "left"  # left | middle | right
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Strokes:
    """Many straight strokes of one kind, drawn at once."""

    segments: tuple[tuple[XY, XY], ...]
    stroke: str = "ink"
    width: float = 1.0
    round_ends: bool = False


Shape = Poly | Dot | Words | Strokes


@dataclass(frozen=True, slots=True)
class Look:
    """What the shapes have to know of the type they are drawn with: width of words, height of a line."""

    measure: Callable[[str], float]
    line_height: float
