"""What is learned from and what is asked: a finished line of work, and a line of a new quote."""

from __future__ import annotations

from collections.abc import Collection, Hashable
from dataclasses import dataclass
from datetime import date

from domain.errors import NotUnderstood


@dataclass(frozen=True, slots=True)
class Outcome:
    """One task of one finished job: what was quoted for it and what it took.

    Zero quoted minutes is unquoted work. Zero actual minutes is work that was quoted and not done.
    """

    job: Hashable
    job_type: str
    task: str
    conditions: Collection[str]
    quoted_minutes: int
    actual_minutes: int
    finished_on: date  # of the job
    quoted_on: date | None = None
    """When the quote was written; without it the day it was finished stands in, for the back-test only."""


@dataclass(frozen=True, slots=True)
class QuotedTask:
    """One line of a quote that is being written."""

    job_type: str
    task: str
    conditions: Collection[str]
    quoted_minutes: int


def check_minutes(quoted: int, actual: int = 0) -> None:
    """Refuse minutes below nothing.

    Raises NotUnderstood.
    """
    if quoted < 0 or actual < 0:
        raise NotUnderstood("Minutes cannot be below zero. Correct the quoted or the logged time.")


def tidy_conditions(conditions: Collection[str]) -> tuple[str, ...]:
    """Each condition once, in a fixed order; a single word is one condition, not its letters."""
    if isinstance(conditions, str):
        return (conditions,) if conditions else ()
    words = tuple(conditions)
    return words if len(words) < 2 else tuple(sorted(set(words)))
