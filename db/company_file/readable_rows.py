"""Which rows of a table can still be read when some of its pages cannot."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.places import side_files
from db.company_file.schema_pages import PAGE
from db.company_file.verdict import TROUBLES

_MOST_ASKED_ONE_BY_ONE = 300_000


@dataclass(frozen=True, slots=True)
class Found:
    """Ranges of row numbers whose rows can be read, both ends included.

    Attributes:
        whole: nothing stood in the way from the first row to the last.
        to_the_end: the last row of all is among them.
    """

    ranges: tuple[tuple[int, int], ...]
    whole: bool
    to_the_end: bool = True


def readable_ranges(conn: sqlite3.Connection, table: str, largest: int | None = None) -> Found:
    """Read forward until a page stops it, then backward, then ask for each number in between.

    No index is used, as an index may be what is torn.

    Args:
        largest: a number beyond the last row, where one is known.
    """
    forward, stopped = _read(conn, table, "")
    if not stopped:
        return Found(_joined(forward), True)
    if _root_is_gone(conn, table):
        return Found((), False, to_the_end=False)
    backward, _ = _read(conn, table, " DESC")
    first = max(forward, default=0)
    last = min((number for number in backward if number > first), default=largest or _largest(conn, table, first))
    between = []
    for number in range(first + 1, min(last, first + _MOST_ASKED_ONE_BY_ONE)):
        try:
            if conn.execute(f'SELECT * FROM "{table}" NOT INDEXED WHERE rowid = ?', (number,)).fetchone():
                between.append(number)
        except TROUBLES:
            continue
    return Found(_joined({*forward, *backward, *between}), False, bool(backward))


def _root_is_gone(conn: sqlite3.Connection, table: str) -> bool:
    """Whether the page a table begins on is none any more: then nothing leads to its rows, and none need be asked."""
    with suppress(*TROUBLES, OSError, TypeError, ValueError):
        root = conn.execute("SELECT rootpage FROM sqlite_master WHERE type = 'table' AND name = ?", (table,)).fetchone()
        path = Path(os.fsdecode(conn.execute("PRAGMA database_list").fetchone()[2]))
        if side_files(path)[0].exists():
            return False  # the log may have it
        with open(path, "rb") as file:
            file.seek((int(root[0]) - 1) * PAGE)
            return file.read(1) not in (b"\x05", b"\x0d")
    return False


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
