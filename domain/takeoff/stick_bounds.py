"""How many new sticks at least: bounds that no cut list can go below."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate


def sticks_at_least(items: Sequence[int], room: int, spare: Sequence[int] = ()) -> int:
    """New sticks of this room that the items need at least, with the offcuts ``spare`` used as well as can be.

    ``items`` come sorted from long to short. The best of: total length; Martello and Toth's bound L2 (from memory;
    held by tests against an integer programme) less one stick for each offcut; and L2 of what fits no offcut.
    """
    if not items:
        return 0
    smallest = items[-1]
    usable = [capacity for capacity in spare if capacity >= smallest]
    total = sum(items) - sum(usable)
    bound = max(0, -(-total // room))
    bound = max(bound, _l2(items, room) - len(usable))
    if usable:
        longest = max(usable)
        bound = max(bound, _l2([item for item in items if item > longest], room))
    return bound


def _l2(items: Sequence[int], room: int) -> int:
    """Items over half a stick need one each; what is short must fit beside them.

    For every length k: items longer than room - k stand alone, those over half have room - item beside them, and
    those of k to half a stick have to share what is left.
    """
    if not items:
        return 0
    ascending = sorted(items)
    sums = [0, *accumulate(ascending)]
    count = len(ascending)
    half = bisect_left(ascending, room // 2 + 1)  # first item over half
    best = -(-sums[count] // room)
    for k in dict.fromkeys([0, *ascending[:half]]):
        alone = bisect_left(ascending, room - k + 1)
        low = bisect_left(ascending, k)
        alone = max(alone, half)
        middle_count, middle_sum = alone - half, sums[alone] - sums[half]
        short = sums[half] - sums[low]
        beside = middle_count * room - middle_sum
        best = max(best, count - half + max(0, -(-(short - beside) // room)))
    return best


def bound_of_counts(lengths: Sequence[int], counts: Sequence[int], room: int) -> int:
    """The bound L2 for different lengths, long to short, with how many there are of each."""
    return _l2([length for length, count in zip(lengths, counts, strict=True) for _ in range(count)], room)
