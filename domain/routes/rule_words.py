"""How the rules that an owner chooses between are called, with their figures of the day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from domain.routes.rules import OPENING_RULES, SUPPORT_RULES, route_rules
from domain.standards import Standard, standard_on
from domain.units.numbers import plain


def support_choices(day: date, own: Iterable[Standard] = ()) -> list[tuple[str, str]]:
    """``("newer", "4 ft along, 10 ft upright (ANSI/AARST RMS-LB)")`` and the other rule."""
    own = tuple(own)
    found = []
    for choice in SUPPORT_RULES:
        rules = route_rules(day, own, supports=choice)
        key = "support_horizontal_older_ft" if choice == "older" else "support_horizontal_ft"
        along, upright = plain(rules.support_along_ft), plain(rules.support_upright_ft)
        found.append((choice, f"{along} ft along, {upright} ft upright ({_source(key, day, own)})"))
    return found


def opening_choices(day: date, own: Iterable[Standard] = ()) -> list[tuple[str, str]]:
    """``("older", "2 ft above the top of an opening (25 Pa. Code)")`` and the one for new construction."""
    own = tuple(own)
    found = []
    for choice in OPENING_RULES:
        feet = plain(route_rules(day, own, openings=choice).discharge_above_opening_ft)
        newer = choice == "newer"
        key = "discharge_above_opening_newer_ft" if newer else "discharge_above_opening_ft"
        words = "above it, new construction" if newer else "above the top of an opening"
        found.append((choice, f"{feet} ft {words} ({_source(key, day, own)})"))
    return found


def set_aside(supports: str, openings: str) -> frozenset[str]:
    """Keys of the figures that nothing counts by while the other rule of their pair is chosen."""
    along = "support_horizontal_ft", "support_vertical_ft"
    older = "support_horizontal_older_ft", "support_vertical_older_ft"
    opening = "discharge_above_opening_ft" if openings == "newer" else "discharge_above_opening_newer_ft"
    return frozenset((*(along if supports == "older" else older), opening))


def _source(key: str, day: date, own: tuple[Standard, ...]) -> str:
    row = standard_on(key, day, own)
    return " ".join(part for part in (row.source, row.edition.partition(",")[0]) if part)
