"""Numbers that come in from outside, made sure of: a length or a count is finite, not less than nothing, not absurd."""

from __future__ import annotations

from decimal import Decimal

from domain.errors import NotUnderstood

Number = Decimal | int | float

MOST = Decimal(1_000_000)
"""More feet, inches or pieces than any house has: our own limit, so that a slip is noticed."""


def measured(value: Number, words: str, *, some: bool = False, most: Decimal = MOST) -> Decimal:
    """The number as a Decimal; ``some``: it has to be more than nothing. ``words`` begin the sentence of a refusal.

    Raises NotUnderstood for what is no number, not finite, less than nothing or more than ``most``.
    """
    try:
        number = value if isinstance(value, Decimal) else Decimal(str(value))
    except (ArithmeticError, TypeError, ValueError):
        raise NotUnderstood(f"{words} has to be a number.", str(value)) from None
    if not number.is_finite():
        raise NotUnderstood(f"{words} has to be a number.", str(value))
    if number < 0 or (some and not number):
        raise NotUnderstood(f"{words} has to be {'more than nothing' if some else 'nothing or more'}.", str(value))
    if number > most:
        raise NotUnderstood(f"{words} is more than {most:,f}: more than any house has. Check it.", str(value))
    return number
