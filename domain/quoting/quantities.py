"""How long a labour line takes and how much material is needed: the standard, its factors, and the waste."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from domain.money import divide_cents
from domain.units import format_percent, format_quantity, format_unit_minutes
from domain.units.numbers import plain, to_places

PLAIN_FACTOR = Decimal("100.00")


def combined_factor(factors: Iterable[Decimal]) -> Decimal:
    """The product of percentages, two places, half up: 130 and 120 are 156. None at all is 100."""
    product = Fraction(1)
    for factor in factors:
        product *= Fraction(factor) / 100
    return to_places(product * 100, 2)


def standard_minutes(quantity: Decimal, unit_minutes: Decimal, factor_percent: Decimal) -> int:
    """quantity x minutes for one x factor / 100, in whole minutes, rounded half up once."""
    exact = Fraction(quantity) * Fraction(unit_minutes) * Fraction(factor_percent) / 100
    return divide_cents(*exact.as_integer_ratio())


def quantity_with_waste(net_quantity: Decimal, waste_percent: Decimal) -> Decimal:
    """net x (100 + waste) / 100, three places, half up.

    It is not rounded up to whole packs: what is left over goes back to stock and is no cost of this job.
    """
    return to_places(Fraction(net_quantity) * (100 + Fraction(waste_percent)) / 100, 3)


def factor_in_words(factor_percent: Decimal, conditions: Sequence[str] = ()) -> str:
    """``1.6 low crawl``; empty when nothing makes the hour longer."""
    if factor_percent == PLAIN_FACTOR and not conditions:
        return ""
    return " ".join(part for part in (plain(factor_percent / 100), ", ".join(conditions)) if part)


def minutes_in_words(quantity: Decimal, unit: str, unit_minutes: Decimal, factor_percent: Decimal, why: str) -> str:
    """How the standard came about: ``12 joints × 9 min × 1.6 low crawl``."""
    parts = [format_quantity(quantity, unit), format_unit_minutes(unit_minutes)]
    if factor_percent != PLAIN_FACTOR:
        parts.append(" ".join(part for part in (plain(factor_percent / 100), why) if part))
    return " × ".join(parts)


def quantity_in_words(net_quantity: Decimal, unit: str, waste_percent: Decimal) -> str:
    """How a material quantity came about: ``62 ft + 10%``."""
    net = format_quantity(net_quantity, unit)
    return f"{net} + {format_percent(waste_percent)}" if waste_percent else net
