"""Steps as they are shown: one below a dollar joins its neighbor, and the sum stays exact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from domain.costing.tree import Step

WORTH_A_STEP_CENTS = 100
"""Below a dollar a step is noise beside its neighbors (ours, no source)."""

_ROOMS = (
    ("efficiency", "rate", "overhead", "unquoted_hours", "callbacks"),
    ("usage", "price", "purchase_tax", "unquoted_materials"),
    ("others", "unquoted_others"),
)
"""Neighbors: time, materials, other costs. What was decided on the price stands by itself, however small."""


def joined_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps that are not nothing; a small one is added to the nearest large one of its room.

    Where a room has no large step the small ones stand as they are.
    """
    cents = {step.key: step.cents for step in steps}
    for room in _ROOMS:
        large = [key for key in room if abs(cents.get(key, 0)) >= WORTH_A_STEP_CENTS]
        for place, key in enumerate(room):
            if large and 0 < abs(cents.get(key, 0)) < WORTH_A_STEP_CENTS and key not in large:
                nearest = min(large, key=lambda one: abs(room.index(one) - place))
                cents[nearest] += cents[key]
                cents[key] = 0
    return tuple(replace(step, cents=cents[step.key]) for step in steps if cents[step.key])
