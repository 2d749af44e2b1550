"""A side drawing in feet turned into shapes of a given width and height."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from desktop.sketch.route_marks import TROUBLE, mark_shapes, support_strokes
from desktop.sketch.shapes import XY, Look, Poly, Shape, Strokes
from desktop.sketch.words_placed import Board
from domain.routes.drawing import Drawing, Field, Label, Line, Mark

MOST_PER_FT = 34.0
"""Points a foot at the most, so that a short route does not fill the sheet with a fat pipe."""

SMALL_PER_FT = 7.0
"""Below so many points a foot the signs are drawn simpler."""
LEAST_ROOM = 26.0
"""On a crowded drawing a leg shorter than so many points goes without its words."""
WORDS_ROOM = 64.0
"""Points kept free at the right for the words beside the last pipe."""

NAMED_MARKS = {"fan": "fan", "sleeve": "sleeve", "fire_passage": "fire-rated", "roof_flashing": "flashing",
               "valve": "valve", "drain": "drain"}  # fmt: skip
TONES = {"length": "ink", "slope": "soft", "height": "ink", "run": "ink", "space": "faint"}


@dataclass(frozen=True, slots=True)
class Fit:
    """Where a drawing lies on its sheet: points a foot, and the place of its left end and of grade."""

    scale: float
    left: float
    grade: float

    def at(self, place: XY) -> XY:
        """Feet to points."""
        return self.left + place[0] * self.scale, self.grade - place[1] * self.scale

    def thick(self, size_in: float) -> float:
        """How thick a pipe is drawn: as it is, but never too thin to tell 3 in from 4 in."""
        return min(max(size_in / 12 * self.scale, 3 + size_in * 1.1), 18.0)


def fit(drawing: Drawing, width: float, height: float) -> Fit:
    """The largest scale at which everything lies on the sheet, in the middle of it."""
    words = WORDS_ROOM if width > 4 * WORDS_ROOM else 0.0
    room = width - words
    scale = min(room / max(drawing.width, 1.0), height / max(drawing.height, 1.0), MOST_PER_FT)
    left = (room - drawing.width * scale) / 2 - drawing.left * scale
    grade = (height - drawing.height * scale) / 2 + drawing.top * scale
    return Fit(scale, left, grade)


def route_shapes(
    drawing: Drawing, width: float, height: float, look: Look, chosen: tuple[int, int] | None = None
) -> list[Shape]:
    """Everything to draw, from back to front. ``chosen`` (run, part) is drawn in the accent."""
    where = fit(drawing, width, height)
    board = Board(width, height, look)
    pipes = [line for line in drawing.lines if line.part is not None]
    thick = max((where.thick(line.size_in) for line in pipes), default=6.0)
    thickness = {line.part: where.thick(line.size_in) for line in pipes}
    _take_pipes(board, pipes, where)
    shapes = [*_spaces(drawing, where), *_house(drawing, where, board)]
    shapes += _pipes(pipes, where, chosen)
    marks = sorted((mark for mark in drawing.marks if mark.kind != "support"), key=lambda mark: mark.kind in TROUBLE)
    shapes.append(_supports(drawing, where, thickness, thick))
    fans = {mark.at: mark.part for mark in marks if mark.kind == "fan" and mark.part is not None}
    for mark in marks:
        near = thickness.get(mark.part, thick)
        here = _beside_fan(mark, where.at(mark.at), fans, max(14.0, near * 1.35 + 5))
        if mark.kind in TROUBLE:
            here = (here[0] + 9, here[1] - 9)  # beside the pipe, so that what is wrong stays in sight
        shapes += mark_shapes(mark, here, near)
        board.take_spot(*here, near)
    ends = [label for label in drawing.labels if label.role in ("run", "height")]
    shapes += _labels(ends, where, board, thick, False)
    shapes += _space_names(drawing, where, board)
    lengths = [label for label in drawing.labels if label.role == "length"]
    falls = [label for label in drawing.labels if label.role == "slope"]
    crowded = len(drawing.labels) > 60
    for labels in (lengths, falls):
        shapes += _labels(labels, where, board, thick, crowded)
    if not crowded:
        shapes += _named(marks, where, board, thick)
    return shapes


def _beside_fan(mark: Mark, at: XY, fans: dict[XY, tuple[int, int]], off: float) -> XY:
    """Couplings that stand where the fan does are drawn before and behind it."""
    fan = fans.get(mark.at)
    if fan is None or mark.part is None or mark.part == fan or mark.kind not in ("flexible_coupling", "reducer"):
        return at
    way = -off if mark.part[1] < fan[1] else off
    return at[0] + cos(radians(mark.angle)) * way, at[1] - sin(radians(mark.angle)) * way


def _take_pipes(board: Board, pipes: list[Line], where: Fit) -> None:
    for line in pipes:
        start, end = (where.at(point) for point in (line.points[0], line.points[-1]))
        board.take_line(start, end, where.thick(line.size_in))


def _corners(field: Field, where: Fit) -> tuple[float, float, float, float]:
    left, top = where.at((field.left, field.top))
    right, bottom = where.at((field.right, field.bottom))
    return left, top, right, bottom


def _spaces(drawing: Drawing, where: Fit) -> Iterator[Shape]:
    for field in drawing.fields:
        left, top, right, bottom = _corners(field, where)
        yield Poly(((left, top), (right, top), (right, bottom), (left, bottom)), "line", 1, "space")


def _space_names(drawing: Drawing, where: Fit, board: Board) -> Iterator[Shape]:
    for field in drawing.fields:
        placed = board.place_in(field.words, *_corners(field, where), "faint")
        if placed is not None:
            yield placed


def _house(drawing: Drawing, where: Fit, board: Board) -> Iterator[Shape]:
    for line in drawing.lines:
        if line.part is not None:
            continue
        points = tuple(where.at(point) for point in line.points)
        board.take_line(points[0], points[-1], 2)
        if line.style == "grade":
            yield Poly(points, "soft", 1.5, dash=7)
            placed = board.place("grade", (points[0][0] + 18, points[0][1]), "below", "faint", 0)
            if placed is not None:
                yield placed
        else:
            yield Poly(points, "soft", 2)


def _pipes(pipes: list[Line], where: Fit, chosen: tuple[int, int] | None) -> Iterator[Shape]:
    """All outlines, then all fillings: so the pipe runs through its corners."""
    outlines: dict[tuple[str, float], list[tuple[XY, XY]]] = {}
    fillings: dict[tuple[str, float], list[tuple[XY, XY]]] = {}
    for line in pipes:
        ends = where.at(line.points[0]), where.at(line.points[-1])
        thick, is_chosen = where.thick(line.size_in), line.part == chosen
        outlines.setdefault(("accent" if is_chosen else "ink", thick), []).append(ends)
        fill = "kept" if line.style == "kept" else "pipe"
        fillings.setdefault((fill, thick - (3.4 if is_chosen else 2.2)), []).append(ends)
    for kinds in (outlines, fillings):
        for (tone, thick), segments in kinds.items():
            yield Strokes(tuple(segments), tone, thick, round_ends=True)


def _supports(drawing: Drawing, where: Fit, thickness: Mapping[tuple[int, int] | None, float], thick: float) -> Shape:
    found: list[tuple[XY, XY]] = []
    small = where.scale < SMALL_PER_FT
    for mark in drawing.marks:
        if mark.kind == "support":
            x, y = where.at(mark.at)
            found += support_strokes(x, y, mark.angle > 45, thickness.get(mark.part, thick), small)
    return Strokes(tuple(found), "soft", 1.5)


def _labels(labels: Sequence[Label], where: Fit, board: Board, thick: float, crowded: bool) -> Iterator[Shape]:
    for label in labels:
        if crowded and label.room_ft * where.scale < LEAST_ROOM:
            continue
        off = thick / 2 + (6 if label.role == "height" else 2)
        placed = board.place(
            label.text, where.at(label.at), label.side, TONES.get(label.role, "soft"), off,
            strong=label.role in ("run", "height"), must=label.role == "run",
        )  # fmt: skip
        if placed is not None:
            yield placed


def _named(marks: Sequence[Mark], where: Fit, board: Board, thick: float) -> Iterator[Shape]:
    """The names of the signs one does not see at every elbow."""
    named = set()
    for mark in marks:
        text = NAMED_MARKS.get(mark.kind) or (mark.words if mark.kind in ("suction", "low_spot") else "")
        if not text or (text, mark.at) in named:
            continue
        named.add((text, mark.at))
        side = "below" if mark.kind in ("suction", "low_spot") else "right"
        off = thick * 1.5 if mark.kind in ("fan", "suction", "low_spot") else thick
        placed = board.place(text, where.at(mark.at), side, "accent" if mark.kind == "low_spot" else "soft", off)
        if placed is not None:
            yield placed
