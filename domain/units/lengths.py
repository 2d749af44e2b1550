"""Lengths, kept in feet with three places; entered in feet, inches or metres. 1 ft = 0.3048 m exactly."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed
from domain.money import divide_cents
from domain.units.numbers import plain, read_number, tidy, to_places

FEET_PER_METRE = 1 / Fraction("0.3048")
"""The international foot."""

LARGEST_FEET = 1_000_000

_FEET_OF = {
    "": Fraction(1),
    "ft": Fraction(1),
    "in": Fraction(1, 12),
    "m": FEET_PER_METRE,
    "cm": FEET_PER_METRE / 100,
    "mm": FEET_PER_METRE / 1000,
}
_MARKS = str.maketrans("\u2032\u2018\u2019\u2033\u201c\u201d", "'''\"\"\"")  # primes and curly quotes
_FEET_INCHES = re.compile(
    r"(?P<feet>[0-9,]+)\s*(?:'|ft\.?|feet|foot)\s*-?\s*(?P<inches>[0-9][0-9./\s-]*?)\s*(?:\"|in\.?|inch|inches)?"
)
_ONE_UNIT = re.compile(
    r"(?P<number>[0-9.,/\s-]+?)\s*"
    r"(?:(?P<ft>'|ft\.?|feet|foot)|(?P<in>\"|in\.?|inch|inches)|(?P<mm>mm)|(?P<cm>cm)|(?P<m>m|metres?|meters?))?"
)


def _read_feet(text: str, default_unit: str, typed: str) -> Fraction | None:
    if both := _FEET_INCHES.fullmatch(text):
        feet, inches = read_number(both["feet"]), read_number(both["inches"])
        if feet is None or inches is None:
            return None
        if inches >= 12:
            raise NotUnderstood(f"{as_typed(typed)}: inches after feet stay below 12.", typed)
        return feet + inches / 12
    single = _ONE_UNIT.fullmatch(text)
    number = read_number(single["number"]) if single else None
    if single is None or number is None:
        return None
    unit = next((name for name in ("ft", "in", "mm", "cm", "m") if single[name]), default_unit)
    return number * _FEET_OF[unit]


def parse_length_ft(text: str, default_unit: str = "ft") -> Decimal:
    """Read a length in feet, rounded half up to three places.

    Understands ``12'6"``, ``12 ft 6 in``, ``12.5 ft``, ``12 1/2``, ``6in``, ``3/4 in``, ``3 m``, ``75 mm``.
    A bare number has ``default_unit`` (``ft``, ``in``, ``m``, ``cm``, ``mm``). Raises NotUnderstood.
    """
    tidied = tidy(text).translate(_MARKS).replace("''", '"')
    if not tidied:
        raise NotUnderstood("Type a length, for example 12'6\" or 12.5.", text)
    feet = _read_feet(tidied, default_unit, text) if len(tidied) <= 40 else None
    if feet is None:
        raise NotUnderstood(f"{as_typed(text)} is not a length. Write it like 12'6\", 12.5 ft or 3 m.", text)
    if feet > LARGEST_FEET:
        raise NotUnderstood(f"{as_typed(text)} is longer than any house. Check the number.", text)
    return to_places(feet, 3)


def _feet_and_inches(feet: Decimal | Fraction) -> str:
    """``12' 6 1/2"``, to the nearest sixteenth of an inch, half up."""
    sixteenths = divide_cents(*(abs(Fraction(feet)) * 192).as_integer_ratio())
    whole_feet, rest = divmod(sixteenths, 192)
    inches, part = divmod(rest, 16)
    fraction = str(Fraction(part, 16)) if part else ""
    inch_text = " ".join(piece for piece in (str(inches) if inches or not part else "", fraction) if piece)
    sign = "-" if feet < 0 and sixteenths else ""
    if not whole_feet:
        return f'{sign}{inch_text}"'
    return f"{sign}{whole_feet:,}'" if not rest else f"{sign}{whole_feet:,}' {inch_text}\""


def format_inches(inches: Decimal) -> str:
    """A small length as a tape reads: ``1/4"``, ``3 7/8"``, ``1' 2"``; what is there but less than that is said so."""
    return 'less than 1/16"' if 0 < abs(inches) * 32 < 1 else _feet_and_inches(Fraction(inches) / 12)


def format_length(feet: Decimal, unit: str = "ft") -> str:
    """Print a length in the unit asked for; only feet read back to the very same length.

    ``ft``: ``12.5 ft``, exact. ``ft-in``: ``12' 6"``, nearest 1/16 in. ``m``: ``3.81 m``, nearest cm.
    """
    if unit == "ft-in":
        return _feet_and_inches(feet)
    if unit == "m":
        return f"{plain(to_places(Fraction(feet) / FEET_PER_METRE, 2))} m"
    return f"{plain(feet)} ft"
