"""The pieces of pipe a route is cut from, and the cement joints between them.

A straight piece runs from fitting to fitting, through every sleeve, fire-rated passage and flashing between. Its length
is the measured length from centre to centre, along the pitch, less the take-off (centre to socket stop) of the
fitting at each end; the socket depth lies within it. Two fittings with nothing between are joined by a short piece
of two socket depths. Flexible couplings and fans take the pipe in a clamp or collar: no cement, no take-off.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.errors import NotUnderstood
from domain.routes.route import JUNCTIONS, PASSAGES, Fitting, Leg, Route, Run, size_words
from domain.takeoff.rules import TakeoffRules
from domain.units.lengths import format_length
from domain.units.numbers import to_places

SIXTEENTHS_PER_FT = 192
UNGLUED = frozenset({"flexible_coupling", "fan", "discharge"})
"""What pipe is clamped into, or that has no socket."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One straight piece: what it is cut to, in sixteenths of an inch, and the feet measured for it."""

    size: Decimal
    sixteenths: int
    measured_ft: Decimal
    run: str
    short: bool = False  # only joins two fittings


@dataclass(frozen=True, slots=True)
class RoutePieces:
    """Every new piece of a route, its cement joints by (size, space), and legs too short for their fittings."""

    pieces: tuple[Piece, ...]
    joints: Counter[tuple[Decimal, str]]
    too_short: tuple[str, ...]


@dataclass(slots=True)
class _Straight:
    leg: Leg  # the first of it
    measured: Decimal
    feet: Decimal


_Item = _Straight | Fitting


def sixteenths(feet: Decimal) -> int:
    """Feet as whole sixteenths of an inch, half up."""
    return int(to_places(feet * SIXTEENTHS_PER_FT, 0))


def offcut_sixteenths(feet: Decimal) -> int:
    """An offcut in whole sixteenths, rounded down: never more than is there. Raises NotUnderstood below an inch."""
    found = int(feet * SIXTEENTHS_PER_FT)
    if found < 16:
        raise NotUnderstood("An offcut of less than an inch is of no use. Check its length.", f"{feet}")
    return found


def route_pieces(route: Route, rules: TakeoffRules) -> RoutePieces:
    """The pieces and joints of every run of a route; what is kept is not cut, but glued to where it meets new pipe."""
    pieces: list[Piece] = []
    joints: Counter[tuple[Decimal, str]] = Counter()
    too_short: list[str] = []
    taking_in = {part.joins: part for part in route.fittings if part.kind in JUNCTIONS and part.joins}
    for run in route.runs:
        items = _items(run, rules)
        for position, item in enumerate(items):
            before = items[position - 1] if position else None
            after = items[position + 1] if position + 1 < len(items) else taking_in.get(run.name)
            if isinstance(item, _Straight):
                number = _joints(item.leg.size, item.leg.kept, (before, after))
                if number:
                    joints[(item.leg.size, item.leg.space)] += number
                if not item.leg.kept and item.measured > 0:
                    pieces.append(_piece(item, before, after, run, rules, too_short))
            elif isinstance(after, Fitting) and _glued(item, after):
                size = item.size_after
                length = 2 * rules.socket_in.get(size, Decimal(2)) / 12
                pieces.append(Piece(size, sixteenths(length), Decimal(0), run.name, short=True))
                joints[(size, item.space)] += 2
    return RoutePieces(tuple(pieces), joints, tuple(too_short))


def _items(run: Run, rules: TakeoffRules) -> list[_Item]:
    """Straights and fittings in order; what a pipe only passes through is left out."""
    items: list[_Item] = []
    for part in run.parts:
        if isinstance(part, Fitting):
            if part.kind not in PASSAGES:
                items.append(part)
            continue
        feet = part.pipe_ft(rules.route.slope_in_per_ft)
        last = items[-1] if items else None
        if isinstance(last, _Straight) and _goes_on(last.leg, part):
            last.measured += part.length_ft
            last.feet += feet
        else:
            items.append(_Straight(part, part.length_ft, feet))
    return items


def _goes_on(first: Leg, leg: Leg) -> bool:
    """Whether a leg is the same piece of pipe as the one before, with no fitting between."""
    return (first.direction, first.size, first.kept) == (leg.direction, leg.size, leg.kept)


def _glued(one: Fitting, other: Fitting) -> bool:
    """Whether two fittings side by side are joined by a short piece of new pipe."""
    return one.kind not in UNGLUED and other.kind not in UNGLUED and not (one.kept and other.kept)


def _joints(size: Decimal, kept: bool, ends: Iterable[_Item | None]) -> int:
    """One joint for each end in a socket, unless pipe and fitting both stay as they are."""
    return sum(
        1
        for end in ends
        if isinstance(end, Fitting) and end.kind not in UNGLUED and not (kept and end.kept)
    )  # fmt: skip


def _piece(
    item: _Straight, before: _Item | None, after: _Item | None, run: Run, rules: TakeoffRules, too_short: list[str]
) -> Piece:
    size = item.leg.size
    socket = rules.socket_in.get(size, Decimal(0))
    off = least = Decimal(0)
    for end in (before, after):
        if isinstance(end, Fitting):
            off += rules.takeoff_in.get((end.kind, size), Decimal(0))
            least += Decimal(0) if end.kind in UNGLUED else socket
    length = item.feet - off / 12
    if length * 12 < max(least, Decimal("0.0625")):
        measured, taken = format_length(item.measured, "ft-in"), format_length((off + least) / 12, "ft-in")
        too_short.append(
            f"Run {run.name}: {measured} of {size_words(size)} is shorter than the fittings at its ends ({taken}). "
            "A piece of two socket depths is counted."
        )
        length = max(least, socket) / 12
    return Piece(size, max(1, sixteenths(length)), item.measured, run.name)
