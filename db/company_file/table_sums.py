"""A sum of every table, kept with each backup, so that a bit that flipped on the disk is noticed later.

SQLite keeps no sums of its pages. A flipped bit in a name or an amount leaves the file sound in its eyes. When
nothing was edited since a backup, every row must still be what it was: then the sums of the tables agree.
"""

from __future__ import annotations

import hashlib
import sqlite3

_AT_ONCE = 2_000


def state_of_journal(conn: sqlite3.Connection) -> str:
    """A sum of everything done and undone and of the file's version: two files of one company that have the same
    were not edited between each other, as every edit is noted in the journal."""
    digest = hashlib.sha256(repr(conn.execute("SELECT version_num FROM alembic_version").fetchall()).encode())
    _add_rows(digest, conn, "SELECT id, made_at, label, undone FROM action ORDER BY id")
    return digest.hexdigest()


def table_sums(conn: sqlite3.Connection) -> dict[str, str]:
    """For each table a sum of all its rows as they are stored."""
    names = [
        str(row[0])
        for row in conn.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
        )
    ]
    return {name: _sum(conn, name) for name in names}


def _sum(conn: sqlite3.Connection, table: str) -> str:
    quoted = table.replace('"', '""')
    digest = hashlib.sha256()
    _add_rows(digest, conn, f'SELECT * FROM "{quoted}" ORDER BY rowid')
    return digest.hexdigest()[:32]


def _add_rows(digest: hashlib._Hash, conn: sqlite3.Connection, question: str) -> None:
    cursor, before = conn.cursor(), conn.text_factory
    conn.text_factory = bytes  # a text with a flipped bit may be no text any more: it is summed as it lies there
    try:
        cursor.execute(question)
        while some := cursor.fetchmany(_AT_ONCE):
            digest.update(repr(some).encode())
    finally:
        conn.text_factory = before
