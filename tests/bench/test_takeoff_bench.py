"""One keystroke in a route of 60 legs: read, walked, checked, drawn and taken off, without a window.

The bar for the whole keystroke, painting included, is 16 ms in the median; the list alone is held to 8 ms. Other
work on the machine must not decide, so the bars are held against a yardstick measured between the keystrokes: decimal
sums that take about a millisecond on the machine the bars were set for when it is quiet.
"""

from __future__ import annotations

import random
from datetime import date
from decimal import Decimal
from statistics import median
from time import perf_counter

import pytest

from domain.routes import draw_study, read_route, study_route
from domain.takeoff import Wanted, take_off, takeoff_rules

RULES = takeoff_rules(date(2026, 3, 2))
ROUNDS = 120


def long_route(first_ft: int) -> str:
    chance = random.Random(7)
    legs = [
        f"along {chance.randint(2, 14)}'{chance.randint(0, 11)}\" 45" if n % 2 else f"up {chance.randint(1, 3)}' 90"
        for n in range(59)
    ]
    return f"A: pit at -7', basement 3in along {first_ft}' 90 {' '.join(legs)} outside flex fan flex out"


def yardstick() -> float:
    """Seconds for a fixed row of decimal sums: about 0.001 on a quiet machine of two cores."""
    begun = perf_counter()
    total = Decimal(0)
    for number in range(2_000):
        total += Decimal(number) * Decimal("0.125")
    return perf_counter() - begun


@pytest.mark.bench
def test_a_keystroke_in_sixty_legs(capsys: pytest.CaptureFixture[str]) -> None:
    steps: dict[str, list[float]] = {"read and study": [], "draw": [], "list": [], "all": [], "yardstick": []}
    for number in range(ROUNDS):
        typed = long_route(3 + number)
        begun = perf_counter()
        route = read_route(typed).route
        study = study_route(route, RULES.route)
        studied = perf_counter()
        draw_study(study)
        drawn = perf_counter()
        take_off(Wanted(routes=(route,)), RULES, studied=[study])
        listed = perf_counter()
        steps["read and study"].append(studied - begun)
        steps["draw"].append(drawn - studied)
        steps["list"].append(listed - drawn)
        steps["all"].append(listed - begun)
        steps["yardstick"].append(yardstick())
    milliseconds = {name: median(times) * 1000 for name, times in steps.items()}
    with capsys.disabled():
        print("\n60 legs, ms a keystroke: " + ", ".join(f"{name} {ms:.1f}" for name, ms in milliseconds.items()))
    assert len(route.legs) == 60
    assert milliseconds["list"] <= 8 * milliseconds["yardstick"]
    assert milliseconds["all"] <= 16 * milliseconds["yardstick"]
