"""Figures that dates are reckoned with: the hours of a working day, the way of a test to its result."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from domain.standards.table import COMMON_PRACTICE, Standard

FIRST_DAY = date(2000, 1, 1)


def _habit(key: str, value: str, unit: str, label: str) -> Standard:
    return Standard(key, Decimal(value), unit, "common practice", "", "", FIRST_DAY, COMMON_PRACTICE, label)


DATES = (
    _habit("day_begins_hours", "8", "hours", "work begins, hours after midnight"),
    _habit("day_ends_hours", "18", "hours", "last visit begins, hours after midnight"),
    _habit("working_days", "5", "days", "working days of a week, from Monday"),
    _habit("laboratory_days", "4", "days", "from picking a test up to the laboratory's result"),
    _habit("closing_hours", "9", "hours", "result in hand on the day of closing, hours after midnight"),
)
