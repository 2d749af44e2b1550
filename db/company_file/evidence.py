"""What a row must be, by everything that speaks for it: the sum it was sealed with, the journal, a backup.

A row nobody edited since it was sealed has its sum. A row a step wrote is as the last step left it that is not undone.
A backup has every row as it was after its last step. Which of them speaks last is told by the journal's numbers.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from db.company_file.journal_mending import Gaps, columns_of, content_of, stored
from db.company_file.row_sums import Sealed, row_sums_of, sealed_rows, sum_of

Row = Mapping[str, Any]

OWN_TABLES = {"action", "change", "row_sums", "alembic_version"}
"""Not rows of the firm's."""

_BY_THEIR_BYTES = {"paper_file", "logo_file"}
"""Written outside the journal and never changed; each names the sum of its bytes."""

_WIDTHS = (1, 2, 3, 4, 6, 8)


@dataclass(slots=True)
class Written:
    """The journal's word on one row.

    Attributes:
        change: the entry that tells how the row is.
        action: its step.
        done: it tells by its `after`; else the step was undone and it tells by its `before`.
        seen: the newest entry that names the row.
    """

    change: int
    action: int
    done: bool
    seen: int


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a row must be.

    Attributes:
        row: None when it is gone.
        source: who says so.
        place: the journal's number up to which that holds.
        before: the row before the step, where the journal says it.
    """

    row: Row | None
    source: str
    place: float
    before: Row | None = None


JOURNAL, BACKUP = "journal", "backup"


class Evidence:
    """Answers what a row must be.

    Args:
        conn: on the fresh file, its journal mended.
        old: on a sound copy of the same line, or None.
        gaps: of the journal.
    """

    def __init__(self, conn: sqlite3.Connection, old: sqlite3.Connection | None, gaps: Gaps) -> None:
        self.conn, self.old, self.gaps = conn, old, gaps
        self.sealed: dict[str, Sealed] = sealed_rows(conn)
        self.written = _written(conn)
        self._copied = 0 if old is None else _last(old)
        self._turned = set() if old is None else _turned(conn, old)
        self._entries: dict[int, tuple[str | None, str | None]] = {}

    def load(self, table: str) -> TableEvidence:
        """Everything that speaks for the rows of one table."""
        return TableEvidence(self, table)

    def entry(self, number: int) -> tuple[Row | None, Row | None]:
        """Before and after of one entry of the journal."""
        before, after = self.conn.execute("SELECT before, after FROM change WHERE id = ?", (number,)).fetchone()
        return content_of(before), content_of(after)

    @property
    def copied(self) -> int:
        """The journal's last number in the sound copy, 0 without one."""
        return self._copied

    def turned_since(self, table: str, row: int) -> bool:
        """Whether a step that wrote the row was undone or done again after the sound copy was made."""
        return (table, row) in self._turned


class TableEvidence:
    """Answers for one table.

    Attributes:
        rows: what could be read, by number, as it lies there.
        old: the sound copy's rows.
    """

    def __init__(self, whole: Evidence, table: str) -> None:
        self.whole, self.table = whole, table
        self.rows = rows_of(whole.conn, table)
        self.old = rows_of(whole.old, table) if whole.old is not None else {}
        self.written = whole.written.get(table, {})
        self.seal = whole.sealed.get(table)
        self._sums = dict(row_sums_of(whole.conn, table)) if self.seal is not None else {}

    def numbers(self) -> list[int]:
        """Of every row anything speaks of."""
        sealed = self.seal.sums.keys() if self.seal is not None else set()
        return sorted(self.rows.keys() | self.old.keys() | self.written.keys() | sealed)

    def as_sealed(self, number: int) -> bool:
        """The row is what was sealed, and no entry names it since."""
        seal, last = self.seal, self.written.get(number)
        if seal is None or (last is not None and last.seen > seal.through_change):
            return False
        return number in seal.sums and self._sums.get(number) == seal.sums[number]

    def wanted(self, number: int) -> Wanted | None:
        """What the row must be; None when nothing tells."""
        last, seal, copied = self.written.get(number), self.seal, self.whole.copied
        through = seal.through_change if seal is not None else 0
        if last is not None and last.seen > through:
            if last.seen <= copied and not self.whole.turned_since(self.table, number):
                return Wanted(self.old.get(number), BACKUP, copied)
            return self._by_entry(last)
        place = float(max(through, copied))
        if self.table in _BY_THEIR_BYTES:
            return Wanted(self.old[number], BACKUP, float("inf")) if number in self.old else None
        if seal is not None:
            if number not in seal.sums:
                return None  # no step brought it in and none took it away: not ours to throw out
            return self._by_sum(number, seal.sums[number], place, last)
        if number in self.old:
            return Wanted(self.old[number], BACKUP, copied)
        return self._by_entry(last) if last is not None else None

    def unsure(self, wanted: Wanted) -> bool:
        """Whether an entry that is missing may have written the row later."""
        return wanted.place < self.whole.gaps.last

    def _by_entry(self, last: Written) -> Wanted:
        before, after = self.whole.entry(last.change)
        return Wanted(after, JOURNAL, last.seen, before) if last.done else Wanted(before, JOURNAL, last.seen)

    def _by_sum(self, number: int, its_sum: int, place: float, last: Written | None) -> Wanted | None:
        """Whoever has the row as it was sealed is right."""
        if (row := self.old.get(number)) is not None and sum_of(row) == its_sum:
            return Wanted(row, BACKUP, place)
        if last is not None:
            found = self._by_entry(last)
            if found.row is not None and sum_of(found.row) == its_sum:
                return Wanted(found.row, JOURNAL, place)
        return None


def rows_of(conn: sqlite3.Connection, table: str) -> dict[int, dict[str, Any]]:
    """Every row of a table, by number; nothing where it has no such table."""
    names = columns_of(conn, table)
    if "id" not in names:
        return {}
    listed = ", ".join(f'"{name}"' for name in names)
    rows = stored(conn, f'SELECT {listed} FROM "{table}" NOT INDEXED')
    return {int(row[names.index("id")]): dict(zip(names, row, strict=True)) for row in rows}


def alike(here: Row, there: Row) -> bool:
    """The same in every column both have."""
    return not differing(here, there)


def differing(here: Row, there: Row) -> list[str]:
    """Columns in which two rows differ."""
    return [name for name in here if name in there and not _same(here[name], there[name])]


def _same(one: object, other: object) -> bool:
    return type(one) is type(other) and one == other


def entry_is_bent(here: Row, wanted: Wanted) -> bool:
    """Whether it is the journal's entry that changed by itself, and not the row.

    One letter of an entry bends a number otherwise than one byte of a row does: 820 becomes 920, not -844. And what
    a step left as it was stands twice in its entry.
    """
    if wanted.row is None or wanted.source != JOURNAL:
        return False
    columns = differing(here, wanted.row)
    if len(columns) != 1:
        return False
    name = columns[0]
    kept, told = here[name], wanted.row[name]
    if not _one_letter_apart(json.dumps(kept), json.dumps(told)):
        return False
    stood = wanted.before is not None and name in wanted.before and _same(wanted.before[name], kept)
    return stood or not one_byte_apart(kept, told)


def bent(here: Row, wanted: Row) -> bool:
    """Whether a row looks like another with one value changed by itself, and not like what a later step wrote."""
    columns = differing(here, wanted)
    return len(columns) == 1 and one_byte_apart(here[columns[0]], wanted[columns[0]])


def one_byte_apart(one: object, other: object) -> bool:
    """Whether one byte that changed in a row makes one value of the other; a value of another kind may be, too."""
    if isinstance(one, int) and isinstance(other, int):
        return any(_in_one_byte(one, other, width) for width in _WIDTHS)
    if isinstance(one, str) and isinstance(other, str):
        return _one_letter_apart(one, other) or "\udc80" <= max(one, default="") <= "\udcff"
    return True


def _in_one_byte(one: int, other: int, width: int) -> bool:
    try:
        pair = (one.to_bytes(width, signed=True), other.to_bytes(width, signed=True))
    except OverflowError:
        return False
    return sum(a != b for a, b in zip(*pair, strict=True)) <= 1


def _one_letter_apart(one: str, other: str) -> bool:
    return len(one) == len(other) and sum(a != b for a, b in zip(one, other, strict=True)) == 1


def _written(conn: sqlite3.Connection) -> dict[str, dict[int, Written]]:
    found: dict[str, dict[int, Written]] = {}
    asked = (
        "SELECT c.id, c.action_id, c.table_name, c.row_id, a.undone FROM change AS c JOIN action AS a"
        " ON a.id = c.action_id ORDER BY c.id"
    )
    for number, action, table, row, undone in conn.execute(asked):
        known = found.setdefault(str(table), {})
        last = known.get(row)
        if not undone:
            known[row] = Written(number, action, True, number)
        elif last is None:
            known[row] = Written(number, action, False, number)
        else:
            last.seen = number
    return found


def _turned(conn: sqlite3.Connection, old: sqlite3.Connection) -> set[tuple[str, int]]:
    asked = "SELECT id, undone FROM action"
    before = dict(old.execute(asked).fetchall())
    turned = [(number,) for number, undone in conn.execute(asked).fetchall() if before.get(number, undone) != undone]
    found: set[tuple[str, int]] = set()
    for step in turned:
        found |= set(conn.execute("SELECT table_name, row_id FROM change WHERE action_id = ?", step).fetchall())
    return found


def _last(conn: sqlite3.Connection) -> int:
    return int(conn.execute("SELECT coalesce(max(id), 0) FROM change").fetchone()[0])
