"""The plot of air: the fan's curve against what the route asks for, as found and as proposed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from desktop.sketch.shapes import XY, Dot, Look, Poly, Shape, Words
from desktop.sketch.words_placed import Board
from domain.airflow import inwc_from_pa
from domain.job_takeoff.air import JobAir

STEPS = (0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0)
FOUND_TONE, PROPOSED_TONE = "over", "accent"


@dataclass(frozen=True, slots=True)
class _Frame:
    """The field of the plot, in points, and what its far ends stand for."""

    left: float
    top: float
    right: float
    bottom: float
    most_cfm: float
    most_inwc: float

    def at(self, cfm: float, pascals: float) -> XY:
        x = self.left + cfm / self.most_cfm * (self.right - self.left)
        y = self.bottom - inwc_from_pa(pascals) / self.most_inwc * (self.bottom - self.top)
        return x, y


def air_shapes(air: JobAir, width: float, height: float, look: Look) -> list[Shape]:
    """The whole plot; empty when there is nothing to show."""
    if air.curve is None or not air.cases:
        return []
    frame = _frame(air, width, height, look)
    board = Board(width, height, look)
    shapes = list(_axes(frame, look))
    fan = [frame.at(cfm, pa) for cfm, pa in air.curve.line()]
    curves = [(fan, "ink", 2.0, 0.0)]
    if air.found is not None:
        curves.append((_within(frame, air.found.asked), FOUND_TONE, 2.0, 5.0))
    if air.proposed is not None:
        curves.append((_within(frame, air.proposed.asked), PROPOSED_TONE, 2.0, 0.0))
    for points, tone, thick, dash in curves:
        shapes.append(Poly(tuple(points), tone, thick, dash=dash))
        for start, end in pairwise(points):
            board.take_line(start, end, thick)
    shapes += _rests(air, frame, board)
    shapes += _names(air, frame, board, fan)
    return shapes


def _frame(air: JobAir, width: float, height: float, look: Look) -> _Frame:
    assert air.curve is not None
    left = look.measure("0.00") + 12
    room = look.line_height * 2 + 8
    most = inwc_from_pa(air.curve.highest_pa) * 1.08
    return _Frame(left, look.line_height + 4, width - 12, height - room, air.curve.last_cfm * 1.02, most)


def _axes(frame: _Frame, look: Look) -> Iterator[Shape]:
    for cfm in _ticks(frame.most_cfm, (frame.right - frame.left) / 60):
        x, _ = frame.at(cfm, 0)
        yield Poly(((x, frame.top), (x, frame.bottom)), "line", 1)
        yield Words(x, frame.bottom + look.line_height / 2 + 2, f"{cfm:g}", "soft", "middle")
    for inches in _ticks(frame.most_inwc, (frame.bottom - frame.top) / 34):
        y = frame.bottom - inches / frame.most_inwc * (frame.bottom - frame.top)
        yield Poly(((frame.left, y), (frame.right, y)), "line", 1)
        yield Words(frame.left - 6, y, f"{inches:g}", "soft", "right")
    yield Poly(((frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom)), "soft", 1.4)
    yield Words(frame.left, look.line_height / 2, "suction, inches of water", "soft")
    yield Words(frame.right, frame.bottom + look.line_height * 1.5 + 2, "air, cubic feet a minute", "soft", "right")


def _ticks(most: float, count: float) -> list[float]:
    step = next((one for one in STEPS if most / one <= max(count, 2)), STEPS[-1])
    return [step * n for n in range(int(most / step) + 1)]


def _within(frame: _Frame, line: Sequence[tuple[float, float]]) -> list[XY]:
    """The line up to where it leaves the field at the top."""
    points: list[XY] = []
    for cfm, pa in line:
        if inwc_from_pa(pa) > frame.most_inwc:
            break
        points.append(frame.at(cfm, pa))
    return points


def _rests(air: JobAir, frame: _Frame, board: Board) -> Iterator[Shape]:
    cases = ((air.found, FOUND_TONE, "as found"), (air.proposed, PROPOSED_TONE, "proposed"))
    spots = []
    for case, tone, word in cases:
        if case is None or case.point.too_weak:
            continue
        point = case.point
        x, y = frame.at(point.flow_cfm, point.fan_pa)
        low, high = frame.at(point.low_cfm, 0)[0], frame.at(point.high_cfm, 0)[0]
        base = frame.bottom - (9 if word == "proposed" else 4)
        yield Poly(((low, base), (high, base)), tone, 3)  # the band of the estimate
        yield Poly(((x, y), (x, frame.bottom)), tone, 1, dash=3)
        yield Dot(x, y, 5, "paper", 1.5, tone)
        board.take_spot(x, y, 6)
        spots.append((x, y, tone, f"{word}: about {point.flow_cfm:.0f} cfm"))
    for x, y, tone, text in spots:
        placed = board.place(text, (x, y), "right", tone, 6, strong=True, must=True)
        if placed is not None:
            yield placed


def _names(air: JobAir, frame: _Frame, board: Board, fan: Sequence[XY]) -> Iterator[Shape]:
    name = (air.curve.name if air.curve is not None else "") or "the fan"
    placed = board.place(name, fan[len(fan) // 6], "right", "ink", 6)
    if placed is not None:
        yield placed
    words = "route and ground" if air.measured else "route and suction wanted"
    if air.proposed is not None:
        line = _within(frame, air.proposed.asked)
        if line:
            placed = board.place(words, line[len(line) // 3], "below", "soft", 4)
            if placed is not None:
                yield placed
