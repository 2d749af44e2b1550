"""A line of work beside what finished jobs expect of it."""

from __future__ import annotations

from dataclasses import dataclass

from domain.job_price import Outlook
from domain.units import format_minutes


@dataclass(frozen=True, slots=True)
class LineSeen:
    """Minutes. ``low`` to ``high`` is where 8 of 10 such lines end; ``own`` is what the owner meant."""

    id: int
    task: str
    own: int
    expected: int
    low: int
    high: int
    quoted: int

    @property
    def words(self) -> str:
        """For a tool tip."""
        return (
            f"You think {format_minutes(self.own)}; finished jobs expect {format_minutes(self.expected)}, 8 of 10 "
            f"between {format_minutes(self.low)} and {format_minutes(self.high)}"
        )


def lines_seen(outlook: Outlook) -> list[LineSeen]:
    """Every line with time on it, in the order of the quote; none where there are no odds."""
    if not outlook.tells_odds:
        return []
    return [
        LineSeen(line.id, seen.task.task, seen.task.quoted_minutes, seen.median_minutes, *seen.band(0.8), line.minutes)
        for line, seen in zip(outlook.lines, outlook.hours.lines, strict=True)
        if seen.task.quoted_minutes
    ]
