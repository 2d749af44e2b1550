"""Whole packs: how many one has to buy, and how that is said."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from domain.units import format_quantity

_NOT_COUNTED = ("ft", "sq ft", "lb", "oz", "mile", "m", "sq m")


def packs_for(quantity: Decimal, pack: Decimal) -> int:
    """The fewest whole packs that hold a quantity; none for nothing or less. A pack without size counts as one unit."""
    if quantity <= 0:
        return 0
    packs = Fraction(quantity) / Fraction(pack if pack > 0 else 1)
    return -(-packs.numerator // packs.denominator)


def amount(quantity: Decimal, unit: str) -> str:
    """A quantity as one says it: ``33 ft``, ``4 tubes``, ``0.5 quart``; what is counted by the piece has no unit."""
    if unit in ("each", ""):
        return format_quantity(quantity)
    many = unit if unit in _NOT_COUNTED or abs(quantity) <= 1 or unit.endswith("s") else _plural(unit)
    return format_quantity(quantity, many)


def packs_in_words(packs: int, pack: Decimal, unit: str) -> str:
    """``4 × 10 ft``; what is sold singly is just counted: ``4 tubes``."""
    if pack == 1:
        return amount(Decimal(packs), unit)
    size = format_quantity(pack) if unit in ("each", "") else amount(pack, unit)
    return f"{packs:,} × {size}"


def _plural(unit: str) -> str:
    return f"{unit}es" if unit.endswith(("x", "ch", "sh")) else f"{unit}s"
