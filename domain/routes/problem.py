"""One thing wrong with a route, at its place."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from domain.units.lengths import format_length

STOP, LOOK = "stop", "look"


@dataclass(frozen=True, slots=True)
class RouteProblem:
    """Something to put right (``stop``: the list cannot be trusted yet) or to look at (``look``).

    ``part`` is None for the whole run, ``run`` None for the whole route.
    """

    severity: str
    run: int | None
    part: int | None
    message: str


def height_words(feet: Decimal, unit: str = "ft-in") -> str:
    """A height as it is read: ``6' 6" below grade``; ``unit`` as for `format_length`."""
    if not feet:
        return "at grade"
    return f"{format_length(abs(feet), unit)} {'above' if feet > 0 else 'below'} grade"
