"""A sum of every row the journal does not know, kept in the file itself: what a bit that turned over cannot pass by.

The journal has each row an edit wrote, and is a witness of it (`journal_witness`). What a firm was founded with, what
stood in it before a new version, and a recovered file have no entries there. So their rows are summed up where they
are written, in the same transaction: `seal`. From then on such a row is as it was sealed, or the journal says how it
changed. Kept in the file, the sums go wherever the file goes: into a copy, a backup, and back.

Layout of `row_sums.sums`: for each row its number and the CRC-32 of its values, each four bytes, little end first,
in the order of the numbers; then the CRC-32 of all that.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from struct import Struct
from typing import Any, cast
from zlib import crc32

from sqlalchemy import Connection

from db.company_file.owner_words import things

OWN_TABLE = "row_sums"
_KEPT_BY_OWN_SUM = {"paper_file", "logo_file"}
"""Written outside the journal; each row names the SHA-256 of its bytes, which a look compares."""

_TABLES = "tables and indexes"
"""Stands in for a table's name: what the file says of its own tables."""

_AT_ONCE = 2_000
_ALL = 1_000_000
_LARGEST = 2**32
_ENTRY = Struct("<II")
_LAST = Struct("<I")


@dataclass(frozen=True, slots=True)
class Unlike:
    """A row that is not what it was when it was sealed, though no step changed it.

    Attributes:
        table: its table; `OWN_TABLE` when the sums themselves cannot be relied on.
        row: its number; 0 for the whole table.
        gone: it is not there any more.
    """

    table: str
    row: int
    gone: bool = False

    def words(self) -> str:
        """As a line of a report."""
        if self.table == OWN_TABLE:
            return "The sums kept in the file have changed by themselves."
        if self.table == _TABLES:
            return "What the file says of its own tables is not as it was written."
        row = f"Row {self.row} of the {things(self.table)}"
        if self.gone:
            return f"{row} is gone, though no step removed it."
        return f"{row} is not as it was written, though no step changed it."


@dataclass(frozen=True, slots=True)
class Sealed:
    """What one table held when it was sealed.

    Attributes:
        through_change: the newest entry of the journal then.
        through_action: the newest step then.
        sums: by the row's number.
    """

    through_change: int
    through_action: int
    sums: dict[int, int]


def sealed_rows(conn: sqlite3.Connection) -> dict[str, Sealed]:
    """By table what was sealed, where that can be relied on; nothing in a file of an earlier version."""
    try:
        kept = conn.execute(f"SELECT table_name, through_change, through_action, sums FROM {OWN_TABLE}").fetchall()
    except sqlite3.Error:
        return {}
    found = {}
    for name, through_change, through_action, sums in kept:
        if (known := _unpacked(sums)) is not None and name != _TABLES:
            found[str(name)] = Sealed(int(through_change), int(through_action), known)
    return found


def seal(conn: sqlite3.Connection) -> None:
    """Sum up every row as it stands now, inside the caller's transaction.

    To be called wherever rows were written without an entry in the journal: founding, bringing up to date, recovery.
    """
    through = tuple(
        int(conn.execute(f"SELECT coalesce(max(id), 0) FROM {name}").fetchone()[0]) for name in ("change", "action")
    )
    taken = [(name, *through, _packed(row_sums_of(conn, name))) for name in _sealed_tables(conn)]
    taken.append((_TABLES, *through, _packed([(1, _sum_of_tables(conn))])))
    conn.execute(f"DELETE FROM {OWN_TABLE}")
    conn.executemany(
        f"INSERT INTO {OWN_TABLE} (table_name, through_change, through_action, sums) VALUES (?, ?, ?, ?)", taken
    )


def seal_within(conn: Connection) -> None:
    """The same inside a transaction of the program's own."""
    seal(cast(sqlite3.Connection, conn.connection.driver_connection))


def unlike_sealed(conn: sqlite3.Connection, most: int = 20) -> list[Unlike]:
    """Rows that are not what they were when they were sealed, though no entry of the journal names them since.

    A row that nobody sealed is none of them. Where a step noted no rows since (a founding that was cut short, say),
    nothing is compared.

    Raises:
        sqlite3.Error: a table cannot be read.
    """
    found: list[Unlike] = []
    tables = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if OWN_TABLE not in tables:
        return []
    kept = conn.execute(f"SELECT table_name, through_change, through_action, sums FROM {OWN_TABLE}").fetchall()
    for name, through_change, through_action, sums in kept:
        known = _unpacked(sums)
        if known is None or (name not in tables and name != _TABLES):
            found.append(Unlike(OWN_TABLE, 0))
        elif not _noted_all(conn, through_action):
            continue
        elif name == _TABLES:
            found += [Unlike(_TABLES, 0)] if known != {1: _sum_of_tables(conn)} else []
        else:
            found += _of_table(conn, str(name), int(through_change), known, most)
        if len(found) >= most:
            break
    return found[:most]


def sum_of(row: Mapping[str, Any]) -> int:
    """The sum of one row, by column name; of its step an action leaves out whether it is undone."""
    stored = [value.encode() if isinstance(value, str) else value for _, value in sorted(row.items())]
    return crc32(repr((row["id"], *stored)).encode())


def _of_table(conn: sqlite3.Connection, table: str, since: int, known: dict[int, int], most: int) -> list[Unlike]:
    differ: dict[int, bool] = dict.fromkeys(known, True)
    for row, found in row_sums_of(conn, table):
        if known.get(row) == found:
            del differ[row]
        elif row in differ:
            differ[row] = False
    if not differ:
        return []
    asked = "SELECT row_id FROM change WHERE table_name = ? AND id > ?"
    edited = {row[0] for row in conn.execute(asked, (table, since))}
    return [Unlike(table, row, gone) for row, gone in sorted(differ.items()) if row not in edited][:most]


def _noted_all(conn: sqlite3.Connection, since: int) -> bool:
    asked = "SELECT 1 FROM action AS a WHERE a.id > ? AND NOT EXISTS (SELECT 1 FROM change WHERE action_id = a.id)"
    return conn.execute(asked + " LIMIT 1", (since,)).fetchone() is None


def _sealed_tables(conn: sqlite3.Connection) -> list[str]:
    left_out = {OWN_TABLE, *_KEPT_BY_OWN_SUM}
    asked = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
    return [str(name) for (name,) in conn.execute(asked) if name not in left_out]


def _sum_of_tables(conn: sqlite3.Connection) -> int:
    """A list some other program rewrote (its order, where each begins) is the same list."""
    asked = "SELECT type, name, tbl_name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name"
    return crc32(repr(conn.execute(asked).fetchall()).encode())


def row_sums_of(conn: sqlite3.Connection, table: str) -> Iterator[tuple[int, int]]:
    """Number and sum of each row, in order; columns by their names, as another file may have them in another order."""
    columns = sorted(str(row[1]) for row in conn.execute(f'PRAGMA table_info("{table}")'))
    if table == "action":
        columns.remove("undone")  # undo and redo turn it
    names = ", ".join(f'"{name}"' for name in columns)
    cursor, before = conn.cursor(), conn.text_factory
    conn.text_factory = bytes  # a text with a flipped bit may be no text any more
    try:
        cursor.execute(f'SELECT rowid, {names} FROM "{table}" NOT INDEXED ORDER BY rowid')
        while some := cursor.fetchmany(_AT_ONCE):
            yield from ((row[0], crc32(repr(row).encode())) for row in some)
    finally:
        conn.text_factory = before


def _packed(sums: Iterator[tuple[int, int]] | list[tuple[int, int]]) -> bytes:
    packed = b"".join(_ENTRY.pack(row, found) for row, found in sums if 0 <= row < _LARGEST)
    return packed + _LAST.pack(crc32(packed))


def _unpacked(kept: object) -> dict[int, int] | None:
    """Sum by row number; None when the bytes are not those that were kept."""
    if not isinstance(kept, bytes) or len(kept) % _ENTRY.size != _LAST.size:
        return None
    packed = kept[: -_LAST.size]
    return dict(_ENTRY.iter_unpack(packed)) if _LAST.pack(crc32(packed)) == kept[-_LAST.size :] else None
