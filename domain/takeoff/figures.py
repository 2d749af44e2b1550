"""Looks figures up in the standards table for one day, quickly enough to fill a whole set of rules."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from domain.routes.route import PIPE_SIZES
from domain.routes.rules import size_key
from domain.standards import STANDARDS, Standard
from domain.standards.table import find_on


class Figures:
    """The numbers in force on a day; the owner's own rows win."""

    def __init__(self, day: date, own: Iterable[Standard] = ()) -> None:
        self._day = day
        self._rows: dict[str, list[Standard]] = defaultdict(list)
        for row in (*STANDARDS, *own):
            self._rows[row.key].append(row)

    def __call__(self, key: str) -> Decimal:
        """The figure with this key. Raises KeyError or NotUnderstood as `domain.standards.standard_on` does."""
        return find_on(key, self._day, self._rows.get(key, [])).value

    def by_size(self, key: str) -> Mapping[Decimal, Decimal]:
        """One figure a pipe size: ``{}`` in the key stands for the size."""
        return {size: self(key.format(size_key(size))) for size in PIPE_SIZES}
