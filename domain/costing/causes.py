"""How much of what ran over each cause explains: never more than ran over in the entries that name it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from domain.costing.figures import CALLBACK, CauseShare, QuotedLabour


class CausedTime(NamedTuple):
    """One entry of logged time that carries a cause."""

    task_id: int
    role: str
    unquoted: bool
    cause: str
    minutes: int
    before: int = 0  # minutes logged on the task before it, those not quoted left out


def cause_shares(quoted: Iterable[QuotedLabour], caused: Iterable[CausedTime]) -> tuple[CauseShare, ...]:
    """What each cause explains, in the order the causes are given; one that explains nothing is left out.

    On a quoted task that is what of the very entry lies beyond the quote, in the order of the log: what ran over in
    entries without a cause stays without one. Time that was not quoted, and callbacks, lie beyond the quote whole.
    """
    allowed: dict[int, int] = defaultdict(int)
    for line in quoted:
        allowed[line.task_id] += line.minutes
    sums: dict[str, int] = {}
    for one in caused:
        sums.setdefault(one.cause, 0)
        if one.unquoted or one.role == CALLBACK or not allowed[one.task_id]:
            sums[one.cause] += one.minutes
        else:
            sums[one.cause] += min(one.minutes, max(one.before + one.minutes - allowed[one.task_id], 0))
    return tuple(CauseShare(cause, minutes) for cause, minutes in sums.items() if minutes)
