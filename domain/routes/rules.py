"""The figures a route is judged by, looked up once for the day of the job.

Where the published sources disagree the owner chooses: ``supports`` "newer" (every 4 ft along, 10 ft upright) or
"older" (6 and 8 ft, an upright pipe being held where it goes through a floor or roof); ``openings`` "older" (2 ft
above the top of an opening) or "newer" (4 ft).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.routes.route import PIPE_SIZES
from domain.standards import Standard, standard_on

LONGEST_LEG_FT = Decimal(300)
"""Longer than any leg in a house: our own limit, so that a slip of the finger is noticed."""

SUPPORT_RULES = ("newer", "older")
OPENING_RULES = ("older", "newer")


@dataclass(frozen=True, slots=True)
class RouteRules:
    """Feet and inches of the standards chosen; see `domain.standards` for the source of each."""

    slope_in_per_ft: Decimal
    support_along_ft: Decimal
    support_upright_ft: Decimal
    support_discharge_ft: Decimal
    support_fan_in: Decimal
    support_shortest_ft: Decimal  # along or upright, no longer than this: held by its neighbours
    passage_holds: bool  # an upright pipe is held where it goes through a floor or roof
    discharge_above_grade_ft: Decimal
    discharge_from_opening_ft: Decimal
    discharge_above_opening_ft: Decimal
    discharge_above_roof_in: Decimal
    discharge_from_wall_ft: Decimal
    outside_in: Mapping[Decimal, Decimal]  # outside diameter by nominal size
    support_source: str
    longest_leg_ft: Decimal = LONGEST_LEG_FT


def size_key(size: Decimal) -> str:
    """A nominal size as it stands in the keys of the standards table: ``3``, ``1_1_2``."""
    return "1_1_2" if size == Decimal("1.5") else f"{size.normalize():f}"


def route_rules(
    day: date, own: Iterable[Standard] = (), supports: str = "newer", openings: str = "older"
) -> RouteRules:
    """The rules in force on a day; the owner's own rows of the standards table win.

    Raises ValueError for a choice that is none, NotUnderstood for a day before the tables begin.
    """
    if supports not in SUPPORT_RULES or openings not in OPENING_RULES:
        raise ValueError(f"no such rule: {supports}, {openings}")
    own = tuple(own)

    def figure(key: str) -> Decimal:
        return standard_on(key, day, own).value

    older = supports == "older"
    ending = "_older_ft" if older else "_ft"
    source = standard_on(f"support_horizontal{ending}", day, own)
    above = "discharge_above_opening_newer_ft" if openings == "newer" else "discharge_above_opening_ft"
    return RouteRules(
        slope_in_per_ft=figure("slope_in_per_ft"),
        support_along_ft=figure(f"support_horizontal{ending}"),
        support_upright_ft=figure(f"support_vertical{ending}"),
        support_discharge_ft=figure("support_discharge_ft"),
        support_fan_in=figure("support_fan_in"),
        support_shortest_ft=figure("support_shortest_ft"),
        passage_holds=older,
        discharge_above_grade_ft=figure("discharge_above_grade_ft"),
        discharge_from_opening_ft=figure("discharge_from_opening_ft"),
        discharge_above_opening_ft=figure(above),
        discharge_above_roof_in=figure("discharge_above_roof_in"),
        discharge_from_wall_ft=figure("discharge_from_wall_ft"),
        outside_in={size: figure(f"pipe_outside_{size_key(size)}_in") for size in PIPE_SIZES},
        support_source=", ".join(part for part in (source.source, source.section, source.edition) if part),
    )
