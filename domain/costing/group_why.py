"""Why a group of jobs came out as it did: its steps, the tasks that ran over and the causes that were given."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from domain.costing.figures import CauseShare, JobFigures
from domain.costing.tree import STEP_LABELS, Step, VarianceTree
from domain.costing.variance import variance_tree
from domain.units import format_minutes

NAMED = 3
"""So many tasks and causes are named in the sentence."""


@dataclass(frozen=True, slots=True)
class TaskSum:
    """One task over all jobs of a group; unquoted time is part of the actual time. Cents favourable positive."""

    task: str
    quoted_minutes: int
    actual_minutes: int
    unquoted_minutes: int
    cents: int

    @property
    def over_minutes(self) -> int:
        """Logged - quoted time."""
        return self.actual_minutes - self.quoted_minutes


@dataclass(frozen=True, slots=True)
class GroupWhy:
    """The variance trees of several jobs added up; quoted margin + steps = actual margin."""

    quoted_margin_cents: int
    steps: tuple[Step, ...]
    actual_margin_cents: int
    tasks: tuple[TaskSum, ...]  # furthest over first; callbacks are tasks of their own here
    causes: tuple[CauseShare, ...]  # most time first
    not_fully_logged: int = 0  # jobs closed with lines neither logged nor answered

    @property
    def sentence(self) -> str:
        """Where the time went and what was given as the cause, in a sentence or two."""
        total = sum(task.over_minutes for task in self.tasks)
        if not self.not_fully_logged and not any(task.over_minutes for task in self.tasks):
            return "The hours are as quoted."
        words = f"{format_minutes(abs(total))} {'more' if total >= 0 else 'less'} than quoted"
        if self.not_fully_logged:
            jobs = "1 job" if self.not_fully_logged == 1 else f"{self.not_fully_logged} jobs"
            # What nobody wrote down is not saved time.
            words = f"{jobs} not fully logged{'' if total < 0 else f'; logged: {words}'}"
        over = [task for task in self.tasks if task.over_minutes > 0][:NAMED]
        if over:
            most = ", ".join(f"{format_minutes(task.over_minutes)} on “{task.task}”" for task in over)
            words += f"; furthest over: {most}"
        unquoted = sum(task.unquoted_minutes for task in self.tasks)
        if unquoted:
            words += f"; {format_minutes(unquoted)} had no line in the quote"
        named = ", ".join(f"{share.cause} {format_minutes(share.minutes)}" for share in self.causes[:NAMED])
        return f"{words}.{f' Causes given most: {named}.' if named else ''}"


def group_why(figures: Iterable[JobFigures]) -> GroupWhy:
    """Add up the variance trees of some jobs."""
    quoted = actual = 0
    cents = dict.fromkeys(STEP_LABELS, 0)
    tasks: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    causes: dict[str, int] = defaultdict(int)
    for one in figures:
        tree = variance_tree(one)
        quoted += tree.quoted_margin_cents
        actual += tree.actual_margin_cents
        for step in tree.steps:
            cents[step.key] += step.cents
        for name, *sums in _tasks(tree):
            tasks[name] = [now + more for now, more in zip(tasks[name], sums, strict=True)]
        for share in one.causes:
            causes[share.cause] += share.minutes
    return GroupWhy(
        quoted,
        tuple(Step(key, label, cents[key]) for key, label in STEP_LABELS.items()),
        actual,
        _by_size(TaskSum(name, *sums) for name, sums in tasks.items()),
        tuple(CauseShare(*pair) for pair in sorted(causes.items(), key=lambda pair: (-pair[1], pair[0]))),
    )


def _tasks(tree: VarianceTree) -> Iterable[tuple[str, int, int, int, int]]:
    """(task, quoted, actual and unquoted minutes, cents) of every row of time."""
    for row in tree.tasks:
        yield row.task, row.quoted_minutes, row.actual_minutes, 0, row.cents
    for work in tree.unquoted_hours:
        yield work.name, 0, work.minutes, work.minutes, work.cents
    for back in tree.callbacks:
        yield back.name, back.quoted_minutes, back.actual_minutes, 0, back.cents


def _by_size(tasks: Iterable[TaskSum]) -> tuple[TaskSum, ...]:
    ordered: Sequence[TaskSum] = sorted(tasks, key=lambda task: (-task.over_minutes, task.task))
    return tuple(ordered)
