"""What the books keep beside papers and payments: trips, account names, closed months, corrections; and months."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from domain.dates import format_month
from domain.errors import NotUnderstood, as_typed


@dataclass(frozen=True, slots=True)
class Trip:
    """Business miles that belong to no job."""

    id: int
    day: date
    miles: Decimal
    purpose: str
    route: str


@dataclass(frozen=True, slots=True)
class LedgerAccount:
    """The owner's number and name for an account of ours."""

    id: int
    role: str  # a key of domain.ledger.ROLES
    number: str
    name: str


@dataclass(frozen=True, slots=True)
class ClosedMonth:
    id: int
    month: str  # 2026-11
    closed_on: date
    note: str
    figures: str  # JSON: its sums when it was closed


@dataclass(frozen=True, slots=True)
class Correction:
    """A row of a closed month that was wrong, and a row of an open month that puts it right."""

    id: int
    made_on: date
    table_name: str
    wrong_id: int
    right_id: int
    reason: str


def month_of(day: date) -> str:
    """``2026-11``."""
    return f"{day.year:04d}-{day.month:02d}"


def month_name(month: str) -> str:
    """``November 2026``."""
    first = first_day(month)
    return format_month(first)


def first_day(month: str) -> date:
    """The first day of a month."""
    year, number = month.split("-")
    return date(int(year), int(number), 1)


def last_day(month: str) -> date:
    """The last day of a month."""
    return first_day(month_after(month)) - timedelta(days=1)


def month_after(month: str) -> str:
    """The next month."""
    first = first_day(month)
    return f"{first.year + first.month // 12:04d}-{first.month % 12 + 1:02d}"


def months_between(first: str, last: str) -> list[str]:
    """Every month from one to another, both included; [] when the last comes before the first."""
    found = []
    while first <= last:
        found.append(first)
        first = month_after(first)
    return found


def parse_period(text: str) -> tuple[date, date]:
    """First and last day of a year (``2026``) or a month (``2026-11``). Raises NotUnderstood."""
    tidy = text.strip()
    if re.fullmatch(r"(19|20|21)\d\d", tidy):
        return date(int(tidy), 1, 1), date(int(tidy), 12, 31)
    if re.fullmatch(r"(19|20|21)\d\d-(0[1-9]|1[0-2])", tidy):
        return first_day(tidy), last_day(tidy)
    raise NotUnderstood(f"{as_typed(text)} is neither a year nor a month. Write 2026 or 2026-11.", text)
