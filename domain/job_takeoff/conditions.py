"""How long a task takes in the spaces it is counted in: an access condition lengthens the work done in its own space.

Conditions of the starting library are known by their names, as its tasks are; every other one counts everywhere. Of a
count whose space is not known, and of a slab, which may lie under any floor, all count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from domain.quoting.quantities import combined_factor, standard_minutes
from domain.quoting.refresh import TaskPick
from domain.units import format_quantity
from domain.units.numbers import plain

_FLOORS = frozenset({"basement", "room", "garage"})
CONDITION_SPACES: Mapping[str, frozenset[str]] = {
    "low crawl": frozenset({"crawl"}),
    "finished basement": _FLOORS,
    "occupied rooms": _FLOORS,
    "steep roof": frozenset({"roof", "outside"}),
    "heat in the attic": frozenset({"attic"}),
}
"""Where a condition is met, by its name (common practice, no source)."""

_STEP = Fraction(1, 1000)
"""Percent are kept to a thousandth."""


def in_space(pick: TaskPick, space: str) -> TaskPick:
    """The task as it is done in one space: only the conditions met there make it longer."""
    if not pick.weights or space in ("", "slab"):
        return pick
    there = tuple((name, percent) for name, percent in pick.weights if _is_met(name, space))
    if there == pick.weights:
        return pick
    names = tuple(name for name, percent in there if percent != 100)
    return replace(pick, factor_percent=combined_factor(percent for _, percent in there), conditions=names)


def _is_met(condition: str, space: str) -> bool:
    spaces = CONDITION_SPACES.get(" ".join(condition.casefold().split()))
    return spaces is None or space in spaces


def together(parts: Sequence[tuple[Decimal, TaskPick]]) -> TaskPick:
    """One task done in several spaces, so many in each: with the factor that gives the minutes of all parts, exactly.

    The minutes of all parts are added unrounded and rounded half up once; the factor is the one of those next to the
    mean, in thousandths of a percent, that gives this number for the whole quantity.
    """
    first = parts[0][1]
    if all(pick.factor_percent == first.factor_percent for _, pick in parts):
        return first
    total = sum((quantity for quantity, _ in parts), Decimal(0))
    weighed = sum((Fraction(quantity) * Fraction(pick.factor_percent) for quantity, pick in parts), Fraction(0))
    mean = weighed / Fraction(total) if total else Fraction(100)
    names = dict.fromkeys(name for _, pick in parts for name in pick.conditions)
    exact = weighed * Fraction(first.task.standard_minutes) / 100
    wanted = int((exact + Fraction(1, 2)) // 1)
    below = mean // _STEP * _STEP
    near = [Decimal(int(one * 1000)).scaleb(-3) for one in (below, below + _STEP)]
    fits = (one for one in near if standard_minutes(total, first.task.standard_minutes, one) == wanted)
    return replace(first, factor_percent=next(fits, near[0]), conditions=tuple(names))


def weighed_words(parts: Sequence[tuple[Decimal, TaskPick]]) -> str:
    """What each condition weighed on: ``Low crawl × 1.6 on 22 of 30 ft, Mud``; by its name alone where on all of it."""
    total = sum((quantity for quantity, _ in parts), Decimal(0))
    said = []
    for name in dict.fromkeys(name for _, pick in parts for name in pick.conditions):
        on = sum((quantity for quantity, pick in parts if name in pick.conditions), Decimal(0))
        percent = next((percent for _, pick in parts for one, percent in pick.weights if one == name), None)
        if on == total or percent is None:
            said.append(name)
        else:
            many = format_quantity(total, parts[0][1].task.unit)
            said.append(f"{name} × {plain(percent / 100)} on {plain(on)} of {many}")
    return ", ".join(said)
