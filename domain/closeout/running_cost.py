"""What a fan costs to run in a year, with its formula; the heat that leaves with the air is the owner's own range."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from domain.money import format_unit_cost, format_whole_dollars, round_cents
from domain.units import format_count
from domain.units.numbers import plain

HOURS_OF_YEAR = 8760
"""24 x 365; the fan runs all the time."""


@dataclass(frozen=True, slots=True)
class RunningCost:
    """Cents a year and how they were reckoned; ``words`` says what is known of it."""

    fan_cents: int | None
    low_cents: int | None
    high_cents: int | None
    words: tuple[str, ...]


def running_cost(
    watts: Decimal | None, rate: Decimal, heat_low_cents: int = 0, heat_high_cents: int = 0
) -> RunningCost:
    """Cents a year = watts / 1000 x 8760 h x dollars per kWh x 100, half up; heat loss only as the range given.

    Args:
        watts: from the fan's own sheet; None: not known.
        rate: dollars per kWh; 0: not entered.
        heat_low_cents, heat_high_cents: the owner's stated range a year; 0 and 0: none was stated.
    """
    words: list[str] = []
    fan: int | None = None
    if watts is not None and rate > 0:  # what we do not know is no matter of the customer's
        fan = round_cents(watts * HOURS_OF_YEAR * rate / 10)
        words.append(
            f"Electricity: about {format_whole_dollars(fan)} a year ({plain(watts)} W "
            f"x {format_count(HOURS_OF_YEAR)} running hours / 1,000 x {format_unit_cost(rate)} per kWh)."
        )
    if heat_high_cents > 0:
        span = format_whole_dollars(heat_low_cents)
        span = f"{span} to {format_whole_dollars(heat_high_cents)}" if heat_low_cents != heat_high_cents else span
        words.append(
            f"Heated or cooled air that leaves with the radon: estimated at {span} a year; it depends on the house, "
            "the climate and the fuel."
        )
    else:
        words.append("Some heated or cooled air leaves the house with the radon; what that costs depends on the house.")
    known = fan is not None and heat_high_cents > 0
    low = fan + heat_low_cents if fan is not None and known else None
    high = fan + heat_high_cents if fan is not None and known else None
    return RunningCost(fan, low, high, tuple(words))
