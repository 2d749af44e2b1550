"""How a job's state and its next deadline are told: one word with a tone, one short line."""

from __future__ import annotations

from datetime import date

from domain.dates import format_day_short
from domain.jobs import days_left

SOON_DAYS = 7
"""A deadline this near, or past, is marked."""

_TONES = {
    "inquiry": "info",
    "surveyed": "info",
    "quoted": "caution",
    "accepted": "good",
    "scheduled": "good",
    "under way": "good",
    "installed": "good",
    "tested": "good",
    "invoiced": "caution",
    "paid": "good",
    "expired": "error",
    "declined": "plain",
    "canceled": "plain",
}


def state_tone(state: str, closed: bool = False) -> str:
    """The tone of a pill for one of domain.jobs.STATES; a closed job is quiet."""
    return "plain" if closed else _TONES.get(state, "plain")


def state_word(state: str, closed: bool = False) -> str:
    """The word of the pill; a closed job is neither waiting for its day nor under way any more."""
    if closed and state in ("accepted", "scheduled", "under way"):
        return "closed"
    return f"{state}, closed" if closed and state != "canceled" else state


def deadline_words(due_on: date | None, today: date, with_date: bool = True) -> str:
    """A deadline with the days left, "" when there is none: "Jun 12 · in 9 days", the year if it is another."""
    if due_on is None:
        return ""
    left, day = days_left(due_on, today), format_day_short(due_on)
    if due_on.year == today.year:
        day = day.partition(",")[0]
    return f"{day} · {left}" if with_date else left


def deadline_tone(due_on: date | None, today: date) -> str:
    """"over" when it is near or past."""
    return "over" if due_on and (due_on - today).days <= SOON_DAYS else "plain"
