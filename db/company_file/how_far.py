"""How far slow work on files is: told as (done, of), and stopped by whatever the teller raises."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from db.company_file.kept import Named, kept_path

Progress = Callable[[int, int], None]
"""Called with (done, of) now and then; what it raises stops the work, which then leaves no half file."""

PARTS = 1000


def told_nobody(_done: int, _of: int) -> None:
    """For work nobody watches."""


def stretch(progress: Progress, first: int, last: int) -> Progress:
    """Tell a part of the work as the stretch between two thousandths of the whole."""
    return lambda done, of: progress(first + (last - first) * min(done, of) // max(of, 1), PARTS)


def counted(progress: Progress, of: int) -> Callable[[int], None]:
    """A teller that is given what was done since the last time, and says how much that is in all."""
    done = 0

    def told(count: int) -> None:
        nonlocal done
        done += count
        progress(min(done, of), of)

    return told


def bytes_of(wanted: Iterable[Named], sources: Iterable[Path]) -> int:
    """How many bytes these files have, each in the first folder that has it."""
    sources = list(sources)
    total = 0
    for one in wanted:
        there = next((path for place in sources if (path := kept_path(place, one.name)) is not None), None)
        try:
            total += there.stat().st_size if there is not None else 0
        except OSError:
            continue
    return total
