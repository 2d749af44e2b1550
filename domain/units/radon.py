"""Radon in air: kept in pCi/L with three places, entered and shown in pCi/L or Bq/m3.

1 Ci is 3.7e10 Bq by definition, so 1 pCi/L = 37 Bq/m3 exactly. Printed guidance rounds it (4 pCi/L as 150).
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed
from domain.units.numbers import plain, read_number, tidy, to_places

BQ_PER_PCI = 37

PCI = "pCi/L"
BQ = "Bq/m3"

_READING = re.compile(
    r"(?P<number>[0-9.,/\s]+?)\s*"
    r"(?:(?P<pci>p|pci(?:\s*/\s*l)?)|(?P<bq>bq(?:\s*/\s*m(?:\^?3|³)?)?))?"
)


def pci_to_bq(pci: Decimal) -> Decimal:
    """pCi/L to Bq/m3, exact: times 37."""
    return pci * BQ_PER_PCI


def bq_to_pci(bq: Decimal) -> Decimal:
    """Bq/m3 to pCi/L, rounded half up to three places: divided by 37."""
    return to_places(Fraction(bq) / BQ_PER_PCI, 3)


def parse_radon(text: str, default_unit: str = PCI) -> Decimal:
    """Read a radon level in pCi/L: ``4.1``, ``148 Bq/m3``, ``152 Bq``. A bare number has ``default_unit``.

    Raises NotUnderstood.
    """
    if not text.strip():
        raise NotUnderstood("Type the radon level, for example 4.1 or 152 Bq.", text)
    match = _READING.fullmatch(tidy(text))
    number = read_number(match["number"]) if match else None
    if match is None or number is None:
        raise NotUnderstood(f"{as_typed(text)} is not a radon level. Write it like 4.1 or 152 Bq.", text)
    becquerels = bool(match["bq"]) or (default_unit == BQ and not match["pci"])
    level = to_places(number / BQ_PER_PCI if becquerels else number, 3)
    if level > 1_000_000:
        raise NotUnderstood(f"{as_typed(text)} is higher than any house has shown. Check the number.", text)
    return level


UNLIKELY_PCI = Decimal(1000)
"""A level above this is asked about: far above nearly every house tested (common practice, no source)."""


def unlikely_radon(level_pci: Decimal, unit: str = PCI) -> str:
    """Why a level may be a slip of the hand; "" for one that is not unlikely."""
    if not level_pci:
        return f"{format_radon(level_pci, unit)}: outdoor air has more."
    if level_pci <= UNLIKELY_PCI:
        return ""
    return f"{format_radon(level_pci, unit)} is far above what nearly any house has: is the decimal point missing?"


def format_radon(level_pci: Decimal, unit: str = PCI) -> str:
    """Print ``4.1 pCi/L`` (one decimal, two when it has them) or ``152 Bq/m³`` (whole)."""
    if unit == BQ:
        return f"{plain(to_places(pci_to_bq(level_pci), 0))} Bq/m³"
    text = f"{to_places(level_pci, 2):,.2f}"
    return f"{text.removesuffix('0')} {PCI}"
