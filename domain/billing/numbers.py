"""Numbers of invoices, credit notes and receipts: a letter, the year, and a count without gaps."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

INVOICES, CREDITS, RECEIPTS = "I", "C", "R"


def series(letter: str, on: date) -> str:
    """What every number of a series and year begins with: ``I26-``."""
    return f"{letter}{on.year % 100:02d}-"


def next_number(numbers: Iterable[str], letter: str, on: date) -> str:
    """The number after the highest of its series and year: ``I26-0013`` follows ``I26-0012``."""
    start = re.escape(series(letter, on))
    used = [int(match[1]) for number in numbers if (match := re.fullmatch(rf"{start}(\d+)", number))]
    return f"{series(letter, on)}{max(used, default=0) + 1:04d}"


def gaps(numbers: Iterable[str]) -> list[str]:
    """Numbers that are missing between the first and the last of each series and year; [] when there are none."""
    by_series: dict[str, set[int]] = {}
    for number in numbers:
        if match := re.fullmatch(r"([A-Z]\d{2}-)(\d+)", number):
            by_series.setdefault(match[1], set()).add(int(match[2]))
    return [
        f"{start}{count:04d}"
        for start, used in sorted(by_series.items())
        for count in range(1, max(used))
        if count not in used
    ]
