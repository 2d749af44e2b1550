"""How much of what ran over each cause explains: never more than ran over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from domain.costing.figures import CALLBACK, CauseShare, LoggedLabour, QuotedLabour
from domain.shares import shared


class CausedTime(NamedTuple):
    """Logged time that carries a cause."""

    task_id: int
    role: str
    unquoted: bool
    cause: str
    minutes: int


def cause_shares(
    quoted: Iterable[QuotedLabour], logged: Sequence[LoggedLabour], caused: Iterable[CausedTime]
) -> tuple[CauseShare, ...]:
    """What each cause explains, in the order the causes are given; one that explains nothing is left out.

    On a quoted task that is what ran over it, divided between its causes by the time that carries them, and never more
    than that time. Time that was not quoted, and callbacks, lie beyond the quote whole.
    """
    allowed: dict[int, int] = defaultdict(int)
    for line in quoted:
        allowed[line.task_id] += line.minutes
    over: dict[int, int] = defaultdict(int)
    for entry in logged:
        if not entry.unquoted:
            over[entry.task_id] += entry.minutes
    sums: dict[str, int] = {}
    by_task: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one in caused:
        sums.setdefault(one.cause, 0)
        if one.unquoted or one.role == CALLBACK or not allowed[one.task_id]:
            sums[one.cause] += one.minutes
        else:
            by_task[one.task_id][one.cause] += one.minutes
    for task_id, causes in by_task.items():
        beyond = max(over[task_id] - allowed[task_id], 0)
        parts = causes if sum(causes.values()) <= beyond else shared(beyond, causes)
        for cause, minutes in parts.items():
            sums[cause] += minutes
    return tuple(CauseShare(cause, minutes) for cause, minutes in sums.items() if minutes)
