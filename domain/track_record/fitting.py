"""Finds the middles and spreads of every level from past lines.

Each part of the middle is the value m that makes  sum |rest - m| + pull x |m|  least, over the lines of its group
and what the other parts leave unexplained: a median pulled toward nothing. That is the most probable m when errors
and parts are both two-sided exponential, as logs of actual over quoted nearly are: many lines exactly as quoted,
a few far astray. Where half of a group is as quoted, m is exactly nothing. The strength of the pull comes from how
far groups differ beyond chance (``pooling.pull``): pull = sqrt(2) x mean error / spread between the groups.
(The median as the centre of such errors: Laplace, 1774; the penalty is the lasso of R. Tibshirani, 1996; both from
memory.)
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence
from math import sqrt
from typing import TypeVar

from domain.track_record.history import Group, History
from domain.track_record.levels import Levels, Part, Spreads
from domain.track_record.pooling import Ordered, Wander, Weighed, pull

DEFAULT_SPREAD = 0.40
"""Mean absolute log error assumed of work about which nothing is known (ours, no source)."""

_SWEEPS = 2
_CALM = 3.0  # a deviation beyond so many mean deviations counts as so many
_ALL_PULL, _TYPE_PULL, _TASK_PULL, _SIZE_PULL = 3.0, 12.0, 12.0, 40.0
# A spread is pulled to the one above it as if so many more lines had shown that one.

K = TypeVar("K")


def fit_levels(
    history: History, jobs: int, weights: Sequence[float] | None = None, likeness: float = 0.3, sweeps: int = _SWEEPS
) -> Levels:
    """Fit every level to the lines of the first ``jobs`` jobs; at least one.

    Args:
        weights: of each line, when newer ones count for more.
        likeness: 0 when the lines of one job err independently, 1 when they err together.
    """
    work = _Fitting(history, jobs, weights, likeness)
    overall: Part[str] = Part({}, {}, 0.0)
    types: Part[str] = Part({}, {}, 0.0)
    conditions: Part[str] = Part({}, {}, 0.0)
    tasks: Part[tuple[str, str]] = Part({}, {}, 0.0)
    pairs: Part[tuple[str, str]] = Part({}, {}, 0.0)
    sizes: Part[int] = Part({}, {}, 0.0)
    everything = {"": work.everything()}
    for _ in range(sweeps):
        work.look_again()
        overall = work.refit(everything, overall)
        types = work.refit(history.types, types)
        conditions = work.refit(history.conditions, conditions)
        pairs = work.refit(history.pairs, pairs)
        # What every condition took from the whole is put back there, not into each task.
        overall = work.refit(everything, overall)
        tasks = work.refit(history.tasks, tasks)
        sizes = work.refit(history.sizes, sizes)
    spreads = _spreads(history, work.rest)
    return Levels(overall.effect(""), overall.doubt(""), types, tasks, sizes, conditions, pairs, spreads)


class _Fitting:
    """The lines before one day, and what the parts found so far leave unexplained of each."""

    def __init__(self, history: History, jobs: int, weights: Sequence[float] | None, likeness: float) -> None:
        self.jobs = jobs
        self.lines = history.lines_before(jobs)
        self.weights = weights
        self.likeness = likeness
        self.rest = list(history.ratio[: self.lines])
        self.wander = Wander(())

    def everything(self) -> Group:
        return Group(array("i", range(self.lines)), array("i", [self.jobs]) * self.lines)

    def look_again(self) -> None:
        """Measure how far medians wander, now that the parts found so far are taken out."""
        self.wander = Wander(sorted(self.rest))

    def refit(self, groups: Mapping[K, Group], part: Part[K]) -> Part[K]:
        """Find the effects of one level anew from what the other levels leave unexplained."""
        rest = self.rest
        keys, members, worths, medians = [], [], [], []
        for key, group in groups.items():
            count = group.seen(self.lines)
            if count:
                own = group.members if count == len(group.members) else group.members[:count]
                keys.append(key)
                members.append(own)
                worths.append(self._worth(own, group.jobs[count - 1]))
        ordered = [self._in_order(own) for own in members]
        before = [part.effect(key) for key in keys]
        medians = [values.at(0.5) + old for values, old in zip(ordered, before, strict=True)]
        pulled = pull(medians, [self.wander.variance(worth) for worth in worths], 0.0)
        effects = {}
        for key, own, values, worth, old in zip(keys, members, ordered, worths, before, strict=True):
            new = effects[key] = self._held_back(values, old, worth, pulled.between)
            if new != old:
                for i in own:
                    rest[i] -= new - old
        return Part(effects, dict(zip(keys, pulled.doubts, strict=True)), pulled.between)

    def _held_back(self, values: Ordered, old: float, worth: float, between: float) -> float:
        """The pulled median: the pull moves the share at which the values are read toward the side of nothing."""
        if between <= 0:
            return 0.0
        aside = sqrt(0.5 / between) * self.wander.size / worth
        if aside >= 0.5:
            return 0.0
        low = values.at(0.5 - aside) + old
        return low if low > 0 else min(0.0, values.at(0.5 + aside) + old)

    def _worth(self, members: Sequence[int], jobs: int) -> float:
        """How many independent lines the group counts for, since lines of one job err together."""
        count = len(members)
        worth = count / (1 + (count / jobs - 1) * self.likeness)
        if self.weights is None:
            return worth
        own = [self.weights[i] for i in members]
        total = sum(own)
        squares = sum(weight * weight for weight in own)
        return max(0.1, worth * total * total / (count * squares)) if squares else 0.1

    def _in_order(self, members: Sequence[int]) -> Ordered:
        rest, weights = self.rest, self.weights
        values = [rest[i] for i in members]
        return Ordered(values) if weights is None else Weighed(values, [weights[i] for i in members])


def _spreads(history: History, rest: Sequence[float]) -> Spreads:
    lines = len(rest)
    errors = [abs(value) for value in rest]
    calm = _CALM * (sum(errors) + _ALL_PULL * DEFAULT_SPREAD) / (lines + _ALL_PULL)
    errors = [error if error < calm else calm for error in errors]
    overall = (sum(errors) + _ALL_PULL * DEFAULT_SPREAD) / (lines + _ALL_PULL)

    def pooled(group: Group, above: float, weight: float) -> float:
        own = group.members[: group.seen(lines)]
        return (sum([errors[i] for i in own]) + weight * above) / (len(own) + weight)

    types = {key: pooled(group, overall, _TYPE_PULL) for key, group in history.types.items()}
    tasks = {key: pooled(group, types[key[0]], _TASK_PULL) for key, group in history.tasks.items()}
    expected = [tasks[pattern[:2]] for pattern in history.patterns]
    sizes = {}
    for size, group in history.sizes.items():
        own = group.members[: group.seen(lines)]
        pulls = _SIZE_PULL * overall
        usual = sum([expected[history.pattern_of[i]] for i in own])
        sizes[size] = (sum([errors[i] for i in own]) + pulls) / (usual + pulls)
    return Spreads(overall, types, tasks, sizes)
