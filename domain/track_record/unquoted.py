"""What quotes tend to forget: the chance and the amount of work that was logged with no quoted line."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from domain.money import divide_cents
from domain.track_record.history import FinishedJob

_PULL = 4.0  # so many jobs of all work does a type's chance start from


@dataclass(frozen=True, slots=True)
class ForgottenTask:
    """A task that turned up unquoted, and the jobs it turned up on, newest first."""

    task: str
    median_minutes: int
    jobs: tuple[Hashable, ...]


@dataclass(frozen=True, slots=True)
class Unquoted:
    """Unquoted work on the jobs of one type.

    ``chance`` that the next such job has some: the type's own share, pulled toward that of all work.
    ``median_minutes`` of it on a job that had some; ``tasks`` the most frequent first.
    """

    job_type: str
    seen: int
    jobs: tuple[Hashable, ...]
    chance: float
    median_minutes: int
    tasks: tuple[ForgottenTask, ...]


def unquoted_work(history: Sequence[FinishedJob], job_type: str) -> Unquoted:
    """Look through finished jobs, oldest first, for what quotes of this type forgot."""
    own = [job for job in reversed(history) if job.job_type == job_type]
    struck = [job for job in own if job.unquoted]
    everywhere = sum(1 for job in history if job.unquoted) / len(history) if history else 0.0
    found: dict[str, list[tuple[Hashable, int]]] = {}
    for job in struck:
        for task, minutes in _by_task(job).items():
            found.setdefault(task, []).append((job.key, minutes))
    tasks = [
        ForgottenTask(task, middle_minutes([minutes for _, minutes in rows]), tuple(key for key, _ in rows))
        for task, rows in found.items()
    ]
    return Unquoted(
        job_type=job_type,
        seen=len(own),
        jobs=tuple(job.key for job in struck),
        chance=(len(struck) + _PULL * everywhere) / (len(own) + _PULL),
        median_minutes=middle_minutes([job.unquoted_minutes for job in struck]),
        tasks=tuple(sorted(tasks, key=lambda task: (-len(task.jobs), -task.median_minutes, task.task))),
    )


def _by_task(job: FinishedJob) -> dict[str, int]:
    tasks: dict[str, int] = {}
    for task, minutes in job.unquoted:
        tasks[task] = tasks.get(task, 0) + minutes
    return tasks


def middle_minutes(minutes: Sequence[int]) -> int:
    """Median, half up; 0 of none."""
    if not minutes:
        return 0
    ordered, n = sorted(minutes), len(minutes)
    return divide_cents(ordered[(n - 1) // 2] + ordered[n // 2], 2)
