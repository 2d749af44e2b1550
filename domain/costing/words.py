"""How costing speaks: kinds of cost, shares in percent, over and under, the periods one asks for."""

from __future__ import annotations

from datetime import date, timedelta

from domain.money import format_money

_KINDS = {
    "permit": "permit",
    "subcontractor": "subcontractor",
    "equipment": "equipment",
    "travel": "travel",
    "other": "other costs",
}

PERIODS = ("all", "this-year", "last-year", "last-12-months")


def kind_name(kind: str) -> str:
    """A kind of other direct cost as it stands in a sentence."""
    return _KINDS.get(kind, kind)


def verdict(cents: int) -> str:
    """The word beside a difference; favourable is positive."""
    if not cents:
        return "as quoted"
    return "favorable" if cents > 0 else "unfavorable"


def difference_text(cents: int) -> str:
    """``+$12.00``, ``-$12.00``; nothing is a dash."""
    return format_money(cents, signed=True) if cents else "–"


def at_most(words: str, partly: object, *, short: bool = True) -> str:
    """A margin, or a gain, of work that is not fully logged: what nobody wrote down can only lower it.

    ``≤ $2,770.34``; not short ``at most $2,770.34``. A dash and an empty text stay.
    """
    if not partly or words in ("", "–"):
        return words
    return f"≤ {words}" if short else f"at most {words}"


def period(name: str, today: date) -> tuple[date | None, date | None]:
    """First and last day of one of PERIODS, both included; None is no end. Raises ValueError for another.

    The last 12 months end today and begin on the day after the same day a year ago.
    """
    if name == "all":
        return None, None
    if name == "this-year":
        return date(today.year, 1, 1), date(today.year, 12, 31)
    if name == "last-year":
        return date(today.year - 1, 1, 1), date(today.year - 1, 12, 31)
    if name == "last-12-months":
        leap_day = today.month == 2 and today.day == 29
        year_ago = date(today.year - 1, 2, 28) if leap_day else today.replace(year=today.year - 1)
        return year_ago + timedelta(days=1), today
    raise ValueError(f"{name!r} is no period")
