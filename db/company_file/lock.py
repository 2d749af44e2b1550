"""One window at a time: a lock that the operating system lets go of when the program ends, however it ends."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from db.company_file.connection import connect
from db.company_file.places import lock_file
from db.company_file.problems import cannot_write, no_locks, open_elsewhere

_TRIES = 5


def hold(path: Path) -> Callable[[], None]:
    """Hold the company file for work and return what lets it go.

    The lock is SQLite's own exclusive lock on an empty file beside the company file, not on the file itself, so
    readers go on reading. A lock file left behind by a crash is held by nobody and blocks nobody.

    Raises:
        OpenElsewhere: another window, in this or another program, holds it.
        ReadOnly: the folder does not let a lock file be made.
    """
    beside = lock_file(path)
    for _ in range(_TRIES):
        try:
            os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        except FileExistsError:
            pass
        except OSError as error:
            raise cannot_write(path) from error
        held = _try(path, beside)
        if held is not None:
            return held
    raise open_elsewhere(path)


def _try(path: Path, beside: Path) -> Callable[[], None] | None:
    before = _identity(beside)
    if before is None:
        return None  # just removed by the one who let it go: make it again
    conn: sqlite3.Connection | None = None
    try:
        conn = connect(beside, "rw", wait_seconds=0)
        conn.execute("PRAGMA journal_mode=MEMORY")
        conn.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error as error:
        if conn is not None:
            conn.close()
        if before != _identity(beside):
            return None
        if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY:
            raise open_elsewhere(path) from error
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_PROTOCOL):
            raise no_locks(path) from error
        raise cannot_write(path) from error
    if before != _identity(beside):  # it was removed while we waited: ours is a lock on nothing
        conn.close()
        return None
    return _letting_go(conn, beside)


def _letting_go(conn: sqlite3.Connection, beside: Path) -> Callable[[], None]:
    def let_go() -> None:
        # Removed while still held, where the system can do that; afterwards only if nobody else has it open.
        with suppress(OSError):
            beside.unlink()
        conn.close()
        if os.name == "nt":
            with suppress(OSError):
                beside.unlink()

    return let_go


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino
