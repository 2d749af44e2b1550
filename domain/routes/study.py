"""A route looked at once from every side, so that a keystroke walks it a single time."""

from __future__ import annotations

from dataclasses import dataclass

from domain.routes.checking import check_route
from domain.routes.problem import STOP, RouteProblem
from domain.routes.route import Route
from domain.routes.rules import RouteRules
from domain.routes.slope import Slopes, slopes
from domain.routes.supports import Supports, supports
from domain.routes.walk import Walk, walk_route


@dataclass(frozen=True, slots=True)
class RouteStudy:
    """A route with where it goes, how it falls, where it is held and what is wrong with it."""

    route: Route
    walk: Walk
    slopes: Slopes
    supports: Supports
    problems: tuple[RouteProblem, ...]

    @property
    def stops(self) -> tuple[RouteProblem, ...]:
        """What has to be put right before the list can be trusted."""
        return tuple(problem for problem in self.problems if problem.severity == STOP)


def study_route(route: Route, rules: RouteRules) -> RouteStudy:
    """Everything the drawing, the checks and the takeoff ask of a route."""
    walk = walk_route(route, rules)
    fall = slopes(route, rules, walk)
    return RouteStudy(route, walk, fall, supports(route, rules, walk), check_route(route, rules, walk, fall))
