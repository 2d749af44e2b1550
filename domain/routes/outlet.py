"""Fan and discharge against the rules chosen: hints only, local code and licensed practice come first.

Figures from `domain.standards`: 25 Pa. Code 240.308(b) and (c), ANSI/AARST SGM-SF 6.2.3, CC-1000 9.7.1.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from domain.routes.problem import LOOK, STOP, RouteProblem, height_words
from domain.routes.route import INDOOR_SPACES, SPACES, Fitting, Leg, Route, Run
from domain.routes.rules import RouteRules
from domain.routes.walk import Walk
from domain.units.lengths import format_length
from domain.units.numbers import plain


def fan_problems(route: Route) -> Iterator[RouteProblem]:
    """A fan missing, one too many, one where the rules do not want it, and what it pushes through the house."""
    fans = [
        (number, index, part)
        for number, run in enumerate(route.runs)
        for index, part in enumerate(run.parts)
        if isinstance(part, Fitting) and part.kind == "fan"
    ]
    if not fans and any(run.parts for run in route.runs):
        yield RouteProblem(LOOK, None, None, "No fan yet: a passive stack needs none, any other route does.")
    for number, index, _ in fans[1:]:
        yield RouteProblem(LOOK, number, index, "A second fan. Two on one route fight each other; take one out.")
    for number, index, fan in fans:
        if fan.space in INDOOR_SPACES or fan.space in ("slab", "garage"):
            message = (
                f"The fan is in the {SPACES[fan.space]}. The rules seen keep it out of living space, basements, crawl "
                "spaces and what lies directly under heated rooms: attic or outside is usual. Local code decides."
            )
            yield RouteProblem(LOOK, number, index, message)
    if fans and fans[0][0] == 0:
        yield from _pressurised(route.runs[0], fans[0][1])


def _pressurised(run: Run, fan: int) -> Iterator[RouteProblem]:
    for index, part in enumerate(run.parts[fan + 1 :], fan + 1):
        if isinstance(part, Leg) and part.space in INDOOR_SPACES:
            message = f"Behind the fan the pipe is under pressure; it may not pass through the {SPACES[part.space]}."
            yield RouteProblem(LOOK, 0, index, message)


def discharge_problems(route: Route, rules: RouteRules, walk: Walk) -> Iterator[RouteProblem]:
    """Whether there is one discharge, at the end of the main run, and what the rules chosen say about its place."""
    ends = [
        (number, index)
        for number, run in enumerate(route.runs)
        for index, part in enumerate(run.parts)
        if isinstance(part, Fitting) and part.kind == "discharge"
    ]
    main = route.main
    if main is None or not main.parts:
        return
    if not ends:
        yield RouteProblem(LOOK, 0, None, "The main run has no discharge yet. End it with “out”.")
    for number, index in ends:
        if number:
            yield RouteProblem(STOP, number, index, "Only the main run, the first one, ends at the discharge.")
        elif index != len(main.parts) - 1:
            yield RouteProblem(STOP, number, index, "The discharge is the end of the route; something follows it here.")
        else:
            yield from (RouteProblem(LOOK, 0, index, message) for message in _outlet(route, main, rules, walk))


def _outlet(route: Route, main: Run, rules: RouteRules, walk: Walk) -> Iterator[str]:
    """Hints for the discharge, from the figures chosen."""
    height, near = walk.end_of(0).z, route.surroundings
    if height < rules.discharge_above_grade_ft:
        least = format_length(rules.discharge_above_grade_ft)
        yield f"The discharge is {height_words(height)}; the rule chosen wants {least} above grade."
    last = main.legs[-1] if main.legs else None
    if last is not None and (last.direction in ("along", "down") or _falls(last)):
        yield "The discharge does not point up. The rules seen want it upward, at most 45° off, and without a cap."
    distance, top = near.opening_distance_ft, near.opening_top_ft
    if distance is not None and distance < rules.discharge_from_opening_ft:
        over = rules.discharge_above_opening_ft
        if top is None or height < top + over:
            yield (
                f"An opening is {format_length(distance)} away: keep {format_length(rules.discharge_from_opening_ft)}, "
                f"or end {format_length(over)} above its top"
                + (f", at {height_words(top + over)}." if top is not None else ".")
            )
    if near.wall_distance_ft is not None and near.wall_distance_ft < rules.discharge_from_wall_ft:
        yield (
            f"A taller wall or roof is {format_length(near.wall_distance_ft)} away: the rule chosen wants "
            f"{format_length(rules.discharge_from_wall_ft)} between."
        )
    yield from _above_roof(main, rules, walk)


def _above_roof(main: Run, rules: RouteRules, walk: Walk) -> Iterator[str]:
    flashings = [n for n, part in enumerate(main.parts) if isinstance(part, Fitting) and part.kind == "roof_flashing"]
    if flashings:
        above = (walk.end_of(0).z - walk.runs[0][flashings[-1]].end.z) * 12
        if above < rules.discharge_above_roof_in:
            yield (
                f"The discharge is {plain(above.normalize())} in above the roof; the rule chosen wants "
                f"{plain(rules.discharge_above_roof_in.normalize())} in where it comes through."
            )


def _falls(leg: Leg) -> bool:
    """Whether a pitched leg points less than 45° up."""
    return leg.direction == "pitched" and (leg.rise_in_per_ft or Decimal(0)) < 12
