"""Which rows of a table can still be read when some of its pages cannot."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass

from db.company_file.verdict import TROUBLES

_MOST_ASKED_ONE_BY_ONE = 300_000


@dataclass(frozen=True, slots=True)
class Found:
    """Ranges of row numbers whose rows can be read, both ends included.

    Attributes:
        whole: nothing stood in the way from the first row to the last.
    """

    ranges: tuple[tuple[int, int], ...]
    whole: bool


def readable_ranges(conn: sqlite3.Connection, table: str) -> Found:
    """Read forward until a page stops it, then backward, then ask for each number in between.

    No index is used, as an index may be what is torn.
    """
    forward, stopped = _read(conn, table, "")
    if not stopped:
        return Found(_joined(forward), True)
    backward, _ = _read(conn, table, " DESC")
    first = max(forward, default=0)
    last = min((number for number in backward if number > first), default=_largest(conn, table, first))
    between = []
    for number in range(first + 1, min(last, first + _MOST_ASKED_ONE_BY_ONE)):
        try:
            if conn.execute(f'SELECT * FROM "{table}" NOT INDEXED WHERE rowid = ?', (number,)).fetchone():
                between.append(number)
        except TROUBLES:
            continue
    return Found(_joined({*forward, *backward, *between}), False)


def _read(conn: sqlite3.Connection, table: str, order: str) -> tuple[list[int], bool]:
    found: list[int] = []
    try:
        rows = conn.execute(f'SELECT rowid, * FROM "{table}" NOT INDEXED ORDER BY rowid{order}')
        for row in rows:
            found.append(int(row[0]))
            if len(found) > 1 and (found[-1] > found[-2]) == bool(order):
                return found[:-1], True  # out of order: this page is not what it was
    except TROUBLES:
        return found, True
    return found, False


def _largest(conn: sqlite3.Connection, table: str, first: int) -> int:
    """A number beyond the last row, as far as the journal knows it."""
    try:
        row = conn.execute("SELECT max(row_id) FROM change WHERE table_name = ?", (table,)).fetchone()
        return max(int(row[0] or 0) + 1, first + 5_000)
    except TROUBLES:
        return first + 50_000


def _joined(numbers: Iterable[int]) -> tuple[tuple[int, int], ...]:
    ranges: list[list[int]] = []
    for number in sorted(set(numbers)):
        if ranges and number == ranges[-1][1] + 1:
            ranges[-1][1] = number
        else:
            ranges.append([number, number])
    return tuple((first, last) for first, last in ranges)
