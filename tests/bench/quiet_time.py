"""Times as a quiet machine would show them: work on a busy one is set against a fixed piece of arithmetic beside it."""

from __future__ import annotations

import statistics
import time
from collections import defaultdict
from collections.abc import Callable


def _arithmetic() -> float:
    """Seconds of processor time for always the same sums, some milliseconds."""
    began = time.thread_time()
    total, seen = 0, {}
    for number in range(20_000):
        total += number * number % 7
        seen[number % 97] = str(total)
    return time.thread_time() - began


class QuietTime:
    """Measures pieces of work by name; the quickest sums of the whole run tell how fast the machine is when quiet.

    The processor's time of this thread is taken, not the clock's, so work in the background does not count.
    Neighbours still slow a processor down, by sharing its caches and its units: so each time is divided by how much
    slower than at best the sums were just before and after it.
    """

    def __init__(self) -> None:
        self._taken: dict[str, list[tuple[float, float]]] = defaultdict(list)
        self._quickest = min(_arithmetic() for _ in range(20))

    def measure(self, name: str, work: Callable[[], object]) -> None:
        """Do the work once and keep its time under this name."""
        before = _arithmetic()
        began = time.thread_time()
        work()
        taken = time.thread_time() - began
        after = _arithmetic()
        self._quickest = min(self._quickest, before, after)
        self._taken[name].append((taken, (before + after) / 2))

    def milliseconds(self) -> dict[str, float]:
        """The middle time of each piece of work, as on a quiet machine."""
        return {
            name: statistics.median(taken * self._quickest / sums for taken, sums in times) * 1000
            for name, times in self._taken.items()
        }
