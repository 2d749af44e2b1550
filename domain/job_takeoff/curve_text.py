"""A fan's curve as it is typed from its sheet, one point a line: cfm, a colon, inches of water."""

from __future__ import annotations

import json
from decimal import Decimal

from domain.airflow import FanCurve
from domain.errors import NotUnderstood, as_typed
from domain.job_takeoff.records import FanCurveRow
from domain.units.numbers import plain, read_number, to_places

Points = tuple[tuple[Decimal, Decimal], ...]

EXAMPLE = "0: 1.9\n60: 1.5\n120: 0.9"


def read_points(text: str) -> Points:
    """``0: 1.9`` on each line (or with commas between): flow in cfm, pressure in inches of water column.

    Raises NotUnderstood for a word that is no point, and in the words of `FanCurve` for a curve that cannot be: too
    few points, a flow twice, a pressure that rises.
    """
    points = [_point(piece) for piece in text.replace(";", "\n").replace(",", "\n").splitlines() if piece.strip()]
    FanCurve(points)
    return tuple(sorted(points))


def _point(piece: str) -> tuple[Decimal, Decimal]:
    flow, colon, pressure = piece.partition(":")
    numbers = read_number(flow), read_number(pressure)
    if not colon or numbers[0] is None or numbers[1] is None:
        raise NotUnderstood(
            f"{as_typed(piece)} is no point. Type the flow in cfm, a colon and the inches of water: 60: 1.5.", piece
        )
    return to_places(numbers[0], 3), to_places(numbers[1], 3)


def print_points(points: Points) -> str:
    """The points as they are typed."""
    return "\n".join(f"{plain(flow)}: {plain(pressure)}" for flow, pressure in points)


def store_points(points: Points) -> str:
    """The points as they are kept."""
    return json.dumps([[str(flow), str(pressure)] for flow, pressure in points])


def stored_points(text: str) -> Points:
    """The points that `store_points` kept."""
    return tuple((Decimal(flow), Decimal(pressure)) for flow, pressure in json.loads(text))


def curve_of(row: FanCurveRow) -> FanCurve:
    """The curve to reckon with."""
    return FanCurve(stored_points(row.points), name=row.name)
