"""Quantities as they are said on a customer's paper, and on the lists one loads and buys by.

Only words: sums are made from the exact quantity, which stays on the quote and in the workbook and the csv. A priced
invoice line is said exactly (`domain/papers/money.py`), since its quantity and price multiply to the amount beside it.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from domain.units.durations import format_minutes
from domain.units.numbers import format_quantity, plural_of, to_places

_TENTH = Decimal("0.1")
_HOURS = frozenset(("hour", "hours", "h", "hr", "hrs"))
_SHORT = (
    "ft", "lf", "sf", "in", "yd", "mi", "m", "cm", "mm", "km", "lb", "lbs", "oz", "kg", "g", "l", "min", "d",
    "cfm", "fpm", "psi", "pa", "w", "kw", "kwh", "%", "pci/l",
)  # fmt: skip
_MEASURES = (
    "foot", "inch", "yard", "mile", "meter", "metre", "pound", "ounce", "gram", "kilogram", "liter", "litre",
    "minute", "day", "week", "month", "year", "percent", "acre",
)  # fmt: skip
_PACKS = (
    "quart", "gallon", "pint", "tube", "cartridge", "can", "pail", "bucket", "bottle", "jar", "tin", "drum", "roll",
    "bag", "box", "pack", "package", "carton", "spool", "kit",
)  # fmt: skip
MEASURED = frozenset((*_SHORT, *_MEASURES, *map(plural_of, _MEASURES)))
"""Units of what can be had in any amount, by their last word: ``sq ft`` is an ``ft``."""
OPENED = frozenset((*_PACKS, *map(plural_of, _PACKS), "qt", "gal", "pt", "pkg"))
"""Units of packs that are opened and used over several jobs: cement, primer, sealant, tape, paint."""


def customer_quantity(quantity: Decimal, unit: str) -> str:
    """How much of a thing a customer reads; empty where a figure would say nothing.

    A measure to a tenth (half up, at least a tenth), hours as one says them, pieces whole, rounded up; part of a pack
    of cement or sealant not at all. A minus is for the caller to say: what is taken off is rounded down, so that it
    is never more than it was.
    """
    last = _last(unit)
    if last in _HOURS:
        return format_minutes(int((quantity * 60).to_integral_value(ROUND_HALF_UP)))
    if last in MEASURED:
        return format_quantity(_to_a_tenth(quantity), unit)
    if last in OPENED and quantity != int(quantity):
        return ""
    whole = quantity.to_integral_value(ROUND_CEILING)
    return format_quantity(whole, unit) if whole else ""


def customer_name(name: str, unit: str) -> str:
    """The name of a thing that is said without a quantity: ``Solvent cement`` for ``Solvent cement, quart``."""
    return name.removesuffix(f", {unit}") if _last(unit) in OPENED else name


def needed_quantity(quantity: Decimal, unit: str) -> str:
    """What one has to have at hand: pieces and packs whole, measures to a tenth, all rounded up; ``<1 quart`` of one
    opened pack, which serves several jobs, so that parts of it add up.
    """
    if _last(unit) in OPENED and 0 < quantity < 1:
        return f"<{format_quantity(Decimal(1), unit)}"
    return format_quantity(_to(quantity, unit, ROUND_CEILING), unit)


def held_quantity(quantity: Decimal, unit: str) -> str:
    """What is there: pieces whole, rounded down, for part of one is none; what is left in an opened pack as counted."""
    return format_quantity(quantity if _last(unit) in OPENED else _to(quantity, unit, ROUND_FLOOR), unit)


def _to(quantity: Decimal, unit: str, rounding: str) -> Decimal:
    step = _TENTH if _last(unit) in MEASURED | _HOURS else Decimal(1)
    return quantity.quantize(step, rounding)


def _to_a_tenth(quantity: Decimal) -> Decimal:
    rounded = to_places(quantity, 1)
    return rounded if rounded or not quantity else _TENTH.copy_sign(quantity)


def _last(unit: str) -> str:
    return unit.strip().rpartition(" ")[2].removesuffix(".").casefold()
