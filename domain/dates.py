"""Days as people type and read them: month first, forgiving, relative to a day that is passed in."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from domain.errors import NotUnderstood
from domain.units.durations import format_clock

__all__ = ["format_day", "format_day_short", "format_moment", "format_month", "format_month_short", "parse_day"]

_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_FIRST_YEAR, _LAST_YEAR = 1900, 2199

_RELATIVE = re.compile(r"(?P<sign>[+-])\s*(?P<count>[0-9]{1,4})\s*(?P<unit>d|days?|w|weeks?)?")
_ISO = re.compile(r"(?P<year>[0-9]{4})[-/.](?P<month>[0-9]{1,2})[-/.](?P<day>[0-9]{1,2})")
_MONTH_FIRST = re.compile(r"(?P<month>[0-9]{1,2})[-/. ](?P<day>[0-9]{1,2})(?:[-/. ](?P<year>[0-9]{4}|[0-9]{2}))?")
_NAMED = re.compile(
    r"(?:(?P<month_a>[a-z]{3,9})\.?\s*(?P<day_a>[0-9]{1,2})|(?P<day_b>[0-9]{1,2})\s*(?P<month_b>[a-z]{3,9})\.?)"
    r"(?:st|nd|rd|th)?(?:\s*,?\s*(?P<year>[0-9]{4}|'?[0-9]{2}))?"
)
_LEADING_WEEKDAY = re.compile(r"(?P<name>[a-z]{3,9})\.?\s*,?\s+(?=.*[0-9])")


def parse_day(text: str, today: date) -> date:
    """Read a day: ``3/14``, ``3/14/26``, ``14 Mar``, ``March 14, 2026``, ``2026-03-14``, ``today``, ``yesterday``,
    ``tomorrow``, ``fri``, ``+3``, ``-2w``.

    Numbers are month first. A day without a year is the one nearest to `today`: in December ``1/5`` is next
    January. A weekday's name is its next occurrence, today included; ``last fri`` is the one before today. A
    weekday in front of a date is read over.
    Raises NotUnderstood, also for days no calendar has.
    """
    typed, text = text, " ".join(text.lower().split())
    if not text:
        raise NotUnderstood("Type a day, for example 3/14, 14 Mar, today or +3.", typed)
    found = _spoken(text, today)
    if found is None:
        found = _written(_without_weekday(text), today, typed)
    if not _FIRST_YEAR <= found.year <= _LAST_YEAR:
        raise NotUnderstood(f"“{typed.strip()}” is too far away. Check the year.", typed)
    return found


def format_day(day: date) -> str:
    """Print ``Sat, Mar 14, 2026``, in English whatever the system's language; `parse_day` reads it back."""
    return f"{_WEEKDAYS[day.weekday()][:3].title()}, {format_day_short(day)}"


def format_day_short(day: date) -> str:
    """Print ``Mar 14, 2026``, for tables."""
    return f"{_MONTHS[day.month - 1][:3].title()} {day.day}, {day.year}"


def format_month(day: date) -> str:
    """Print the month a day lies in: ``March 2026``."""
    return f"{_MONTHS[day.month - 1].title()} {day.year}"


def format_month_short(day: date) -> str:
    """Print ``Mar 2026``, for the ends of a drawing."""
    return f"{_MONTHS[day.month - 1][:3].title()} {day.year}"


def format_moment(at: datetime) -> str:
    """Print ``Mar 14, 2026, 4:30 pm``."""
    return f"{format_day_short(at.date())}, {format_clock(at.hour * 60 + at.minute)}"


def _spoken(text: str, today: date) -> date | None:
    """Days said relative to today; None for anything else."""
    fixed = {"today": 0, "t": 0, "now": 0, "yesterday": -1, "y": -1, "tomorrow": 1, "tom": 1}
    if text in fixed:
        return today + timedelta(days=fixed[text])
    if match := _RELATIVE.fullmatch(text):
        days = int(match["count"]) * (7 if (match["unit"] or "d").startswith("w") else 1)
        return today + timedelta(days=days if match["sign"] == "+" else -days)
    last = text.startswith("last ")
    weekday = _weekday(text.removeprefix("last ").removeprefix("next "))
    if weekday is None:
        return None
    ahead = (weekday - today.weekday()) % 7
    if last:
        ahead -= 7
    elif text.startswith("next "):
        ahead = ahead or 7
    return today + timedelta(days=ahead)


def _weekday(name: str) -> int | None:
    name = name.rstrip(".")
    return next((n for n, full in enumerate(_WEEKDAYS) if len(name) >= 3 and full.startswith(name)), None)


def _without_weekday(text: str) -> str:
    match = _LEADING_WEEKDAY.match(text)
    return text[match.end() :] if match and _weekday(match["name"]) is not None else text


def _written(text: str, today: date, typed: str) -> date:
    """A calendar day in one of the written forms."""
    if match := _ISO.fullmatch(text) or _MONTH_FIRST.fullmatch(text):
        return _day(match["year"], int(match["month"]), int(match["day"]), today, typed)
    if match := _NAMED.fullmatch(text):
        name = match["month_a"] or match["month_b"]
        month = next((n for n, full in enumerate(_MONTHS, 1) if full.startswith(name)), None)
        if name == "sept":
            month = 9
        if month is not None:
            return _day(match["year"], month, int(match["day_a"] or match["day_b"]), today, typed)
    raise NotUnderstood(f"“{typed.strip()}” is not a day. Write it like 3/14, 14 Mar, today or +3.", typed)


def _day(year_text: str | None, month: int, day: int, today: date, typed: str) -> date:
    if year_text:
        year = int(year_text.lstrip("'"))
        return _real(year if year > 99 else 2000 + year, month, day, typed)
    near = [d for y in (today.year - 1, today.year, today.year + 1) if (d := _or_none(y, month, day))]
    if not near:
        return _real(today.year, month, day, typed)
    return min(near, key=lambda d: (abs((d - today).days), d < today))


def _or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _real(year: int, month: int, day: int, typed: str) -> date:
    found = _or_none(year, month, day)
    if found is None:
        hint = " Months come first: 3/14 is March 14." if month > 12 else ""
        raise NotUnderstood(f"“{typed.strip()}” is not in the calendar.{hint}", typed)
    return found
