"""The order a job's days stand in, and the number of the next job."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from domain.dates import format_day_short
from domain.jobs import Job

STEPS = (
    ("opened_on", "day it was opened"),
    ("scheduled_on", "first work day"),
    ("installed_on", "day the fan was on"),
    ("invoiced_on", "day of the invoice"),
    ("paid_on", "day it was paid"),
    ("closed_on", "day it was closed"),
)
"""The days of a job in the order they can happen, with their names for the owner."""

_NAMES = dict(STEPS)
_ANY_ORDER = {
    pair
    for money in ("invoiced_on", "paid_on")
    for pair in ((money, "closed_on"), ("closed_on", money))
}
"""A job may be closed before it is invoiced or paid: the money is asked for all the same."""


def date_problem(job: Job, step: str, on: date | None) -> str:
    """Say kindly why a day cannot stand where it is put, "" when it can.

    Args:
        job: the job as it is kept.
        step: a field of STEPS, e.g. "installed_on".
        on: the new day; None takes the day away.
    """
    if on is None:
        return ""
    position = [name for name, _ in STEPS].index(step)
    for place, (other, name) in enumerate(STEPS):
        known: date | None = getattr(job, other)
        if known is None or place == position or (step, other) in _ANY_ORDER:
            continue
        if place < position and on < known:
            return (
                f"The {_NAMES[step]} ({format_day_short(on)}) would come before the {name}"
                f" ({format_day_short(known)}). Correct whichever of the two is wrong."
            )
        if place > position and on > known:
            return (
                f"The {_NAMES[step]} ({format_day_short(on)}) would come after the {name}"
                f" ({format_day_short(known)}). Correct whichever of the two is wrong."
            )
    return ""


def first_problem(job: Job) -> str:
    """The first pair of days of a job that stand in the wrong order, "" when there is none."""
    for step, _ in STEPS:
        if problem := date_problem(job, step, getattr(job, step)):
            return problem
    return ""


def next_job_number(numbers: Iterable[str], on: date) -> str:
    """The number after the highest one of that year: ``26-014`` follows ``26-013``; a year starts at 001.

    Numbers of another make (typed by the owner) are passed over.
    """
    year = f"{on.year % 100:02d}"
    used = [int(match[1]) for number in numbers if (match := re.fullmatch(rf"{year}-(\d{{1,6}})", number))]
    return f"{year}-{max(used, default=0) + 1:03d}"
