"""What is kept of a finished system: readings and promises, check points and answers, defects, exposure, files."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

PHASES = ("before", "during", "after")
PHASE_WORDS = {"before": "Before the work", "during": "During the work", "after": "After the work"}

OK, NOT_OK, NOT_APPLICABLE = "ok", "not_ok", "not_applicable"
ANSWERS = (OK, NOT_OK, NOT_APPLICABLE)
ANSWER_WORDS = {OK: "OK", NOT_OK: "Not OK", NOT_APPLICABLE: "Not applicable"}

OPEN, PUT_RIGHT, LEFT, NOT_OURS = "open", "put_right", "left_by_customer", "not_ours"
OUTCOMES = (OPEN, PUT_RIGHT, LEFT, NOT_OURS)
OUTCOME_WORDS = {
    OPEN: "open",
    PUT_RIGHT: "put right",
    LEFT: "left as it is by the customer",
    NOT_OURS: "for another trade",
}


@dataclass(frozen=True, slots=True)
class Closeout:
    """A system as it stands, and what was promised for it. Watts, in. w.c. and pCi/L."""

    id: int
    job_id: int
    description: str = ""
    fan: str = ""
    fan_watts: Decimal | None = None
    fan_on_minute: int | None = None  # minute of the day of the job's installed_on
    read_on: date | None = None
    suction: Decimal | None = None
    indicator: str = ""
    indicator_place: str = ""
    standard: str = ""
    warranty_until: date | None = None
    level_promised: Decimal | None = None  # None: no level is promised
    warranty_text: str = ""
    retest_on: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class OwnPoint:
    """A point of the owner's, or what the owner changed of a built-in one."""

    id: int
    point_key: str
    wording: str  # "" on a built-in point: its own wording
    source: str
    phase: str
    job_type_id: int | None
    hidden: bool
    position: int


@dataclass(frozen=True, slots=True)
class CheckAnswer:
    """An answer, with the wording and the source it was given to."""

    id: int
    job_id: int
    point_key: str
    wording: str
    source: str
    answer: str  # ok | not_ok | not_applicable
    note: str
    answered_on: date
    photo_id: int | None


@dataclass(frozen=True, slots=True)
class Defect:
    """What is wrong with a system somebody else put in, and what became of it."""

    id: int
    job_id: int
    found_on: date
    place: str
    description: str
    rule: str
    price_cents: int | None  # None: not priced
    quote_id: int | None
    outcome: str  # open | put_right | left_by_customer | not_ours
    answered_on: date | None
    answer: str
    photo_id: int | None


@dataclass(frozen=True, slots=True)
class Exposure:
    """Minutes of a person in air of a radon level (pCi/L)."""

    id: int
    job_id: int | None
    person_id: int
    day: date
    minutes: int
    level: Decimal
    level_from: str
    equilibrium_percent: Decimal
    note: str


@dataclass(frozen=True, slots=True)
class Attachment:
    """A picture or PDF copied beside the company file under a name of our own."""

    id: int
    file_name: str
    original_name: str
    sha256: str
    size: int  # bytes
    added_on: date
