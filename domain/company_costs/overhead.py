"""What the firm itself costs in every billable hour: vehicle, insurance, tools, telephone, workshop."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from domain.company_costs.ladder import Ladder, climb
from domain.errors import NotUnderstood
from domain.money import divide_cents, format_money
from domain.units import format_minutes


@dataclass(frozen=True, slots=True)
class OverheadItem:
    """A monthly cost that no single job causes; ``ends_on`` is its last day, None while it goes on."""

    name: str
    cents_per_month: int
    starts_on: date
    ends_on: date | None = None

    def runs_on(self, day: date) -> bool:
        """True from its first day to its last."""
        return self.starts_on <= day and (self.ends_on is None or day <= self.ends_on)


def overhead_ladder(items: Iterable[OverheadItem], billable_minutes_per_month: int, on: date) -> Ladder:
    """Overhead in cents per billable hour on a day: the month's cost x 60 / billable minutes, item by item.

    Raises NotUnderstood when there are no billable minutes to spread it over.
    """
    if billable_minutes_per_month <= 0:
        raise NotUnderstood(
            "Enter how many hours a month go to customers' jobs; overhead is spread over them.",
            str(billable_minutes_per_month),
        )
    rungs: list[tuple[str, str, Fraction]] = []
    month_cents = 0
    for item in items:
        if item.runs_on(on):
            month_cents += item.cents_per_month
            running = Fraction(month_cents * 60, billable_minutes_per_month)
            rungs.append((item.name, f"{format_money(item.cents_per_month)} a month.", running))
    steps = climb(rungs)
    check_cents = divide_cents(month_cents * 60, billable_minutes_per_month)
    note = (
        f"Check: {format_money(month_cents)} a month over {format_minutes(billable_minutes_per_month)} billable "
        f"comes to {format_money(check_cents)} an hour, the same."
    )
    return Ladder(steps, steps[-1].running_cents if steps else 0, check_cents, note)
