"""Open jobs that will end beyond their quoted hours, by what the owner says is done, and when that was first seen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, select

from db.queries.sold import lines_sold, sold_quotes
from db.tables import customer, hours_entry, job, labour_line, quote, task_progress
from domain.earned_value import JobProgress, job_progress
from domain.first_warning import DoneOnTask, FirstWarning, OnTask, first_warning

NOT_QUOTED = 0
"""Stands for the task of an entry that is marked as not quoted: it belongs to no line."""


@dataclass(frozen=True, slots=True)
class HeadingJob:
    """An open job whose work so far says that it will end beyond its quoted hours."""

    job_id: int
    number: str
    customer: str
    title: str
    quoted_minutes: int
    expected_minutes: int
    words: str
    first: FirstWarning | None = None


@dataclass(slots=True)
class _Facts:
    """What is known of one job, each fact with its day."""

    quoted: list[OnTask] = field(default_factory=list)
    logged: list[OnTask] = field(default_factory=list)
    said: list[DoneOnTask] = field(default_factory=list)

    @property
    def first(self) -> FirstWarning | None:
        return first_warning(self.quoted, self.logged, self.said)

    @property
    def progress(self) -> JobProgress:
        quoted, logged = defaultdict[int, int](int), defaultdict[int, int](int)
        for kept, facts in ((quoted, self.quoted), (logged, self.logged)):
            for _, task_id, minutes in facts:
                kept[task_id] += minutes
        return job_progress(quoted, logged, {task_id: done for _, task_id, done in self.said})


@dataclass(frozen=True, slots=True)
class Headings:
    """Jobs heading over, the furthest first, and when going over was first seen of them and of those asked about."""

    jobs: tuple[HeadingJob, ...] = ()
    first: Mapping[int, FirstWarning] = field(default_factory=dict)


def heading_over(conn: Connection, also: Collection[int] = ()) -> Headings:
    """Open jobs, not installed and still within their hours, that will go beyond by what is done.

    One statement when nothing was said of any job and none is asked about, five otherwise.

    Args:
        also: further jobs whose first warning is wanted.
    """
    heads: dict[int, tuple[str, str, str]] = {
        job_id: (number, who, title)
        for job_id, number, who, title in conn.execute(
            select(task_progress.c.job_id, job.c.number, customer.c.name, job.c.title)
            .distinct()
            .join(job, job.c.id == task_progress.c.job_id)
            .join(customer, customer.c.id == job.c.customer_id)
            .where(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None), job.c.installed_on.is_(None))
        )
    }
    facts = _facts(conn, {*heads, *also})
    found = []
    for job_id, head in heads.items():
        value = facts[job_id].progress
        whole = value.whole
        if value.warning and whole is not None and value.spent <= value.budget:
            found.append(HeadingJob(job_id, *head, value.budget, whole, value.warning, facts[job_id].first))
    found.sort(key=lambda one: one.quoted_minutes - one.expected_minutes)
    return Headings(tuple(found), _known({job_id: one.first for job_id, one in facts.items()}))


def whole_minutes(conn: Connection, job_ids: Collection[int]) -> dict[int, int]:
    """Where jobs are heading by what the owner said is done, in four statements; without a word on it
    a job is left out."""
    whole = {job_id: one.progress.whole for job_id, one in _facts(conn, job_ids).items() if one.said}
    return {job_id: minutes for job_id, minutes in whole.items() if minutes is not None}


def first_warnings(conn: Connection, job_ids: Collection[int]) -> dict[int, FirstWarning]:
    """When each of these jobs was first seen to go over, in four statements at most; the others are left out."""
    return _known({job_id: one.first for job_id, one in _facts(conn, job_ids).items()})


def _known(first: Mapping[int, FirstWarning | None]) -> dict[int, FirstWarning]:
    return {job_id: one for job_id, one in first.items() if one is not None}


def _facts(conn: Connection, job_ids: Collection[int]) -> dict[int, _Facts]:
    """Sold, logged and said of some jobs, with their days."""
    facts = {job_id: _Facts() for job_id in job_ids}
    if not facts:
        return facts
    sold = sold_quotes(conn, select(job.c.id).where(job.c.id.in_(facts)))
    line, entry, note = labour_line.c, hours_entry.c, task_progress.c
    planned = lines_sold(labour_line, (line.quote_id, quote.c.accepted_on, line.task_id, line.minutes))
    planned = planned.join(quote, quote.c.id == line.quote_id).where(line.quote_id.in_(sold))
    for quote_id, accepted_on, task_id, minutes in conn.execute(planned):
        since = accepted_on if sold[quote_id].is_order else date.min
        facts[sold[quote_id].job_id].quoted.append((since, task_id, minutes))
    spent = select(entry.job_id, entry.day, entry.task_id, entry.minutes, entry.unquoted)
    for job_id, day, task_id, minutes, unquoted in conn.execute(spent.where(entry.job_id.in_(facts))):
        facts[job_id].logged.append((day, NOT_QUOTED if unquoted else task_id, minutes))
    said = select(note.job_id, note.noted_on, note.task_id, note.done_percent).where(note.job_id.in_(facts))
    for job_id, day, task_id, done in conn.execute(said.order_by(note.noted_on)):
        facts[job_id].said.append((day, task_id, Decimal(done)))
    return facts
