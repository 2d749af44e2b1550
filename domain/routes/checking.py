"""What is wrong with a route, said kindly and at the place; nothing is refused, for a route is typed bit by bit.

Rules about the discharge, the fan and the pressurised side are hints from the standards table (`domain.standards`
names source and edition of each). Local code and licensed practice come before all of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from domain.routes.outlet import discharge_problems, fan_problems
from domain.routes.problem import LOOK, STOP, RouteProblem, height_words
from domain.routes.route import (
    JUNCTIONS,
    PIPE_SIZES,
    SIZE_CHANGERS,
    SPACES,
    Fitting,
    Leg,
    Part,
    Route,
    Run,
    size_words,
)
from domain.routes.rules import RouteRules
from domain.routes.shorthand import SIZE_LIST, may_name_run
from domain.routes.slope import Slopes, slopes
from domain.routes.walk import Walk, joins_of, walk_route
from domain.units.lengths import format_inches, format_length

KNOWN_SIZES = frozenset(PIPE_SIZES)
CLOSE_FT = Decimal("0.021")
"""A quarter of an inch: two ways of measuring a height may differ by so much."""


def check_route(
    route: Route, rules: RouteRules, walk: Walk | None = None, fall: Slopes | None = None
) -> tuple[RouteProblem, ...]:
    """Everything to put right or to look at, in the order of the route; what stops comes first."""
    walk = walk or walk_route(route, rules)
    fall = fall or slopes(route, rules, walk)
    found = [
        *_route_as_a_whole(route),
        *_runs(route, walk),
        *(problem for number, run in enumerate(route.runs) for problem in _parts(number, run, rules)),
        *fan_problems(route),
        *discharge_problems(route, rules, walk),
        *_slope(fall),
    ]
    return tuple(sorted(found, key=lambda p: (p.severity != STOP, p.run or 0, -1 if p.part is None else p.part)))


# ---------------------------------------------------------------------- runs


def _route_as_a_whole(route: Route) -> Iterator[RouteProblem]:
    if not any(run.parts for run in route.runs):
        yield RouteProblem(STOP, None, None, "The route is empty. Begin at the suction point, for example: up 6', 90.")


def _runs(route: Route, walk: Walk) -> Iterator[RouteProblem]:
    names = [run.name for run in route.runs]
    taken: set[str] = set()
    for number, run in enumerate(route.runs):
        if not may_name_run(run.name) or run.name in names[:number]:
            yield RouteProblem(STOP, number, None, f"“{run.name}” cannot name this run: use a letter of its own.")
        for index, part in enumerate(run.parts):
            if isinstance(part, Fitting) and part.kind in JUNCTIONS:
                yield from _junction(route, number, index, part, taken)
                taken.add(part.joins)
    for number, join in enumerate(walk.joined):
        run = route.runs[number]
        if number and join is None and run.name not in taken:
            yield RouteProblem(
                STOP, number, None, f"Run {run.name} joins nothing. Put “wye {run.name}” into the run that takes it in."
            )
        elif join is not None:
            yield from _meeting(route, walk, number, join)


def _junction(route: Route, number: int, index: int, part: Fitting, taken: set[str]) -> Iterator[RouteProblem]:
    if not part.joins:
        yield RouteProblem(LOOK, number, index, f"Nothing joins at this {part.kind}: name a run, or cap its side.")
        return
    guest = next((n for n, run in enumerate(route.runs) if run.name == part.joins), None)
    if guest is None:
        message = f"No run is named {part.joins}. Begin a line with “{part.joins}:” for the run that joins here."
        yield RouteProblem(STOP, number, index, message)
    elif part.joins in taken:
        yield RouteProblem(STOP, number, index, f"Run {part.joins} joins twice. A run can end in one place only.")
    elif guest == 0:
        message = f"Run {part.joins} leads to the discharge, so it cannot join another. Put the main run first."
        yield RouteProblem(STOP, number, index, message)
    elif joins_of(route)[guest] != (number, index):
        message = f"Run {part.joins} would come round to itself here. The air needs one way out, without a loop."
        yield RouteProblem(STOP, number, index, message)


def _meeting(route: Route, walk: Walk, number: int, join: tuple[int, int]) -> Iterator[RouteProblem]:
    """Whether a run fits the side of the wye or tee it ends in."""
    run, host = route.runs[number], route.runs[join[0]].parts[join[1]]
    side = host.size if isinstance(host, Leg) or host.side_size is None else host.side_size
    if run.last_size is not None and run.last_size != side:
        message = (
            f"Run {run.name} ends in {size_words(run.last_size)}, the side it joins is {size_words(side)}. "
            f"End it with “reduce {_typed(side)}”, or say “side {_typed(run.last_size)}”."
        )
        yield RouteProblem(STOP, number, len(run.parts) - 1, message)
    if run.start_ft is not None and run.parts and abs(walk.starts[number].z - run.start_ft) > CLOSE_FT:
        apart = abs(walk.starts[number].z - run.start_ft)
        way = "longer" if walk.starts[number].z > run.start_ft else "shorter"
        message = (
            f"Run {run.name} is to start at {height_words(run.start_ft)}, but measured back from where it joins it "
            f"starts at {height_words(walk.starts[number].z)}. Make its upright legs "
            f"{format_length(apart, 'ft-in')} {way}."
        )
        yield RouteProblem(LOOK, number, None, message)


# ---------------------------------------------------------------------- parts


def _parts(number: int, run: Run, rules: RouteRules) -> Iterator[RouteProblem]:
    before: Part | None = None
    last_leg: Leg | None = None
    turned = False
    for index, part in enumerate(run.parts):
        yield from (RouteProblem(severity, number, index, message) for severity, message in _sizes(part, before))
        if isinstance(part, Leg):
            yield from (RouteProblem(severity, number, index, message) for severity, message in _leg(part, rules))
            if last_leg is not None and not turned and _bends(last_leg, part):
                message = f"The pipe turns from {last_leg.direction} to {part.direction} here without an elbow."
                yield RouteProblem(LOOK, number, index, message)
            last_leg, turned = part, False
        elif part.turn_degrees or part.kind in JUNCTIONS or part.kind == "flexible_coupling":
            turned = True
        before = part


def _bends(before: Leg, after: Leg) -> bool:
    """Whether a turn shows in the directions; less than a small pitch bends in the pipe."""
    if before.direction != after.direction:
        pitched = before if before.direction == "pitched" else after
        small = before.is_level and after.is_level and abs(pitched.rise_in_per_ft or Decimal(0)) <= 1
        return not small
    return bool(after.heading and before.heading and after.heading != before.heading and after.is_level)


def _sizes(part: Part, before: Part | None) -> Iterator[tuple[str, str]]:
    others = [] if isinstance(part, Leg) else [part.to_size, part.side_size]
    for size in (part.size, *others):
        if size is not None and size not in KNOWN_SIZES:
            yield STOP, f"There is no {size_words(size)} pipe in the tables. Sizes are {SIZE_LIST}."
    if part.space not in SPACES:
        yield STOP, f"“{part.space}” is no space of a house. Choose one of {', '.join(SPACES.values())}."
    if before is not None:
        arrives = before.size if isinstance(before, Leg) else before.size_after
        if arrives != part.size:
            yield STOP, _unmatched(part, arrives)
    if isinstance(part, Fitting) and part.to_size is not None:
        yield from _change(part, part.to_size)


def _unmatched(part: Part, arrives: Decimal) -> str:
    if isinstance(part, Fitting) and part.to_size == arrives:
        return (
            f"This reducer is the wrong way round: the pipe arrives in {size_words(arrives)}, and its "
            f"{size_words(part.size)} end meets it. Turn it."
        )
    return (
        f"The size changes from {size_words(arrives)} to {size_words(part.size)} with nothing between. "
        f"Put “reduce {_typed(part.size)}” here."
    )


def _change(part: Fitting, to_size: Decimal) -> Iterator[tuple[str, str]]:
    if part.kind not in SIZE_CHANGERS:
        yield STOP, "The size can change in a reducer or a flexible coupling only. Put one beside it."
    elif part.kind == "reducer" and to_size == part.size:
        yield STOP, f"This reducer goes from {size_words(to_size)} to the same size. Say which size follows."
    elif to_size < part.size:
        yield (
            LOOK,
            f"The pipe narrows here from {size_words(part.size)} to {size_words(to_size)} toward the discharge, "
            "which costs air. Is it the right way round?",
        )


def _leg(leg: Leg, rules: RouteRules) -> Iterator[tuple[str, str]]:
    if leg.length_ft <= 0:
        yield STOP, f"This leg has no length. Type how far it goes, for example {leg.direction} 6'6\"."
    elif leg.length_ft > rules.longest_leg_ft:
        yield (
            STOP,
            f"{format_length(leg.length_ft)} is longer than any leg in a house (this program counts up to "
            f"{format_length(rules.longest_leg_ft)}). Check the number.",
        )
    if leg.direction == "pitched" and leg.rise_in_per_ft is None:
        yield STOP, "Say how steep the pitched leg is: inches for each foot, for example pitched 5' rise 4."
    if leg.direction in ("up", "down") and leg.rise_in_per_ft is not None:
        yield LOOK, "An upright leg has no slope; it counts as plumb."


# ---------------------------------------------------------------------- slope and words


def _slope(found: Slopes) -> Iterator[RouteProblem]:
    for leg in found.legs:
        if not leg.falls_enough or not leg.fits:
            yield RouteProblem(LOOK, leg.run, leg.part, f"This leg {leg.words}.")
    for spot in found.low_spots:
        message = (
            f"Water would stand here, up to {format_inches(spot.depth_in)} deep. Give the pipe its fall back to "
            "the suction point, or put a drain here."
        )
        yield RouteProblem(LOOK, spot.run, max(spot.part, 0), message)


def _typed(size: Decimal) -> str:
    return size_words(size).replace(" ", "")
