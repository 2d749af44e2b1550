"""So many of a thing: ``1 job``, ``1,234 jobs``."""

from __future__ import annotations

from domain.units.numbers import plural_of


def count_of(number: int, one: str, many: str = "") -> str:
    """A number with the word for what is counted; the plural is that of :func:`plural_of` unless it is given."""
    return f"{number:,} {one if number == 1 else many or plural_of(one)}"
