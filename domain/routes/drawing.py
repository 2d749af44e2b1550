"""The side drawing of a route as plain data: lines, marks, words and fields, the same for the window and for paper.

Feet; x to the right, y up, grade at 0. What goes away from the viewer is drawn to the upper right, a little
shortened, so that a run from the near side does not lie on the one it joins. Nothing here knows a pixel or a font.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import atan2, degrees

from domain.routes.problem import RouteProblem, height_words
from domain.routes.route import SPACES, SUCTION_POINTS, Fitting, Leg, Route, size_words
from domain.routes.rules import RouteRules
from domain.routes.slope import LegSlope, Slopes
from domain.routes.study import RouteStudy, study_route
from domain.routes.supports import Supports
from domain.routes.walk import Placed, Point, Walk
from domain.units.lengths import format_inches, format_length

AWAY_RIGHT, AWAY_UP = 0.5, 0.3
MARGIN_FT = 2.0
WORDS_FT = 5.0
"""Room for the words beside the last upright pipe."""
FIELD_ROOM_FT = 0.7
LEAST_FIELD_FT = 3.0
STEEP_IN_PER_FT = 3
"""From here on a slope is seen without words."""

XY = tuple[float, float]
Spans = dict[tuple[int, int], tuple[XY, XY]]
"""Where each part begins and ends on the drawing, by run and part."""

_length_words = lru_cache(maxsize=2048)(format_length)
"""The same lengths are written again with every keystroke."""


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
    spans = _spans(walk)
    fields = _fields(walk, spans)
    lines = [*_house_lines(walk, spans), *_pipes(walk, spans)]
    marks = [*_starts(route, walk), *_fittings(walk, spans), *_support_marks(study.supports)]
    if with_problems:
        marks += _trouble(walk, study.problems, study.slopes, spans)
    labels = [
        *_leg_labels(walk, study.slopes, spans, unit),
        *_run_labels(route, walk),
        *_end_label(route, walk, unit),
    ]
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


def _spans(walk: Walk) -> Spans:
    found: Spans = {}
    for number, run in enumerate(walk.runs):
        here = seen(walk.starts[number])
        for placed in run:
            there = here if placed.end is placed.start else seen(placed.end)
            found[(number, placed.index)] = (here, there)
            here = there
    return found


def _middle(span: tuple[XY, XY]) -> XY:
    (x0, y0), (x1, y1) = span
    return (x0 + x1) / 2, (y0 + y1) / 2


def _way(span: tuple[XY, XY]) -> float:
    (x0, y0), (x1, y1) = span
    return degrees(atan2(y1 - y0, x1 - x0))


def _pipes(walk: Walk, spans: Spans) -> Iterable[Line]:
    for place, placed in _by_place(walk):
        part = placed.part
        if isinstance(part, Leg) and part.length_ft > 0:
            yield Line("kept" if part.kept else "pipe", spans[place], float(part.size), place)


def _by_place(walk: Walk) -> Iterable[tuple[tuple[int, int], Placed]]:
    return (((number, placed.index), placed) for number, run in enumerate(walk.runs) for placed in run)


def _fittings(walk: Walk, spans: Spans) -> Iterable[Mark]:
    """Each fitting, turned the way the pipe goes before it; at the beginning of a run, as it goes behind it."""
    for number, run in enumerate(walk.runs):
        first = next((placed for placed in run if isinstance(placed.part, Leg) and placed.part.length_ft > 0), None)
        angle = 90.0 if first is None else _way(spans[(number, first.index)])
        for placed in run:
            part, place = placed.part, (number, placed.index)
            if isinstance(part, Fitting):
                yield Mark(part.kind, spans[place][1], angle, _fitting_words(part), place)
            elif part.length_ft > 0:
                angle = _way(spans[place])


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


def _trouble(walk: Walk, problems: Iterable[RouteProblem], fall: Slopes, spans: Spans) -> Iterable[Mark]:
    for problem in problems:
        place = (problem.run or 0, problem.part or 0)
        if place in spans:
            yield Mark(problem.severity, _middle(spans[place]), 0.0, problem.message, place)
    for spot in fall.low_spots:
        place = (spot.run, spot.part)
        at = spans[place][1] if place in spans else seen(walk.starts[spot.run])
        yield Mark("low_spot", at, 0.0, f"water up to {format_inches(spot.depth_in)} deep", place)


# ---------------------------------------------------------------------- house


def _house_lines(walk: Walk, spans: Spans) -> Iterable[Line]:
    across = [x for span in spans.values() for x, _ in span]
    if not across:
        return
    left, right = min(across) - MARGIN_FT, max(across) + MARGIN_FT
    yield Line("grade", ((left, 0.0), (right, 0.0)))
    for start in walk.starts:
        x, y = seen(start)
        if start.z:
            yield Line("floor", ((x - 1.5, y), (x + 1.5, y)))
    for place, placed in _by_place(walk):
        if isinstance(placed.part, Fitting) and placed.part.kind == "roof_flashing":
            x, y = spans[place][1]
            yield Line("roof", ((x - 2.4, y - 1.2), (x + 2.4, y + 1.2)))


def _fields(walk: Walk, spans: Spans) -> list[Field]:
    """One box a space, round all of its legs; the space below the slab and the roof are drawn as lines instead."""
    boxes: dict[str, list[XY]] = {}
    for place, placed in _by_place(walk):
        if isinstance(placed.part, Leg) and placed.part.space not in ("slab", "roof", "outside"):
            boxes.setdefault(placed.part.space, []).extend(spans[place])
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


def _leg_labels(walk: Walk, fall: Slopes, spans: Spans, unit: str) -> Iterable[Label]:
    slope_of = {(leg.run, leg.part): leg for leg in fall.legs}
    size: Decimal | None = None
    for place, placed in _by_place(walk):
        leg = placed.part
        if not isinstance(leg, Leg) or not leg.length_ft:
            continue
        at = _middle(spans[place])
        words = _length_words(leg.length_ft, unit)
        words += f" of {size_words(leg.size)}" if leg.size != size else ""
        size = leg.size
        room = float(leg.length_ft)
        side = "above" if leg.is_level else "right"
        yield Label("length", words, at, side, room)
        slope = slope_of.get(place)
        if slope is not None and abs(slope.has_in) <= STEEP_IN_PER_FT * leg.length_ft:
            yield Label("slope", _fall_words(slope), at, "below", room)


def _fall_words(slope: LegSlope) -> str:
    if not slope.has_in:
        return "level: no fall"
    way = "falls" if slope.has_in > 0 else "drops away"
    return f"{way} {format_inches(abs(slope.has_in))}"


def _run_labels(route: Route, walk: Walk) -> Iterable[Label]:
    if len(route.runs) > 1:
        for run, start in zip(route.runs, walk.starts, strict=True):
            yield Label("run", run.name, seen(start), "left", MARGIN_FT)


def _end_label(route: Route, walk: Walk, unit: str) -> Iterable[Label]:
    main = route.main
    if main is not None and main.fittings and main.fittings[-1].kind == "discharge":
        end = walk.end_of(0)
        yield Label("height", height_words(end.z, unit), seen(end), "right", MARGIN_FT)
