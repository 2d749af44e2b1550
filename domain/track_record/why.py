"""Says in words what a forecast rests on, each sentence with the jobs behind it."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from math import fsum

from domain.track_record.history import FinishedJob, History
from domain.track_record.leaning import WAYS, Standing
from domain.track_record.outcomes import QuotedTask, tidy_conditions
from domain.track_record.unquoted import unquoted_work
from domain.units import format_minutes, format_whole_percent

ENOUGH = 5
"""From so many jobs alike in type and conditions on, these are named alone."""

_TASKS_NAMED = 2
_WORTH_NAMING = 0.05  # a task that takes its quoted time, within so much, explains nothing


@dataclass(frozen=True, slots=True)
class Why:
    """One reason: the sentence, the jobs it counts (newest first), how many ran over, actual over quoted in sum."""

    text: str
    jobs: tuple[Hashable, ...]
    ran_over: int = 0
    times: float | None = None


@dataclass(frozen=True, slots=True)
class _Seen:
    key: Hashable
    quoted: int
    actual: int


def reasons(history: History, standing: Standing, kind: str, tasks: Sequence[QuotedTask]) -> tuple[Why, ...]:
    """The reasons for the forecast of a quote, nearest to it first."""
    conditions = tidy_conditions([condition for task in tasks for condition in tidy_conditions(task.conditions)])
    of_type = [job for job in reversed(history.jobs) if job.job_type == kind]
    alike = [job for job in of_type if conditions and job.conditions.issuperset(conditions)]
    found = [_jobs_took(alike, f"of “{kind}” with {_and(conditions)}")] if alike else []
    if len(alike) < ENOUGH:
        for condition in conditions:
            under = [job for job in reversed(history.jobs) if condition in job.conditions]
            if len(under) > len(alike):
                found.append(_jobs_took(under, f"of any type with “{condition}”"))
    if of_type:
        found.append(_jobs_took(of_type, f"of “{kind}”"))
    else:
        found.append(_jobs_took(list(reversed(history.jobs)), "of all types"))
    found += _tasks(history, kind, tasks)
    found += _forgotten(history, kind)
    best = max(range(len(WAYS)), key=lambda way: standing.weights[way])
    weight = format_whole_percent(standing.weights[best] * 100)
    words = f"Tried on past jobs, this has erred least so far: {WAYS[best]} ({weight} of the weight)."
    return (*found, Why(words, ()))


def _jobs_took(jobs: Iterable[FinishedJob], which: str) -> Why:
    return _took([_Seen(job.key, job.quoted_minutes, job.actual_minutes) for job in jobs], which)


def _took(jobs: Sequence[_Seen], which: str) -> Why:
    quoted = sum(job.quoted for job in jobs)
    times = sum(job.actual for job in jobs) / quoted
    over = sum(1 for job in jobs if job.actual > job.quoted)
    took = "the quoted hours" if abs(times - 1) < 0.005 else f"{times:.2f} times the quoted hours"
    if len(jobs) == 1:
        text = f"1 job {which} took {took}."
    else:
        text = f"{len(jobs)} jobs {which} took {took}; {over} of {len(jobs)} ran over."
    return Why(text, tuple(job.key for job in jobs), over, times)


def _tasks(history: History, kind: str, tasks: Sequence[QuotedTask]) -> list[Why]:
    """The tasks of this quote that moved most time away from their quote, when there is more than one task."""
    names = dict.fromkeys(task.task for task in tasks if task.quoted_minutes)
    if len(names) < 2:
        return []
    weighed = []
    for name in names:
        group = history.tasks.get((kind, name))
        if group is None:
            continue
        seen = _task_jobs(history, group.members)
        why = _took(seen, f"of “{kind}” with “{name}”: that task")
        minutes = fsum(task.quoted_minutes for task in tasks if task.task == name)
        aside = abs((why.times or 1.0) - 1)
        if aside >= _WORTH_NAMING:
            weighed.append((aside * minutes, why))
    weighed.sort(key=lambda row: -row[0])
    return [why for _, why in weighed[:_TASKS_NAMED]]


def _task_jobs(history: History, lines: Sequence[int]) -> list[_Seen]:
    """A task's time by job, newest first."""
    sums: dict[int, list[int]] = {}
    for line in lines:
        both = sums.setdefault(history.job_of[line], [0, 0])
        both[0] += history.quoted[line]
        both[1] += history.actual[line]
    return [_Seen(history.jobs[job].key, *both) for job, both in sorted(sums.items(), reverse=True)]


def _forgotten(history: History, kind: str) -> list[Why]:
    found = unquoted_work(history.jobs, kind)
    if not found.jobs:
        return []
    most = found.tasks[0]
    middle = format_minutes(found.median_minutes)
    if len(found.jobs) == 1:
        text = f"1 of {found.seen} had work that was not quoted: {middle} of it"
    else:
        text = f"{len(found.jobs)} of {found.seen} had work that was not quoted, {middle} in the middle case"
    return [Why(f"{text}, “{most.task}” most often.", found.jobs)]


def _and(words: Sequence[str]) -> str:
    quoted = [f"“{word}”" for word in words]
    return " and ".join([", ".join(quoted[:-1]), quoted[-1]] if len(quoted) > 1 else quoted)
