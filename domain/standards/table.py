"""One dated number that a standard, a law or a tax table sets, and how to find the one for a day.

Always look a number up by the day of the job or the payment, never by today: a tax figure of last year stays
the figure of last year's jobs.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from domain.dates import format_day
from domain.errors import NotUnderstood

READ = "read in a stored copy of the source"
SECOND_HAND = "read second-hand; the source itself was not seen"
COMPUTED = "computed from a definition"
MEMORY = "from memory; not checked against a source"
COMMON_PRACTICE = "common practice, no source"
OWN = "the owner's own"


@dataclass(frozen=True, slots=True)
class Standard:
    """A number with its origin.

    ``starts_on`` is the first day the program uses it, ``known_until`` the last day its source speaks of (None
    when it stands until another edition). ``is_projected`` is set on a look-up after that day: the latest known
    number, used because nothing newer is in the table. ``seen`` says how far the source was read; OWN marks a row
    of the owner's, in force until ``ends_on`` (the last day it counts), or until the owner says otherwise.
    """

    key: str
    value: Decimal
    unit: str
    source: str
    section: str
    edition: str
    starts_on: date
    seen: str
    label: str = ""
    known_until: date | None = None
    is_projected: bool = False
    ends_on: date | None = None

    @property
    def is_own(self) -> bool:
        """A row the owner typed."""
        return self.seen == OWN

    def counts_on(self, day: date) -> bool:
        """Whether it has begun by a day, and the owner has not gone back from it."""
        return self.starts_on <= day and (self.ends_on is None or day <= self.ends_on)

    @property
    def note(self) -> str:
        """A sentence for the screen: where the number is from, and whether it is only carried forward."""
        origin = ", ".join(part for part in (self.source, self.section, self.edition) if part)
        carried = (
            f" Carried forward: nothing newer than {format_day(self.known_until)} is in the table."
            if self.is_projected and self.known_until
            else ""
        )
        return f"{origin} ({self.seen}).{carried}"


def find_on(key: str, day: date, table: Iterable[Standard]) -> Standard:
    """The standard in force on a day: the latest start not after it, the later row of the table on a tie.

    Rows an owner adds go behind the program's own, so that they win. An own row (`is_own`) also outlasts a newer
    edition of the program's, for it says what is asked where the owner works; only a number set year by year is
    overtaken by the next year's. Raises KeyError for a key the table does not have, NotUnderstood for a day before
    its first row.
    """
    rows = [row for row in table if row.key == key]
    if not rows:
        raise KeyError(key)
    begun = [row for row in rows if row.counts_on(day)]
    if not begun:
        first = min(rows, key=lambda row: row.starts_on)
        raise NotUnderstood(
            f"The table has no {first.label or key} before {format_day(first.starts_on)}. "
            f"Add the one for {format_day(day)} on the Firm page, or choose a later day.",
            day.isoformat(),
        )
    if not any(row.known_until for row in rows):
        begun = [row for row in begun if row.is_own] or begun
    latest = begun[0]
    for row in begun[1:]:
        if row.starts_on >= latest.starts_on:
            latest = row
    overdue = latest.known_until is not None and day > latest.known_until
    return replace(latest, is_projected=True) if overdue else latest
