"""Every number that a standard or a tax table sets: value, unit, source, edition, first day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from domain.standards.closeout import CLOSEOUT
from domain.standards.dates import DATES
from domain.standards.table import (
    COMMON_PRACTICE,
    COMPUTED,
    MEMORY,
    OWN,
    READ,
    SECOND_HAND,
    Standard,
    find_on,
)
from domain.standards.takeoff import TAKEOFF
from domain.standards.taxes import TAXES
from domain.standards.trade import TRADE

__all__ = [
    "COMMON_PRACTICE",
    "COMPUTED",
    "MEMORY",
    "OWN",
    "READ",
    "SECOND_HAND",
    "STANDARDS",
    "STANDARD_KEYS",
    "Standard",
    "standard_on",
]

STANDARDS: tuple[Standard, ...] = TAXES + TRADE + TAKEOFF + CLOSEOUT + DATES
STANDARD_KEYS: tuple[str, ...] = tuple(dict.fromkeys(row.key for row in STANDARDS))


def standard_on(key: str, day: date, own: Iterable[Standard] = ()) -> Standard:
    """The number in force on a day, from the program's table and the owner's own rows, which win on a tie.

    After the last year known the latest is returned with ``is_projected`` set. Raises KeyError for an unknown
    key and NotUnderstood, in words for the screen, for a day before the first row.
    """
    return find_on(key, day, (*STANDARDS, *own))
