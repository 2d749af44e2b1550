"""The computer's clock, asked in one place, so that a test can say what time it is.

Moments carry their offset from UTC: a clock put forward or back between two of them changes nothing in the time that
has passed.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from domain.dates import format_day


def _system() -> datetime:
    return datetime.now().astimezone()


source: Callable[[], datetime] = _system
"""Where the time comes from; a test puts another in its place."""


def is_the_computers() -> bool:
    """True while nobody put another clock in its place."""
    return source is _system


def now() -> datetime:
    """This moment in local time, with its offset."""
    return source()


def today() -> date:
    """The day on the owner's own clock."""
    return now().date()


def logged_words(started_at: str, day: date) -> str:
    """What is said when a running clock was stopped; past midnight it says on which day the hours stand."""
    began = datetime.fromisoformat(started_at).date()
    if began == day:
        return "The hours are logged."
    return f"The hours are logged on {format_day(began)}, the day the clock was started."
