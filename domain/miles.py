"""The log of business miles: each drive with the rate of its day, and the sum of a year."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.money import line_cents
from domain.standards import STANDARDS, Standard
from domain.standards.table import find_on

MILEAGE = "mileage_rate"


@dataclass(frozen=True, slots=True)
class Drive:
    """Miles of one day, on a job or without one.

    Attributes:
        source: other_cost (a job's miles) | trip.
        rate: dollars a mile in force on its day, from the standards table.
    """

    day: date
    source: str
    source_id: int
    purpose: str
    route: str
    job: str  # number, "" without one
    miles: Decimal
    rate: Decimal
    projected: bool = False  # the year's own rate is not in the table yet

    @property
    def cents(self) -> int:
        """Miles x rate, rounded once, half up."""
        return line_cents(self.miles, self.rate)


@dataclass(frozen=True, slots=True)
class MilesLog:
    """The drives of a period in order of days."""

    drives: tuple[Drive, ...]

    @property
    def miles(self) -> Decimal:
        return sum((one.miles for one in self.drives), Decimal(0))

    @property
    def cents(self) -> int:
        """The sum of the drives' amounts, each rounded by itself."""
        return sum(one.cents for one in self.drives)

    @property
    def by_rate(self) -> tuple[tuple[Decimal, Decimal, int], ...]:
        """Rate, miles and cents of each rate that was in force, in the order they came."""
        found: dict[Decimal, tuple[Decimal, int]] = {}
        for one in self.drives:
            miles, cents = found.get(one.rate, (Decimal(0), 0))
            found[one.rate] = miles + one.miles, cents + one.cents
        return tuple((rate, *sums) for rate, sums in found.items())


class Rates:
    """The rate of any day, each day asked for once."""

    def __init__(self, own: Iterable[Standard] = ()) -> None:
        self._table = tuple(row for row in (*STANDARDS, *own) if row.key == MILEAGE)
        self._known: dict[date, Standard] = {}

    def on(self, day: date) -> Standard:
        """The standard of a day. Raises NotUnderstood for a day before the table begins."""
        if day not in self._known:
            self._known[day] = find_on(MILEAGE, day, self._table)
        return self._known[day]
