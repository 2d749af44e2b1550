"""Routes no air can be claimed for: none draws on them, or water stands in the pipe and closes it."""

from __future__ import annotations

from decimal import Decimal

from domain.routes import Leg, Route, RouteRules
from domain.routes.slope import slopes
from domain.units.lengths import format_inches
from domain.units.numbers import plain


def no_air(route: Route, rules: RouteRules | None) -> str:
    """Why no figure of this route's air can stand, for the owner; "" where one can.

    A pipe is closed where water may stand as deep as its nominal size (common practice, no source): the air cannot
    pass under water at the suction a radon fan gives.
    """
    if not any(part.kind == "fan" for part in route.fittings):
        return "no fan is in this route yet, so nothing is said of its air. Put “fan” where it will stand."
    depth, size = _deepest(route, rules)
    if size and depth >= size:
        return (
            f"water would stand {format_inches(depth)} deep in the {plain(size.normalize())} in pipe and close "
            "it, so no air is reckoned for it. Give the pipe its fall, or put a drain there."
        )
    return ""


def water_note(route: Route, rules: RouteRules | None) -> str:
    """Water that leaves only a part of the pipe to the air; "" where none stands."""
    depth, size = _deepest(route, rules)
    if not depth or not size:
        return ""
    return (
        f"water may stand up to {format_inches(depth)} deep in the {plain(size.normalize())} in pipe. The air "
        "is reckoned for a dry pipe: with water in it less passes."
    )


def _deepest(route: Route, rules: RouteRules | None) -> tuple[Decimal, Decimal]:
    """Depth and nominal size in inches where water fills most of the pipe; nothing without rules or water."""
    nothing = (Decimal(0), Decimal(0))
    if rules is None:
        return nothing
    pools = [(spot.depth_in, _size_at(route, spot.run, spot.part)) for spot in slopes(route, rules).low_spots]
    return max((pool for pool in pools if pool[1]), key=lambda pool: pool[0] / pool[1], default=nothing)


def _size_at(route: Route, run: int, part: int) -> Decimal:
    parts = route.runs[run].parts
    here = parts[max(0, min(part, len(parts) - 1))] if parts else None
    if here is None:
        return Decimal(0)
    return here.size if isinstance(here, Leg) else here.size_after
