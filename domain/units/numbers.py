"""Numbers, quantities and percentages as people type and read them."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed
from domain.money import divide_cents

LARGEST = 10**12

NOTHING = "\u2013"
"""Stands where no figure is."""

_DECIMAL = re.compile(r"(?:(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]*)?|\.[0-9]+)")
_MIXED = re.compile(r"(?:(?P<whole>[0-9]+)[\s-]+)?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)")
_GLYPHS = str.maketrans(
    {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
    | {"⅓": " 1/3", "⅔": " 2/3", "\u2044": "/", "\u2212": "-", "\u00a0": " ", "\u202f": " "}
)


def tidy(text: str) -> str:
    """Strip and lower-case, with fraction glyphs and odd spaces turned into plain characters."""
    return text.translate(_GLYPHS).strip().lower()


def read_number(text: str) -> Fraction | None:
    """Read ``1,250``, ``2.5``, ``.5``, ``3/4``, ``12 1/2`` or ``12½`` exactly; None for anything else."""
    text = tidy(text)
    if len(text) > 40:
        return None
    if _DECIMAL.fullmatch(text):
        return Fraction(text.replace(",", "").removesuffix("."))
    mixed = _MIXED.fullmatch(text)
    if mixed is None or not int(mixed["bottom"]):
        return None
    return int(mixed["whole"] or 0) + Fraction(int(mixed["top"]), int(mixed["bottom"]))


def read_signed(text: str) -> Fraction | None:
    """As :func:`read_number`, with an optional + or - in front."""
    text = tidy(text)
    number = read_number(text[1:] if text[:1] in ("+", "-") else text)
    return -number if number is not None and text.startswith("-") else number


def to_places(value: Fraction | Decimal, places: int) -> Decimal:
    """Round exactly to so many decimal places, half up (away from zero)."""
    top, bottom = value.as_integer_ratio()
    return Decimal(divide_cents(top * 10**places, bottom)).scaleb(-places)


def plain(value: Decimal) -> str:
    """Print without trailing zeros and without an exponent: ``1,250``, ``2.5``."""
    text = f"{value:,f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def parse_quantity(text: str, unit: str = "") -> Decimal:
    """Read a quantity, rounded half up to three places: ``62``, ``3/4``, or ``62 ft`` if that is the unit.

    A minus in front is read as such; whether less than nothing makes sense is for the caller to say.
    Raises NotUnderstood.
    """
    number_text = tidy(text)
    for words in (plural_of(unit).lower(), unit.lower()):
        if words and number_text.endswith(words):
            number_text = number_text.removesuffix(words)
            break
    if not number_text.strip():
        raise NotUnderstood("Type how many, for example 2, 2.5 or 3/4.", text)
    number = read_signed(number_text)
    if number is None:
        raise NotUnderstood(f"{as_typed(text)} is not a quantity. Write it like 2, 2.5 or 3/4.", text)
    if abs(number) > LARGEST:
        raise NotUnderstood(f"{as_typed(text)} is larger than this program can keep. Check the number.", text)
    quantity = to_places(number, 3)
    if number and not quantity:
        raise NotUnderstood(f"{as_typed(text)} is less than a thousandth. Use a smaller unit.", text)
    return quantity


def format_quantity(quantity: Decimal, unit: str = "") -> str:
    """Print a quantity without trailing zeros, its unit as one says it: ``62 ft``, ``4 tubes``, ``0.5 quart``, ``2.5``;
    pieces are a bare number."""
    return plain(quantity) if unit in ("", "each") else f"{plain(quantity)} {unit_words(unit, quantity)}"


_SAID_ALIKE = frozenset((
    "ft", "sq", "cu", "lf", "sf", "in", "yd", "mi", "m", "cm", "mm", "km", "lb", "oz", "gal", "qt", "pt", "kg", "g",
    "h", "hr", "min", "d", "pr", "pc", "ea", "cfm", "fpm", "psi", "pa", "w", "kw", "kwh", "a", "v",
    "feet",
))  # fmt: skip


def unit_words(unit: str, quantity: Decimal) -> str:
    """A unit as it is said behind so many: ``tube`` up to one, ``tubes`` beyond and for none at all."""
    return unit if 0 < abs(quantity) <= 1 else plural_of(unit)


def plural_of(unit: str) -> str:
    """``tubes``, ``boxes``, ``assemblies``; an abbreviation, or what ends like a plural, stays as it is."""
    last = unit.rpartition(" ")[2]
    if not last.isalpha() or not last.isascii() or last.lower() in _SAID_ALIKE or last.endswith("s"):
        return unit
    if last.lower() in ("foot", "inch"):
        return unit[: -len(last)] + {"foot": "feet", "inch": "inches"}[last.lower()]
    if last.endswith(("x", "ch", "sh", "z")):
        return f"{unit}es"
    if last.endswith("y") and last[-2:-1] not in ("a", "e", "o", "u", ""):
        return f"{unit[:-1]}ies"
    return f"{unit}s"


def parse_percent(text: str, places: int = 2) -> Decimal:
    """Read a percentage: ``15``, ``15%`` and ``15%`` are all Decimal 15.

    Never rounds, for a tax rate must not change unseen: more decimals than ``places`` raise NotUnderstood.
    """
    number_text = tidy(text).removesuffix("%").removesuffix("percent")
    if not number_text.strip():
        raise NotUnderstood("Type a percentage, for example 15.", text)
    number = read_signed(number_text)
    if number is None or abs(number) > LARGEST:
        raise NotUnderstood(f"{as_typed(text)} is not a percentage. Write it like 15 or 7.25.", text)
    percent = to_places(number, places)
    if percent != number:
        raise NotUnderstood(f"{as_typed(text)} has more than {places} decimals. Round it to {places}.", text)
    return percent


def format_percent(percent: Decimal | None) -> str:
    """What was set or typed, as it was: ``15%``, ``7.25%``; None, no percentage at all, is a dash."""
    return NOTHING if percent is None else f"{plain(percent)}%"


def format_share(percent: Decimal | None, signed: bool = False) -> str:
    """What was counted from cents or prices, one place, half up: ``32.5%``, ``+4.9%``; None is a dash."""
    if percent is None:
        return NOTHING
    tenths = to_places(percent, 1)
    return f"{'+' if signed and tenths > 0 else ''}{tenths:,.1f}%" if tenths else "0.0%"


def format_whole_percent(percent: Decimal | float | None) -> str:
    """What is rough by its nature (how far off, how much is done), whole, half up: ``33%``; None is a dash."""
    return NOTHING if percent is None else f"{to_places(Decimal(str(percent)), 0):,f}%"


def format_count(number: Decimal | int | float, places: int = 0) -> str:
    """A bare number with so many places, half up, thousands marked: ``1,359``, ``1.35``."""
    return f"{to_places(Decimal(str(number)), places):,.{places}f}"
