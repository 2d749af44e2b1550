"""One finished job at a time: what a task took the last time, while there are too few jobs for statistics."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date

from domain.track_record.history import FinishedJob, History

CASES = 5
"""Up to so many finished jobs of a type are cases to look at; odds are told from the next one on (ours, no source)."""


@dataclass(frozen=True, slots=True)
class LastTime:
    """The last finished job on which a task took time. Minutes; ``quoted`` is 0 where nobody had quoted it."""

    job: Hashable
    task: str
    quoted: int
    actual: int
    finished_on: date


@dataclass(frozen=True, slots=True)
class WholeCase:
    """A finished job as a whole, unquoted work included. Minutes."""

    job: Hashable
    quoted: int
    actual: int
    finished_on: date


def last_jobs(history: History, job_type: str, most: int = CASES) -> tuple[WholeCase, ...]:
    """The newest finished jobs of a type, newest first."""
    own = [job for job in reversed(history.jobs) if job.job_type == job_type][:most]
    return tuple(WholeCase(job.key, job.quoted_minutes, job.actual_minutes, job.day) for job in own)


def last_times(history: History, job_type: str) -> dict[str, LastTime]:
    """By task, the newest job of the type on which it took time; tasks that never did are not there."""
    found: dict[str, LastTime] = {}
    for job in reversed(history.jobs):
        if job.job_type != job_type:
            continue
        for task, (quoted, actual) in _by_task(history, job).items():
            if actual and task not in found:
                found[task] = LastTime(job.key, task, quoted, actual, job.day)
    return found


def _by_task(history: History, job: FinishedJob) -> dict[str, list[int]]:
    """Quoted and actual minutes of a job by task; a task logged as not quoted, too, counts whole."""
    sums: dict[str, list[int]] = {}
    for line in range(job.first, job.last):
        both = sums.setdefault(history.patterns[history.pattern_of[line]][1], [0, 0])
        both[0] += history.quoted[line]
        both[1] += history.actual[line]
    for task, minutes in job.unquoted:
        sums.setdefault(task, [0, 0])[1] += minutes
    return sums
