"""What the owner earned for an hour of own time on a job, or on many."""

from __future__ import annotations

from dataclasses import dataclass

from domain.money import divide_cents


@dataclass(frozen=True, slots=True)
class OwnHour:
    """What was left for the owner's own time, beside what that time costs.

    Attributes:
        minutes: the owner's own logged time, callbacks and travel included.
        left_cents: actual margin + the owner's own labour: what remains of the price after materials,
            helpers, other direct costs, tax on purchases and overhead are paid.
        labour_cents: the owner's own labour at the burdened hour of each entry's day.
    """

    minutes: int
    left_cents: int
    labour_cents: int

    @property
    def per_hour_cents(self) -> int:
        """Left for one own hour: left x 60 / minutes, half up."""
        return divide_cents(self.left_cents * 60, self.minutes)

    @property
    def burdened_cents(self) -> int:
        """What one own hour costs on the average of those entries: wage, taxes, insurance and unpaid hours."""
        return divide_cents(self.labour_cents * 60, self.minutes)

    @property
    def short_cents(self) -> int:
        """How far an hour fell short of its cost; negative when it earned more."""
        return self.burdened_cents - self.per_hour_cents


def own_hour(actual_margin_cents: int, own_labour_cents: int, own_minutes: int) -> OwnHour | None:
    """What the owner earned per own hour; None when the owner logged no time.

    Both sides are before the owner's own taxes and carry the same things, so they can be compared:
    the burdened hour is the owner's wage from company costs with its taxes, insurance and unpaid hours.
    """
    if own_minutes <= 0:
        return None
    return OwnHour(own_minutes, actual_margin_cents + own_labour_cents, own_labour_cents)
