"""What the owner still has to do this evening: one statement a band, however large the company is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection, Select

from db.queries import tonight_bands as bands
from db.queries.buying.day_jobs import count_of_jobs
from db.queries.firm import firm
from db.queries.log_offers import OfferedJob, RunningClock, jobs_to_offer, running_timer
from db.queries.so_far import jobs_so_far
from domain.so_far import SoFar

SHOWN = 4
"""Rows of a band that are shown; the rest is counted."""

NEAR_DAYS = 14
"""A deadline this near is on the page."""

EXPIRING_DAYS = 3
"""A proposal that runs out this soon is followed up, however lately it was sent."""

LATELY_DAYS = 4
"""A job worked on this lately and not installed yet is likely today's too."""

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Band(Generic[Row]):
    """The first rows of something to do and how many there are in all."""

    rows: tuple[Row, ...] = ()
    total: int = 0

    @property
    def more(self) -> int:
        """How many are not shown."""
        return self.total - len(self.rows)


@dataclass(frozen=True, slots=True)
class JobName:
    """What the owner knows a job by."""

    job_id: int
    number: str
    customer: str
    what: str  # its title, else its type
    street: str


@dataclass(frozen=True, slots=True)
class TodaysJob:
    """A job of today, with how far it is."""

    name: JobName
    scheduled_on: date | None
    quoted_minutes: int
    minutes: int
    minutes_today: int
    so_far: SoFar = field(default_factory=SoFar)


@dataclass(frozen=True, slots=True)
class QuoteToDo:
    """A draft to finish, or a sent quote to follow up."""

    name: JobName
    kind: str  # proposal | change_order
    version: int
    created_on: date
    sent_on: date | None  # None: a draft
    expires_on: date | None
    price_cents: int | None  # as told, after goodwill, before tax


@dataclass(frozen=True, slots=True)
class SilentJob:
    """A job that was to be worked on by now and has no hours in its log."""

    name: JobName
    on: date  # installed, else scheduled
    installed: bool


@dataclass(frozen=True, slots=True)
class DaylessJob:
    """A job the customer accepted, without a day to do it."""

    name: JobName
    accepted_on: date


@dataclass(frozen=True, slots=True)
class NearDeadline:
    """A day that comes."""

    name: JobName
    due_on: date
    reason: str


@dataclass(frozen=True, slots=True)
class OverJob:
    """A running job that has taken more hours than its whole quote."""

    name: JobName
    quoted_minutes: int
    minutes: int
    so_far: SoFar = field(default_factory=SoFar)


@dataclass(frozen=True, slots=True)
class UnquotedJob:
    """A running job with work that nobody has quoted."""

    name: JobName
    minutes: int
    other_entries: int  # materials and costs marked as not quoted
    so_far: SoFar = field(default_factory=SoFar)


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """What a new company has done already."""

    hour_set: bool
    has_customer: bool
    has_job: bool
    has_quote: bool

    @property
    def begun(self) -> bool:
        """True once there is a quote: the evening has something to show from then on."""
        return self.has_quote


@dataclass(frozen=True, slots=True)
class Evening:
    """All that Tonight shows."""

    firm_name: str
    owner_name: str
    steps: FirstSteps
    today: Band[TodaysJob]
    upcoming: Band[TodaysJob]
    tomorrow: int  # how many jobs the pull sheet of tomorrow is for
    offered: tuple[OfferedJob, ...]  # what may have been worked on, when nothing was meant for today
    quotes: Band[QuoteToDo]  # drafts first, then those to follow up
    silent: Band[SilentJob]
    dayless: Band[DaylessJob]
    deadlines: Band[NearDeadline]
    over: Band[OverJob]
    unquoted: Band[UnquotedJob]
    clock: RunningClock | None

    @property
    def to_do(self) -> int:
        """How many things wait, today's work aside."""
        return sum(
            band.total
            for band in (self.quotes, self.silent, self.dayless, self.deadlines, self.over, self.unquoted)
        )


def evening(conn: Connection, today: date, shown: int = SHOWN) -> Evening:
    """Read the whole page in fifteen statements, one more when no job is meant for today."""
    settings = firm(conn)
    given = {
        "today": today,
        "lately": today - timedelta(days=LATELY_DAYS),
        "sent_by": today - timedelta(days=settings.follow_up_days),
        "runs_out_by": today + timedelta(days=EXPIRING_DAYS),
        "horizon": today + timedelta(days=NEAR_DAYS),
        "shown": shown,
    }

    def band(query: Select[Any], made: Callable[..., Row], most: int = shown) -> Band[Row]:
        rows = conn.execute(query, given | {"shown": most}).all()
        width = bands.NAME_WIDTH
        shown_rows = tuple(made(JobName(*row[:width]), *row[width:-1]) for row in rows)
        return Band(shown_rows, int(rows[0][-1]) if rows else 0)

    todays, coming = band(bands.todays_jobs(), TodaysJob), band(bands.upcoming(), TodaysJob)
    over, unquoted = band(bands.over(), OverJob), band(bands.unquoted(), UnquotedJob)
    shown_jobs = [row.name.job_id for one in (todays, coming, over, unquoted) for row in one.rows]
    far = jobs_so_far(conn, shown_jobs)

    def told(one: Band[Row]) -> Band[Row]:
        """The same jobs with the hours as the log and the outcome tell them."""
        return Band(tuple(replace(row, so_far=far[row.name.job_id]) for row in one.rows), one.total)  # type: ignore[attr-defined,type-var]

    return Evening(
        firm_name=settings.name,
        owner_name=settings.owner_name,
        steps=FirstSteps(*(bool(value) for value in conn.execute(bands.first_steps()).one())),
        today=told(todays),
        upcoming=told(coming),
        tomorrow=count_of_jobs(conn, today + timedelta(days=1)),
        offered=() if todays.total else tuple(jobs_to_offer(conn, today, shown)),
        quotes=band(bands.quotes(), QuoteToDo, shown + 2),
        silent=band(bands.silent(), SilentJob),
        dayless=band(bands.dayless(), DaylessJob),
        deadlines=band(bands.deadlines(), NearDeadline),
        over=told(over),
        unquoted=told(unquoted),
        clock=running_timer(conn),
    )
