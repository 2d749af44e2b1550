"""Puts words beside a drawing where nothing else lies; what finds no room is left out."""

from __future__ import annotations

from collections.abc import Iterable
from math import hypot

from desktop.sketch.shapes import XY, Look, Words

CELL_X, CELL_Y = 8.0, 6.0
GAP = 4.0
BOLDER = 1.12
"""How much wider strong words are."""

_SIDES = {
    "above": ("above", "below", "right", "left"),
    "below": ("below", "above", "right", "left"),
    "right": ("right", "left", "above", "below"),
    "left": ("left", "right", "above", "below"),
}


class Board:
    """The cells of a drawing that are taken. Words are offered with the side they would like best."""

    def __init__(self, width: float, height: float, look: Look) -> None:
        self._width, self._height, self._look = width, height, look
        self._taken: set[tuple[int, int]] = set()

    def take_line(self, start: XY, end: XY, thick: float) -> None:
        """Keep words off a line of the drawing."""
        length = hypot(end[0] - start[0], end[1] - start[1])
        steps = max(1, int(length / CELL_Y))
        half = thick / 2
        across = range(-int(half // CELL_Y), int(half // CELL_Y) + 1)
        for step in range(steps + 1):
            share = step / steps
            x, y = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
            column, line = int(x // CELL_X), int(y // CELL_Y)
            self._taken.update((column, line + shift) for shift in across)

    def take_spot(self, x: float, y: float, radius: float) -> None:
        """Keep words off a sign."""
        self._taken.update(self._cells(x - radius, y - radius, x + radius, y + radius))

    def place(
        self, text: str, at: XY, side: str, tone: str, off: float, *, strong: bool = False, must: bool = False
    ) -> Words | None:
        """Words beside a spot, ``off`` away from its middle; None without room, unless they ``must`` be there."""
        wide, high = self._look.measure(text) * (BOLDER if strong else 1), self._look.line_height
        sides = _SIDES[side]
        for further in (0.0, high):
            for one in sides:
                box = self._box(at, one, wide, high, off + GAP + further)
                cells = list(self._cells(*box))
                if self._inside(box) and self._taken.isdisjoint(cells):
                    self._taken.update(cells)
                    return Words(box[0], (box[1] + box[3]) / 2, text, tone, "left", strong)
        if not must:
            return None
        left, top, _, bottom = self._box(at, side, wide, high, off + GAP)
        left = min(max(left, 0.0), max(self._width - wide, 0.0))
        return Words(left, min(max((top + bottom) / 2, high / 2), self._height - high / 2), text, tone, "left", strong)

    def place_in(self, text: str, left: float, top: float, right: float, bottom: float, tone: str) -> Words | None:
        """Words in a box, as low and as far left as there is room; None where there is none."""
        wide, high = self._look.measure(text), self._look.line_height
        if wide + 2 * GAP > right - left or high + GAP > bottom - top:
            return None
        for rise in range(int((bottom - top - high - 4) / CELL_Y) + 1):
            y = bottom - high - 2 - rise * CELL_Y
            for step in range(int((right - left - wide - 2 * GAP) / CELL_X) + 1):
                x = left + GAP + step * CELL_X
                cells = list(self._cells(x, y, x + wide, y + high))
                if self._taken.isdisjoint(cells):
                    self._taken.update(cells)
                    return Words(x, y + high / 2, text, tone)
        return None

    def _box(self, at: XY, side: str, wide: float, high: float, off: float) -> tuple[float, float, float, float]:
        x, y = at
        if side in ("above", "below"):
            left, top = x - wide / 2, y - off - high if side == "above" else y + off
        else:
            left, top = x + off if side == "right" else x - off - wide, y - high / 2
        return left, top, left + wide, top + high

    def _inside(self, box: tuple[float, float, float, float]) -> bool:
        return box[0] >= 0 and box[1] >= 0 and box[2] <= self._width and box[3] <= self._height

    def _cells(self, left: float, top: float, right: float, bottom: float) -> Iterable[tuple[int, int]]:
        lines = range(int(top // CELL_Y), int(bottom // CELL_Y) + 1)
        return [(column, line) for column in range(int(left // CELL_X), int(right // CELL_X) + 1) for line in lines]
