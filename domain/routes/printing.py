"""Prints a route in the shorthand it is typed in; reading it gives the very same route."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood
from domain.routes.route import Fitting, Leg, Part, Route, Run, Surroundings
from domain.routes.shorthand import FITTING_TYPED
from domain.units.lengths import format_length, parse_length_ft

LINE_WIDTH = 100


def print_route(route: Route) -> str:
    """The route as text: a line for its name, one or more for each run, one for what the discharge is near."""
    lines = [f"{route.status}: {route.name}".rstrip()] if route.name or route.status != "proposed" else []
    for run in route.runs:
        lines += _run_lines(run)
    near = _near_words(route.surroundings)
    if near:
        lines.append(f"near: {near}")
    return "\n".join(lines)


def print_length(feet: Decimal) -> str:
    """``6'6"`` or, where sixteenths of an inch do not give it exactly, ``6.333'``."""
    short = format_length(feet, "ft-in").replace(",", "").replace("' ", "'").replace(" ", "-")
    try:
        if parse_length_ft(short) == feet:
            return short
    except NotUnderstood:
        pass
    return f"{_plain(feet)}'"


def print_part(part: Part) -> str:
    """One part as it is typed, without size and space: ``along 12' rise 1/8``."""
    return _part_words(part)


def _run_lines(run: Run) -> list[str]:
    start = "" if run.start_ft is None else f"at {_height(run.start_ft)}"
    named = [run.suction, *(["kept"] if run.kept else [])] if run.said else []
    words = [" ".join([f"{run.name}:", *named, *([start] if start else [])])]
    size, space = None, None
    for part in run.parts:
        stated = [part.space] if part.space != space else []
        stated += [_size(part.size)] if part.size != size else []
        words.append(" ".join([*stated, _part_words(part)]))
        size = part.size if isinstance(part, Leg) else part.size_after
        space = part.space
    return _wrapped(words)


def _wrapped(words: list[str]) -> list[str]:
    lines = [words[0]]
    for word in words[1:]:
        if lines[-1].endswith(":"):
            lines[-1] += f" {word}"
        elif len(lines[-1]) + len(word) + 2 > LINE_WIDTH:
            lines[-1] += ","
            lines.append(f"   {word}")
        else:
            lines[-1] += f", {word}"
    return lines


def _part_words(part: Part) -> str:
    return " ".join(_leg_words(part) if isinstance(part, Leg) else _fitting_words(part))


def _leg_words(leg: Leg) -> list[str]:
    words = [leg.direction, print_length(leg.length_ft)]
    slope = leg.rise_in_per_ft
    if slope is not None:
        words += ["level"] if not slope else ["rise" if slope > 0 else "drop", _slope(abs(slope))]
    if leg.heading:
        words.append(leg.heading)
    if leg.under_ft is not None:
        words += ["under", _height(leg.under_ft)]
    if leg.over_ft is not None:
        words += ["over", _height(leg.over_ft)]
    return [*words, "kept"] if leg.kept else words


def _fitting_words(fitting: Fitting) -> list[str]:
    words = [FITTING_TYPED[fitting.kind]]
    if fitting.joins:
        words.append(fitting.joins)
    if fitting.to_size is not None:
        words += [_size(fitting.to_size)] if fitting.kind == "reducer" else ["to", _size(fitting.to_size)]
    if fitting.side_size is not None:
        words += ["side", _size(fitting.side_size)]
    if fitting.turned:
        words.append("turn")
    return [*words, "kept"] if fitting.kept else words


def _near_words(near: Surroundings) -> str:
    words = []
    if near.opening_distance_ft is not None:
        words.append(f"opening {print_length(near.opening_distance_ft)}")
    if near.opening_top_ft is not None:
        words.append(f"top {_height(near.opening_top_ft)}")
    if near.wall_distance_ft is not None:
        words.append(f"wall {print_length(near.wall_distance_ft)}")
    return " ".join(words)


def _height(feet: Decimal) -> str:
    return f"-{print_length(-feet)}" if feet < 0 else print_length(feet)


def _slope(inches: Decimal) -> str:
    ratio = Fraction(inches)
    return f"{ratio.numerator}/{ratio.denominator}" if 1 < ratio.denominator <= 16 and ratio < 1 else _plain(inches)


def _size(size: Decimal) -> str:
    return "1-1/2in" if size == Decimal("1.5") else f"{_plain(size)}in"


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
