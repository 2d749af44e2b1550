"""The side drawing of a route as plain data: lines, marks, words and fields, the same for the window and for paper.

Feet; x to the right, y up, grade at 0. What goes away from the viewer is drawn to the upper right, a little
shortened, so that a run from the near side does not lie on the one it joins. Nothing here knows a pixel or a font.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import atan2, degrees

from domain.routes.problem import RouteProblem
from domain.routes.route import SPACES, SUCTION_POINTS, Fitting, Leg, Route, size_words
from domain.routes.rules import RouteRules
from domain.routes.slope import LegSlope, Slopes, inches_words
from domain.routes.study import RouteStudy, study_route
from domain.routes.supports import Supports
from domain.routes.walk import Placed, Point, Walk
from domain.units.lengths import format_length

AWAY_RIGHT, AWAY_UP = 0.5, 0.3
MARGIN_FT = 2.0
WORDS_FT = 5.0
"""Room for the words beside the last upright pipe."""
FIELD_ROOM_FT = 0.7
LEAST_FIELD_FT = 3.0
STEEP_IN_PER_FT = 3
"""From here on a slope is seen without words."""

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A polyline. ``style``: pipe, kept, sleeve, grade, floor or roof. ``part`` is (run, part) of a pipe."""

    style: str
    points: tuple[XY, ...]
    size_in: float = 0.0
    part: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A sign at a place: a kind of fitting, ``suction``, ``support``, ``low_spot``, ``stop`` or ``look``.

    ``angle`` is the way the pipe goes there, degrees from right, counter-clockwise. ``words`` say what it is.
    """

    kind: str
    at: XY
    angle: float
    words: str
    part: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """Words beside a pipe. ``side``: above, below, right or left of ``at``; ``room_ft`` is the length they may take."""

    role: str  # length | slope | space | height | run
    text: str
    at: XY
    side: str
    room_ft: float


@dataclass(frozen=True, slots=True)
class Field:
    """The part of the house a stretch of pipe is in: a tinted box with its name."""

    space: str
    words: str
    left: float
    bottom: float
    right: float
    top: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything to draw, from back to front: fields, lines, marks, labels; and the box they lie in."""

    fields: tuple[Field, ...]
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]
    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Feet from left to right, margins included."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Feet from bottom to top, margins included."""
        return self.top - self.bottom


def draw_route(route: Route, rules: RouteRules, unit: str = "ft-in", with_problems: bool = True) -> Drawing:
    """The side drawing of a route; without problems for a paper the customer reads.

    ``unit`` is the one lengths are read in (``ft-in``, ``ft`` or ``m``).
    """
    return draw_study(study_route(route, rules), unit, with_problems)


def draw_study(study: RouteStudy, unit: str = "ft-in", with_problems: bool = True) -> Drawing:
    """The same for a route that has been studied already."""
    route, walk = study.route, study.walk
    fields = _fields(walk)
    lines = [*_house_lines(walk), *_pipes(walk)]
    marks = [*_starts(route, walk), *_fittings(walk), *_support_marks(study.supports)]
    if with_problems:
        marks += _trouble(walk, study.problems, study.slopes)
    labels = [*_leg_labels(walk, study.slopes, unit), *_run_labels(route, walk), *_end_label(route, walk, unit)]
    xs = [x for line in lines for x, _ in line.points] + [mark.at[0] for mark in marks] or [0.0]
    ys = [y for line in lines for _, y in line.points] + [mark.at[1] for mark in marks] or [0.0]
    return Drawing(
        tuple(fields), tuple(lines), tuple(marks), tuple(labels),
        min(xs) - MARGIN_FT, min(ys) - MARGIN_FT, max(xs) + WORDS_FT, max(ys) + MARGIN_FT,
    )  # fmt: skip


def seen(point: Point) -> XY:
    """Where a place of the house is on the drawing."""
    away = float(point.y)
    return float(point.x) + away * AWAY_RIGHT, float(point.z) + away * AWAY_UP


# ---------------------------------------------------------------------- pipe


def _pipes(walk: Walk) -> Iterable[Line]:
    for placed in walk.placed:
        if isinstance(placed.part, Leg) and placed.start != placed.end:
            style = "kept" if placed.part.kept else "pipe"
            points = (seen(placed.start), seen(placed.end))
            yield Line(style, points, float(placed.part.size), (placed.run, placed.index))


def _angle(run: tuple[Placed, ...], index: int) -> float:
    """The way the pipe goes at a fitting: as the leg before it, or else the one behind."""
    near = [*reversed(run[:index]), *run[index:]]
    leg = next((placed for placed in near if placed.start != placed.end), None)
    return 90.0 if leg is None else _way(leg)


def _way(placed: Placed) -> float:
    (x0, y0), (x1, y1) = seen(placed.start), seen(placed.end)
    return degrees(atan2(y1 - y0, x1 - x0))


def _fittings(walk: Walk) -> Iterable[Mark]:
    for run in walk.runs:
        for placed in run:
            part = placed.part
            if isinstance(part, Fitting):
                angle = _angle(run, placed.index)
                yield Mark(part.kind, seen(placed.end), angle, _fitting_words(part), (placed.run, placed.index))


def _fitting_words(part: Fitting) -> str:
    to = f" to {size_words(part.to_size)}" if part.to_size is not None else ""
    return f"{part.words}, {size_words(part.size)}{to}{', stays' if part.kept else ''}"


def _starts(route: Route, walk: Walk) -> Iterable[Mark]:
    for run, start in zip(route.runs, walk.starts, strict=True):
        yield Mark("suction", seen(start), 90.0, SUCTION_POINTS.get(run.suction, run.suction))


def _support_marks(found: Supports) -> Iterable[Mark]:
    for support in found.all:
        words = {"spacing": "support", "discharge": "support near the discharge", "fan": "support beside the fan"}
        angle = 90.0 if support.upright else 0.0
        yield Mark("support", seen(support.at), angle, words[support.rule], (support.run, support.part))


def _trouble(walk: Walk, problems: Iterable[RouteProblem], fall: Slopes) -> Iterable[Mark]:
    for problem in problems:
        number = problem.run or 0
        if number < len(walk.runs) and walk.runs[number]:
            placed = walk.runs[number][problem.part or 0]
            yield Mark(problem.severity, _middle(placed), 0.0, problem.message, (number, problem.part or 0))
    for spot in fall.low_spots:
        at = walk.runs[spot.run][spot.part].end if spot.part >= 0 else walk.starts[spot.run]
        yield Mark("low_spot", seen(at), 0.0, f"water up to {inches_words(spot.depth_in)} deep", (spot.run, spot.part))


def _middle(placed: Placed) -> XY:
    (x0, y0), (x1, y1) = seen(placed.start), seen(placed.end)
    return (x0 + x1) / 2, (y0 + y1) / 2


# ---------------------------------------------------------------------- house


def _house_lines(walk: Walk) -> Iterable[Line]:
    points = [seen(p) for placed in walk.placed for p in (placed.start, placed.end)]
    if not points:
        return
    left, right = min(x for x, _ in points) - MARGIN_FT, max(x for x, _ in points) + MARGIN_FT
    yield Line("grade", ((left, 0.0), (right, 0.0)))
    for start in walk.starts:
        x, y = seen(start)
        if start.z:
            yield Line("floor", ((x - 1.5, y), (x + 1.5, y)))
    for placed in walk.placed:
        if isinstance(placed.part, Fitting) and placed.part.kind == "roof_flashing":
            x, y = seen(placed.end)
            yield Line("roof", ((x - 2.4, y - 1.2), (x + 2.4, y + 1.2)))


def _fields(walk: Walk) -> list[Field]:
    """One box a space, round all of its legs; the space below the slab and the roof are drawn as lines instead."""
    boxes: dict[str, list[XY]] = {}
    for placed in walk.placed:
        if isinstance(placed.part, Leg) and placed.part.space not in ("slab", "roof", "outside"):
            boxes.setdefault(placed.part.space, []).extend((seen(placed.start), seen(placed.end)))
    return [
        Field(
            space,
            SPACES.get(space, space),
            min(x for x, _ in points) - FIELD_ROOM_FT,
            min(*(y for _, y in points), max(y for _, y in points) - LEAST_FIELD_FT),
            max(x for x, _ in points) + FIELD_ROOM_FT,
            max(y for _, y in points) + FIELD_ROOM_FT,
        )
        for space, points in boxes.items()
    ]


# ---------------------------------------------------------------------- words


def _leg_labels(walk: Walk, fall: Slopes, unit: str) -> Iterable[Label]:
    slope_of = {(leg.run, leg.part): leg for leg in fall.legs}
    size: Decimal | None = None
    for placed in walk.placed:
        leg = placed.part
        if not isinstance(leg, Leg) or not leg.length_ft:
            continue
        words = format_length(leg.length_ft, unit)
        words += f" of {size_words(leg.size)}" if leg.size != size else ""
        size = leg.size
        room = float(leg.length_ft)
        side = "above" if leg.is_level else "right"
        yield Label("length", words, _middle(placed), side, room)
        slope = slope_of.get((placed.run, placed.index))
        if slope is not None and abs(slope.has_in) <= STEEP_IN_PER_FT * leg.length_ft:
            yield Label("slope", _fall_words(slope), _middle(placed), "below", room)


def _fall_words(slope: LegSlope) -> str:
    if not slope.has_in:
        return "level: no fall"
    way = "falls" if slope.has_in > 0 else "drops away"
    return f"{way} {inches_words(abs(slope.has_in))}"


def _run_labels(route: Route, walk: Walk) -> Iterable[Label]:
    if len(route.runs) > 1:
        for run, start in zip(route.runs, walk.starts, strict=True):
            yield Label("run", run.name, seen(start), "left", MARGIN_FT)


def _end_label(route: Route, walk: Walk, unit: str) -> Iterable[Label]:
    main = route.main
    if main is not None and main.fittings and main.fittings[-1].kind == "discharge":
        end = walk.end_of(0)
        yield Label("height", f"{format_length(end.z, unit)} above grade", seen(end), "right", MARGIN_FT)
