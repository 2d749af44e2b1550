"""Branch and bound over whole sticks: fills one after another with every set of pieces worth trying.

Pieces are kept as different lengths with how many of each, so that like pieces are never told apart. A set is worth
trying when nothing left over fits beside it and no piece of it could be changed for a longer one that fits: the changed
set is tried too and is never worse, since the shorter piece goes where the longer one was. A new stick takes the
longest piece that is left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from domain.takeoff.stick_bounds import bound_of_counts

Plan = list[tuple[int, list[int]]]
"""Capacity and items of each: the offcuts first, then new sticks."""

Counts = tuple[int, ...]


class StickSearch:
    """Looks for a plan with fewer new sticks than the best known, until ``least`` is met or the steps are used up."""

    def __init__(
        self, items: Sequence[int], room: int, spare: Sequence[int], best: Plan, least: int, steps: int
    ) -> None:
        counted = Counter(items)
        self.lengths = tuple(sorted(counted, reverse=True))
        self.start: Counts = tuple(counted[length] for length in self.lengths)
        self.room = room
        self.spare = list(spare)
        self.best = best
        self.least = least
        self.steps = steps
        self.seen: set[tuple[int, Counts]] = set()

    @property
    def given_up(self) -> bool:
        """Whether the steps were used up before every plan was ruled out."""
        return self.steps <= 0

    def run(self) -> Plan:
        """The best plan found."""
        self._go(self.start, sum(self.lengths[n] * count for n, count in enumerate(self.start)), [])
        return self.best

    @property
    def _target(self) -> int:
        return len(self.best) - len(self.spare)

    def _go(self, counts: Counts, total: int, plan: Plan) -> None:
        self.steps -= 4
        if self.given_up or self._target <= self.least:
            return
        depth = len(plan)
        fresh = max(0, depth - len(self.spare))
        if not total:
            self.best = plan + [(capacity, []) for capacity in self.spare[depth:]]
            return
        coming = self.spare[depth:]
        sticks_left = self._target - 1 - fresh
        waste = sticks_left * self.room + sum(coming) - total  # what a better plan may still leave over
        state = (depth if coming else -fresh, counts)
        if waste < 0 or state in self.seen:
            return
        self.seen.add(state)
        if bound_of_counts(self.lengths, counts, self.room) - len(coming) > sticks_left:
            return
        capacity = coming[0] if coming else self.room
        for used, chosen in self._sets(counts, capacity, capacity - waste, takes_longest=not coming):
            rest = list(counts)
            for position in chosen:
                rest[position] -= 1
            items = [self.lengths[position] for position in chosen]
            self._go(tuple(rest), total - used, [*plan, (capacity, items)])
            if self.given_up or self._target <= self.least:
                return

    def _sets(
        self, counts: Counts, capacity: int, at_least: int, takes_longest: bool
    ) -> list[tuple[int, tuple[int, ...]]]:
        """Length used and positions of each set worth trying, the fullest first."""
        free = list(counts)
        chosen: list[int] = []
        left = capacity
        first = next(position for position, count in enumerate(counts) if count)
        if takes_longest:
            free[first] -= 1
            chosen.append(first)
            left -= self.lengths[first]
        found = [
            (capacity - remaining, picked)
            for remaining, picked in self._extend(first, free, chosen, left, capacity - at_least, len(chosen))
        ]
        found.sort(key=lambda one: (-one[0], len(one[1])))
        return found

    def _extend(
        self, start: int, free: list[int], chosen: list[int], left: int, may_leave: int, fixed: int
    ) -> Iterator[tuple[int, tuple[int, ...]]]:
        self.steps -= 1
        if self.given_up:
            return
        if left <= may_leave and not self._beaten(free, chosen[fixed:], left):
            yield left, tuple(chosen)
        lengths = self.lengths
        for position in range(start, len(lengths)):
            if free[position] and lengths[position] <= left:
                free[position] -= 1
                chosen.append(position)
                yield from self._extend(position, free, chosen, left - lengths[position], may_leave, fixed)
                chosen.pop()
                free[position] += 1

    def _beaten(self, free: list[int], chosen: Sequence[int], left: int) -> bool:
        lengths = self.lengths
        for position in range(len(lengths) - 1, -1, -1):
            if free[position]:
                if lengths[position] <= left:
                    return True
                break
        for position in set(chosen):
            most = lengths[position] + left
            for longer in range(position - 1, -1, -1):
                if lengths[longer] > most:
                    break
                if free[longer]:
                    return True
        return False
