"""Whole packs: how many one has to buy, and how that is said."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from domain.units import format_quantity


def packs_for(quantity: Decimal, pack: Decimal) -> int:
    """The fewest whole packs that hold a quantity; none for nothing or less. A pack without size counts as one unit."""
    if quantity <= 0:
        return 0
    packs = Fraction(quantity) / Fraction(pack if pack > 0 else 1)
    return -(-packs.numerator // packs.denominator)


def packs_in_words(packs: int, pack: Decimal, unit: str) -> str:
    """``4 × 10 ft``; what is sold singly is just counted: ``4 tubes``."""
    if pack == 1:
        return format_quantity(Decimal(packs), unit)
    return f"{packs:,} × {format_quantity(pack, unit)}"
