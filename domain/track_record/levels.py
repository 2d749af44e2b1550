"""What past lines say about a line: its middle and spread from all work, type, task, size and access conditions.

The log of actual over quoted is taken as the sum of
    all work + job type + task within the type + size of the line + each access condition,
and what a condition costs in one job type beyond that.
The spread is a mean absolute deviation: of all work, then of the type, then of the task, times a factor for size.
How the parts are found is in ``fitting``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import pi, sqrt
from typing import Generic, TypeVar

from domain.track_record.history import Pattern

K = TypeVar("K")

SIZE_OF_DOUBT = 2 / pi
"""Squared mean absolute deviation of a normal error over its variance."""


@dataclass(frozen=True, slots=True)
class Part(Generic[K]):
    """One level: the effect of each group, what is in doubt about each, and about one never seen (variances)."""

    effects: Mapping[K, float]
    doubts: Mapping[K, float]
    unseen: float

    def effect(self, key: K) -> float:
        return self.effects.get(key, 0.0)

    def doubt(self, key: K) -> float:
        return self.doubts.get(key, self.unseen)


@dataclass(frozen=True, slots=True)
class Spreads:
    """Mean absolute deviations by level."""

    overall: float
    types: Mapping[str, float]
    tasks: Mapping[tuple[str, str], float]
    sizes: Mapping[int, float]  # factors


@dataclass(frozen=True, slots=True)
class Levels:
    """Middles and spreads by level, as they stood on one day."""

    overall: float
    overall_doubt: float
    types: Part[str]
    tasks: Part[tuple[str, str]]
    sizes: Part[int]
    conditions: Part[str]
    pairs: Part[tuple[str, str]]  # job type and condition
    spreads: Spreads
    _seen: dict[Pattern, tuple[float, float]] = field(default_factory=dict, repr=False, compare=False)

    def of(self, pattern: Pattern) -> tuple[float, float]:
        """Middle and spread of the log of actual over quoted for such a line.

        The spread counts the scatter of such lines and how little is known of their middle.
        """
        found = self._seen.get(pattern)
        if found is None:
            found = self._seen[pattern] = self._middle(pattern), self._spread(pattern)
        return found

    def _middle(self, pattern: Pattern) -> float:
        kind, task, size, conditions = pattern
        middle = self.overall + self.types.effect(kind) + self.tasks.effect((kind, task)) + self.sizes.effect(size)
        for condition in conditions:
            middle += self.conditions.effect(condition) + self.pairs.effect((kind, condition))
        return middle

    def _spread(self, pattern: Pattern) -> float:
        kind, task, size, conditions = pattern
        spreads = self.spreads
        scatter = spreads.tasks.get((kind, task), spreads.types.get(kind, spreads.overall)) * spreads.sizes.get(size, 1)
        doubt = self.overall_doubt + self.types.doubt(kind) + self.tasks.doubt((kind, task)) + self.sizes.doubt(size)
        for condition in conditions:
            doubt += self.conditions.doubt(condition) + self.pairs.doubt((kind, condition))
        return sqrt(scatter * scatter + SIZE_OF_DOUBT * doubt)
