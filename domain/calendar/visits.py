"""One visit: who goes where on which day; its kinds, and what each of them usually takes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from domain.units import format_clock

VISIT_KINDS = (
    "survey",
    "work",
    "electrician",
    "inspection",
    "test_placed",
    "test_picked_up",
    "callback",
    "own",
)
"""What a visit can be for; "own" is time without a job: an errand, a course, a day off."""

KIND_WORDS = {
    "survey": "Survey",
    "work": "Work",
    "electrician": "Electrician",
    "inspection": "Inspection",
    "test_placed": "Place test",
    "test_picked_up": "Pick up test",
    "callback": "Callback",
    "own": "Own time",
}

USUAL_MINUTES = {
    "survey": 90,
    "work": 480,
    "electrician": 120,
    "inspection": 60,
    "test_placed": 30,
    "test_picked_up": 30,
    "callback": 60,
    "own": 60,
}
"""How long a visit is taken to last until the owner says otherwise; common practice, no source."""

OTHERS_COME = ("electrician", "inspection")
"""Kinds somebody else comes for: the owner need not be there unless he says so."""

TEST_KINDS = ("test_placed", "test_picked_up")
AFTER_CLOSING = ("callback", "inspection", *TEST_KINDS)
"""Kinds that still come up on a job that is closed."""

MONITOR = "continuous monitor"
DAY_MINUTES = 24 * 60


@dataclass(frozen=True, slots=True)
class Visit:
    """A row of the calendar; times are minutes of the local day."""

    id: int
    job_id: int | None
    kind: str  # one of VISIT_KINDS
    title: str  # own time: what for; a test: its device
    day: date
    starts_at: int | None  # None: some time that day
    minutes: int  # planned at the place
    travel_minutes: int  # there and back
    who: str
    supplier_id: int | None
    takes_own_time: int  # 0: the owner need not be there
    note: str
    done_on: date | None
    cancelled_on: date | None
    uid: str
    sequence: int

    @property
    def stands(self) -> bool:
        """Not called off."""
        return self.cancelled_on is None

    @property
    def is_open(self) -> bool:
        """Still to come: neither done nor called off."""
        return self.cancelled_on is None and self.done_on is None

    @property
    def own_minutes(self) -> int:
        """What it takes of the owner's day: time there and the way."""
        return self.minutes + self.travel_minutes if self.takes_own_time else 0

    @property
    def ends_at(self) -> int | None:
        """The minute it ends; None when it has no hour."""
        return None if self.starts_at is None else self.starts_at + self.minutes

    def starts(self, day_begins: int) -> datetime:
        """When it starts; without an hour, when the day's work begins."""
        return moment(self.day, day_begins if self.starts_at is None else self.starts_at)

    def ends(self, day_begins: int) -> datetime:
        """When it ends; without an hour it is taken to begin with the day."""
        return self.starts(day_begins) + timedelta(minutes=self.minutes)


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """A visit with what the calendar says of its job."""

    visit: Visit
    job_number: str = ""
    job_title: str = ""
    customer: str = ""
    place: str = ""  # street and town
    phone: str = ""

    @property
    def words(self) -> str:
        """``Work · Ada Quill`` or, without a job, what it is for."""
        kind = KIND_WORDS[self.visit.kind]
        if self.visit.job_id is None:
            return self.visit.title or kind
        return f"{kind} · {self.customer}"


def moment(day: date, minute: int) -> datetime:
    """A minute of a local day as a moment."""
    return datetime.combine(day, time()) + timedelta(minutes=minute)


def time_words(visit: Visit) -> str:
    """``8 am to 1:30 pm``, or that it has no hour."""
    if visit.starts_at is None:
        return "any time"
    return f"{format_clock(visit.starts_at)} to {format_clock(visit.starts_at + visit.minutes)}"
