"""How far a job is, in hours and in cost: the one set of figures that the log, Tonight and the outcome show."""

from __future__ import annotations

from dataclasses import dataclass

from domain.units import format_minutes


@dataclass(frozen=True, slots=True)
class SoFar:
    """Quoted and logged of one job.

    Attributes:
        quoted_minutes: the accepted proposal with the options chosen, and accepted change orders.
        minutes: all that is logged.
        unquoted_minutes: the part of them that is marked as not quoted or stands on a task without quoted time.
        quoted_cents, cents: cost with overhead on the hours and, under a lump-sum tax, the tax on purchases.
    """

    quoted_minutes: int = 0
    minutes: int = 0
    unquoted_minutes: int = 0
    quoted_cents: int = 0
    cents: int = 0

    @property
    def over_minutes(self) -> int:
        """Logged beyond the quote; below nothing while there is time left."""
        return self.minutes - self.quoted_minutes

    @property
    def hours_words(self) -> str:
        """``2 h 45 of 1 h 06 quoted, 1 h 35 of it not quoted``: never without what is beside the quote."""
        logged = format_minutes(self.minutes)
        if not self.quoted_minutes:
            return f"{logged} so far"
        return f"{logged} of {format_minutes(self.quoted_minutes)} quoted{self.unquoted_words}"

    @property
    def unquoted_words(self) -> str:
        """``, 1 h 35 of it not quoted``; "" when all is."""
        return f", {format_minutes(self.unquoted_minutes)} of it not quoted" if self.unquoted_minutes else ""
