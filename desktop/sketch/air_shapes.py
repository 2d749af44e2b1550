"""The plot of air: the fan's curve against what the route asks for, as found and as proposed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from desktop.sketch.shapes import XY, Dot, Look, Poly, Shape, Words
from desktop.sketch.words_placed import BOLDER
from domain.airflow import inwc_from_pa
from domain.job_takeoff.air import AirCase, JobAir

STEPS = (0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0)
FOUND_TONE, PROPOSED_TONE = "over", "accent"
SAMPLE, BETWEEN = 22.0, 18.0
"""How long the stroke of a line is beside its name, and how far names stand apart."""


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


@dataclass(frozen=True, slots=True)
class _Curve:
    """A line of the plot with what it is called; ``points`` are (cfm, Pa)."""

    name: str
    points: Sequence[XY]
    tone: str
    dash: float = 0.0


def air_shapes(air: JobAir, width: float, height: float, look: Look) -> list[Shape]:
    """The whole plot, what each line is above it; empty when there is nothing to show."""
    if air.curve is None or not air.cases:
        return []
    curves = _curves(air)
    named, rows = _legend(curves, air, width, look)
    frame = _frame(air, width, height, look, rows)
    shapes = [*named, *_axes(frame, look)]
    for curve in curves:
        shapes.append(Poly(tuple(_within(frame, curve.points)), curve.tone, 2.0, dash=curve.dash))
    shapes += _rests(air, frame)
    return shapes


def _curves(air: JobAir) -> list[_Curve]:
    fans = [_Curve(fan.name or "the fan", fan.line(), "ink", 2.0 * at) for at, fan in enumerate(air.fans)]
    cases = ((air.found, FOUND_TONE, "as found", 5.0), (air.proposed, PROPOSED_TONE, "proposed", 0.0))
    return fans + [
        _Curve(f"{word}: {_rest_words(case)}", case.asked, tone, dash)
        for case, tone, word, dash in cases
        if case is not None
    ]


def _rest_words(case: AirCase) -> str:
    point = case.point
    if point.too_weak:
        return "the fan is too weak"
    return f"{point.flow_cfm:.0f} cfm measured" if point.measured else f"about {point.flow_cfm:.0f} cfm"


def _legend(curves: Sequence[_Curve], air: JobAir, width: float, look: Look) -> tuple[list[Shape], int]:
    """A stroke and a name for each line, in as many rows as they need."""
    shapes: list[Shape] = []
    x, row = 0.0, 0
    asks = "rising lines: what route and ground ask for" if air.measured else "rising lines: route and suction wanted"
    for curve in (*curves, None):
        text = asks if curve is None else curve.name
        wide = look.measure(text) * BOLDER + (SAMPLE + 6 if curve is not None else 0)
        if x and x + wide > width:
            x, row = 0.0, row + 1
        y = (row + 0.5) * (look.line_height + 2)
        if curve is not None:
            shapes.append(Poly(((x, y), (x + SAMPLE, y)), curve.tone, 2.0, dash=curve.dash))
            shapes.append(Words(x + SAMPLE + 6, y, text, curve.tone, "left", curve.tone != "ink"))
        else:
            shapes.append(Words(x, y, text, "soft"))
        x += wide + BETWEEN
    return shapes, row + 1


def _frame(air: JobAir, width: float, height: float, look: Look, rows: int) -> _Frame:
    left = look.measure("0.00") + 12
    room = look.line_height * 2 + 8
    most = inwc_from_pa(max(fan.highest_pa for fan in air.fans)) * 1.08
    top = rows * (look.line_height + 2) + look.line_height + 8
    return _Frame(left, top, width - 12, height - room, air.most_cfm * 1.02, most)


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
    yield Words(frame.left, frame.top - look.line_height / 2 - 3, "suction, inches of water", "soft")
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


def _rests(air: JobAir, frame: _Frame) -> Iterator[Shape]:
    """Where fan and route come to rest, and at the foot the band of the estimate."""
    for case, tone, rise in ((air.found, FOUND_TONE, 4), (air.proposed, PROPOSED_TONE, 9)):
        if case is None or case.point.too_weak:
            continue
        point = case.point
        x, y = frame.at(point.flow_cfm, point.fan_pa)
        low, high = frame.at(point.low_cfm, 0)[0], frame.at(point.high_cfm, 0)[0]
        base = frame.bottom - rise
        yield Poly(((low, base), (min(high, frame.right), base)), tone, 3)
        yield Poly(((x, y), (x, frame.bottom)), tone, 1, dash=3)
        yield Dot(x, y, 5, "paper", 1.5, tone)
