"""Connections to a company file: what every one of them must be told, and how a transaction begins."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any, Literal

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

APPLICATION_ID = 0x52735242
"""Marks a SQLite file as a company file of this program: the four bytes "RsRB" at offset 68 of its header."""

WRITES = "writes"
"""Execution option: this transaction will write, so it takes the write lock at once instead of half-way through."""

_WAIT_SECONDS = 3.0

Mode = Literal["rw", "ro", "immutable"]


def connect(path: Path, mode: Mode = "rw", *, wait_seconds: float | None = None) -> sqlite3.Connection:
    """A bare connection that never makes a file; transactions are begun and ended by hand.

    Args:
        path: an existing file.
        mode: rw; ro writes nothing but may make side files; immutable touches nothing and looks past a `-wal`.
        wait_seconds: how long to wait for someone else's write to end; None: three seconds.
    """
    wait = _WAIT_SECONDS if wait_seconds is None else wait_seconds
    uri = path.absolute().as_uri()
    if not uri.startswith("file:///"):  # a network share: SQLite wants an empty host and the server in the path
        uri = "file://" + uri.removeprefix("file:")
    uri += "?mode=ro&immutable=1" if mode == "immutable" else f"?mode={mode}"
    return sqlite3.connect(uri, uri=True, timeout=wait, isolation_level=None, check_same_thread=False)


def engine_for(path: Path, *, reading: Mode | None = None, foreign_keys: bool = True) -> Engine:
    """An engine on one company file, whose transactions are real ones from their first statement.

    Args:
        path: an existing file.
        reading: None to work in it; else only reading, by this mode (rw lets the last reader tidy up).
        foreign_keys: refuse rows that point at nothing; off only while tables are rebuilt.
    """

    def one() -> sqlite3.Connection:
        conn = connect(path, reading or "rw")
        conn.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")
        conn.execute("PRAGMA trusted_schema=OFF")  # rules someone else put into the file may call nothing
        conn.execute("PRAGMA synchronous=FULL")
        conn.execute("PRAGMA cache_size=-16000")
        conn.execute("PRAGMA query_only=ON" if reading else "PRAGMA journal_mode=WAL")
        return conn

    engine = create_engine("sqlite://", creator=one, poolclass=QueuePool)
    event.listen(engine, "begin", _begin)
    return engine


def _begin(conn: Connection) -> None:
    options: dict[str, Any] = dict(conn.get_execution_options())
    conn.exec_driver_sql("BEGIN IMMEDIATE" if options.get(WRITES) else "BEGIN")
