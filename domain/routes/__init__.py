"""The route of the pipe through a house: its model, its shorthand, its checks, its slope and its side drawing."""

from domain.routes.drawing import Drawing, draw_route, draw_study
from domain.routes.printing import print_route
from domain.routes.problem import LOOK, STOP, RouteProblem
from domain.routes.reading import Reading, parse_route, read_route
from domain.routes.route import Fitting, Leg, Part, Route, Run, Surroundings
from domain.routes.rules import RouteRules, route_rules
from domain.routes.shorthand import WordNotUnderstood
from domain.routes.study import RouteStudy, study_route

__all__ = [
    "LOOK",
    "STOP",
    "Drawing",
    "Fitting",
    "Leg",
    "Part",
    "Reading",
    "Route",
    "RouteProblem",
    "RouteRules",
    "RouteStudy",
    "Run",
    "Surroundings",
    "WordNotUnderstood",
    "draw_route",
    "draw_study",
    "parse_route",
    "print_route",
    "read_route",
    "route_rules",
    "study_route",
]
