"""What the tests before and after the work say together: percent reduction, and when to test again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from domain.jobs import RadonTest
from domain.units import format_radon, format_share
from domain.units.numbers import to_places


@dataclass(frozen=True, slots=True)
class Reduction:
    """The levels compared, in pCi/L, and by how much the later one is lower."""

    before: Decimal
    after: Decimal
    percent: Decimal  # one place; negative: the level is higher than before

    def words(self, unit: str) -> str:
        """``From 11.4 pCi/L to 1.6 pCi/L: 86.0% lower.``"""
        levels = f"From {format_radon(self.before, unit)} to {format_radon(self.after, unit)}"
        if self.percent == 0:
            return f"{levels}: no change."
        way = "lower" if self.percent > 0 else "higher"
        return f"{levels}: {format_share(abs(self.percent))} {way} than before the work."


def reduction(tests: Iterable[RadonTest]) -> Reduction | None:
    """Percent reduction = (before - after) / before x 100, to a tenth; None while one side has no test.

    A side is its newest test; tests of that side that ended on the same day, side by side, count with their mean.
    """
    kept = list(tests)
    before, after = (_level(test for test in kept if test.purpose == purpose) for purpose in ("before", "after"))
    if before is None or after is None or before <= 0:
        return None
    percent = to_places((before - after) / before * 100, 1)
    return Reduction(to_places(before, 3), to_places(after, 3), percent)


def _level(tests: Iterable[RadonTest]) -> Fraction | None:
    kept = list(tests)
    if not kept:
        return None
    newest = max(test.ended_on for test in kept)
    levels = [Fraction(test.result) for test in kept if test.ended_on == newest]
    return sum(levels, Fraction(0)) / len(levels)


def retest_day(tests: Iterable[RadonTest], years: Decimal, chosen: date | None = None) -> date | None:
    """When to test again: the day that was chosen, else so many years after the newest test after the work."""
    if chosen is not None:
        return chosen
    ended = [test.ended_on for test in tests if test.purpose == "after"]
    return years_later(max(ended), int(years)) if ended else None


def years_later(day: date, years: int) -> date:
    """The same day so many years on; for February 29 in a common year the 28th."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)
