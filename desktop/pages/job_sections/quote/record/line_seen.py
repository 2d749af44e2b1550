"""One row of the table in which each line of work stands beside what finished jobs expect of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LineSeen:
    """A line of work beside what finished jobs expect of it."""

    id: int
    task: str
    own: int
    expected: int
    low: int
    high: int
    quoted: int
