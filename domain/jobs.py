"""A job, who is part of it, its deadline and survey, and the state that follows from its facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.words import search_text

PARTY_ROLES = ("owner", "buyer", "seller", "buyer's agent", "seller's agent", "inspector", "closing escrow", "other")

STATES = (
    "inquiry",
    "surveyed",
    "quoted",
    "accepted",
    "scheduled",
    "under way",
    "installed",
    "tested",
    "invoiced",
    "paid",
    "declined",
    "expired",
    "canceled",
)


@dataclass(frozen=True, slots=True)
class Job:
    id: int
    number: str
    customer_id: int
    property_id: int
    job_type_id: int
    lead_source_id: int | None
    title: str
    opened_on: date
    scheduled_on: date | None
    installed_on: date | None
    invoiced_on: date | None
    paid_on: date | None
    closed_on: date | None
    cancelled_on: date | None
    cancelled_reason: str
    note: str
    unanswered: int = 0  # quoted lines with neither a log nor an answer when it was closed

    @property
    def is_fully_logged(self) -> bool:
        """It is closed and every quoted line is logged or answered: the record may learn of it."""
        return self.closed_on is not None and not self.unanswered


@dataclass(frozen=True, slots=True)
class Party:
    id: int
    job_id: int
    role: str
    name: str
    phone: str
    mail: str
    note: str


@dataclass(frozen=True, slots=True)
class Deadline:
    id: int
    job_id: int
    due_on: date
    reason: str
    met: bool


@dataclass(frozen=True, slots=True)
class Survey:
    id: int
    job_id: int
    surveyed_on: date
    existing_notes: str
    findings: str
    access_notes: str


@dataclass(frozen=True, slots=True)
class RadonTest:
    id: int
    job_id: int
    purpose: str  # before | after
    device: str
    place: str
    started_on: date | None
    ended_on: date
    result: Decimal  # pCi/L
    note: str
    started_minute: int | None = None  # minute of the day
    ended_minute: int | None = None
    closed_house: str = ""  # yes | no | "": not known
    placed_by: str = ""
    serial: str = ""
    attachment_id: int | None = None  # the laboratory's report


@dataclass(frozen=True, slots=True)
class Photo:
    id: int
    job_id: int
    file_name: str
    original_name: str
    caption: str
    added_on: date


@dataclass(frozen=True, slots=True)
class JobFacts:
    """The facts a job's state is derived from; dates are None when the thing has not happened."""

    surveyed_on: date | None = None
    sent_on: date | None = None  # the newest proposal version that was sent
    expires_on: date | None = None
    accepted_on: date | None = None
    declined_on: date | None = None
    scheduled_on: date | None = None
    installed_on: date | None = None
    tested_on: date | None = None  # an after-test has a result
    invoiced_on: date | None = None
    paid_on: date | None = None
    cancelled_on: date | None = None
    begun_on: date | None = None  # the first day with hours in its log


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job as a list shows it."""

    id: int
    number: str
    title: str
    customer_id: int
    customer: str
    place: str  # street and town
    job_type: str
    opened_on: date
    closed_on: date | None
    deadline_on: date | None  # the next one not yet met
    deadline_reason: str
    price_cents: int | None  # newest sent proposal with accepted change orders, after goodwill, before tax
    facts: JobFacts
    state: str  # one of STATES

    @property
    def searched(self) -> str:
        """What a search looks through, for `domain.words.search_for`."""
        return search_text(self.number, self.title, self.customer, self.place, self.job_type)


def job_state(facts: JobFacts, today: date) -> str:
    """Derive the job's state, one of STATES: the furthest step whose fact is there.

    A quote that was sent and neither accepted nor declined is "expired" after its last day.
    """
    if facts.cancelled_on:
        return "canceled"
    steps = (
        ("paid", facts.paid_on),
        ("invoiced", facts.invoiced_on),
        ("tested", facts.tested_on if facts.installed_on else None),
        ("installed", facts.installed_on),
        ("under way", facts.begun_on if facts.accepted_on else None),
        ("scheduled", facts.scheduled_on if facts.accepted_on else None),
        ("accepted", facts.accepted_on),
    )
    for state, happened in steps:
        if happened:
            return state
    if facts.declined_on:
        return "declined"
    if facts.sent_on:
        return "expired" if facts.expires_on and facts.expires_on < today else "quoted"
    return "surveyed" if facts.surveyed_on else "inquiry"


LOST_STATES = ("declined", "expired", "canceled")
WAITING_STATES = ("quoted",)
RUNNING_STATES = ("accepted", "scheduled", "under way", "installed", "tested", "invoiced", "paid")

JOB_FILTERS = ("open", "waiting", "running", "closed", "lost", "all")
"""Which jobs a list shows: see `in_filter`."""


def in_filter(state: str, closed: bool, which: str) -> bool:
    """True when a job in this state belongs to one of JOB_FILTERS.

    open: something is still to be done; waiting: a quote is out; running: accepted and not closed;
    closed: closed by the owner; lost: declined, run out or canceled.
    """
    if which == "all":
        return True
    if state == "canceled" or closed:
        return which == ("lost" if state == "canceled" else "closed")
    groups = {"waiting": WAITING_STATES, "running": RUNNING_STATES, "lost": LOST_STATES}
    if which == "open":
        return state not in LOST_STATES
    return state in groups.get(which, ())


FAR_DAYS = 120
"""A survey further away than this, ahead or back, is asked about (ours, no source)."""


def is_far(day: date, today: date) -> bool:
    """Whether a day is so far from today that its year may be a slip."""
    return abs((day - today).days) > FAR_DAYS


def far_words(day: date, today: date) -> str:
    """What to ask of a day that `is_far`, where it is typed; empty for any other."""
    return f"{_distance(day, today)}." if is_far(day, today) else ""


def _distance(day: date, today: date) -> str:
    days = abs((day - today).days)
    length = f"{days // 365} year{'s' if days // 365 > 1 else ''}" if days >= 365 else f"{days} days"
    return f"{length} {'ahead' if day > today else 'back'}"


def works_on_existing(job_type: str) -> bool:
    """Whether a job of this type is done on a system that is in the house already, by the words of its name."""
    name = job_type.casefold()
    return any(word in name for word in ("existing", "rework", "replacement", "activation"))


def days_left(due_on: date, today: date) -> str:
    """A deadline's distance in words: "in 3 days", "today", "2 days ago"."""
    days = (due_on - today).days
    if days == 0:
        return "today"
    if abs(days) == 1:
        return "tomorrow" if days > 0 else "yesterday"
    return f"in {days} days" if days > 0 else f"{-days} days ago"
