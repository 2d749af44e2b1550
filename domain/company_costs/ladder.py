"""A cost built up step by step, each step the difference of two rounded totals, so that it always adds up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from domain.money import round_cents


@dataclass(frozen=True, slots=True)
class LadderStep:
    """One rung: what it adds to an hour, and what the hour costs once it is added."""

    label: str
    explanation: str
    cents_per_hour: int
    running_cents: int


@dataclass(frozen=True, slots=True)
class Ladder:
    """The rungs, their total, and the same total worked out another way.

    ``check_note`` says how the check was made and, when it differs, why. ``notes`` names the sources used.
    """

    steps: tuple[LadderStep, ...]
    total_cents: int
    check_cents: int
    check_note: str
    notes: tuple[str, ...] = ()

    @property
    def adds_up(self) -> bool:
        """True when the rungs sum to the total; the check has its own note."""
        return sum(step.cents_per_hour for step in self.steps) == self.total_cents


def climb(rungs: Iterable[tuple[str, str, Fraction]]) -> tuple[LadderStep, ...]:
    """Turn (label, explanation, exact running cents an hour) into steps, rounding only the running totals."""
    steps: list[LadderStep] = []
    below = 0
    for label, explanation, running in rungs:
        reached = round_cents(running)
        steps.append(LadderStep(label, explanation, reached - below, reached))
        below = reached
    return tuple(steps)
