"""One keystroke in a route of 60 legs: its loss and the operating point of a fan on it."""

from __future__ import annotations

import statistics
import time
from dataclasses import replace
from decimal import Decimal

import pytest

from domain.airflow import FanCurve, operating_point, route_loss
from domain.routes.reading import parse_route
from domain.routes.route import Route

BAR_SECONDS = 0.004
FAN = FanCurve([(0, 2.0), (40, 1.7), (80, 1.1), (120, 0.3), (140, 0)])
LONG = parse_route("found: Long\nA: pit at -7', basement 3in up 6' " + "90 along 5' " * 59 + "out")
JOINED = parse_route(
    "found: Joined\nA: pit at -7', basement 3in up 6' " + "90 along 5' " * 29 + "wye B outside up 9' out\n"
    "B: pit at -7', up 6' " + "90 along 5' " * 28
)


def typed(route: Route, feet: int) -> Route:
    """The route with its first leg of another length: one keystroke."""
    first = route.runs[0]
    leg = replace(first.legs[0], length_ft=Decimal(feet))
    return replace(route, runs=(replace(first, parts=(leg, *first.parts[1:])), *route.runs[1:]))


@pytest.mark.bench
@pytest.mark.parametrize("route", [LONG, JOINED], ids=["one suction point", "two suction points"])
def test_sixty_legs_are_reckoned_between_two_keystrokes(route: Route) -> None:
    assert len(route.legs) >= 60
    times = []
    for feet in range(1, 101):
        changed = typed(route, feet)
        began = time.process_time()
        route_loss(changed, 60)
        operating_point(FAN, changed, 100)
        times.append(time.process_time() - began)
    quarter = statistics.quantiles(times, n=4)[0]  # what runs beside it slows the rest
    said = f"{quarter * 1000:.2f} ms of processor (bar {BAR_SECONDS * 1000:.0f})"
    print(f"\nloss and operating point of {len(route.legs)} legs: {said}")
    assert quarter <= BAR_SECONDS
