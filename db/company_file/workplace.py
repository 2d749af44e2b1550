"""Where files are made before they get their name: a folder that is known to be left behind when its maker is gone.

Each maker holds a lock inside its own folder, which the system lets go of when the maker ends, however it ends. So a
later start can tell a half file of a program that was killed from one that is being written right now, and removes
the first alone. How old it is says nothing: clocks go wrong, and a large backup takes its time.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from db.company_file.connection import connect
from db.company_file.files import make_private

UNFINISHED, SAMPLE = ".riserbook-unfinished-", "riserbook-sample-"
_NAME = re.compile(rf"({re.escape(UNFINISHED)}|{re.escape(SAMPLE)})[0-9a-f]{{12}}")
_LOCK = "maker"
_TRIES = 20


@contextmanager
def workplace(folder: Path, prefix: str = UNFINISHED) -> Iterator[Path]:
    """A new folder inside `folder`, for its owner alone, to make files in; gone when the block ends.

    Args:
        prefix: how its name begins: UNFINISHED, or SAMPLE for a copy of the sample that is worked in meanwhile.

    Raises:
        OSError: it cannot be made; the disk may be full or read-only.
    """
    place, held = _begin(folder, prefix)
    try:
        yield place
    finally:
        held.close()
        shutil.rmtree(place, ignore_errors=True)


def clear_left_behind(folders: Iterable[Path]) -> int:
    """Remove what killed makers left in these folders; return how many were removed. Never raises for a disk."""
    count = 0
    for folder in folders:
        with suppress(OSError):
            for place in _workplaces(folder):
                count += _clear(place)
    return count


def someone_works_in(folder: Path) -> bool:
    """True while some maker has its workplace in this folder."""
    with suppress(OSError, sqlite3.Error):
        for place in _workplaces(folder):
            held = _hold(place / _LOCK)
            if held is None:
                return True
            held.close()
    return False


def _workplaces(folder: Path) -> list[Path]:
    """Folders of our own that are named like a workplace; what others left in a shared folder is theirs."""
    found = [
        entry for entry in os.scandir(folder)
        if _NAME.fullmatch(entry.name) and entry.is_dir(follow_symlinks=False)
    ]  # fmt: skip
    if os.name == "posix":
        found = [entry for entry in found if entry.stat(follow_symlinks=False).st_uid == os.getuid()]
    return [Path(entry.path) for entry in found]


def _begin(folder: Path, prefix: str) -> tuple[Path, sqlite3.Connection]:
    for _ in range(_TRIES):
        place = folder / f"{prefix}{secrets.token_hex(6)}"
        place.mkdir(mode=0o700)
        try:
            make_private(place / _LOCK)
        except FileNotFoundError:  # someone cleared it away before it was held: another one
            continue
        except OSError:
            shutil.rmtree(place, ignore_errors=True)
            raise
        try:
            held = _hold(place / _LOCK)
        except sqlite3.Error:  # a network folder that keeps no locks: what is left there is never cleared by itself
            return place, sqlite3.connect(":memory:", check_same_thread=False)
        if held is not None:
            return place, held
        shutil.rmtree(place, ignore_errors=True)
    raise OSError(f"no workplace could be kept in {folder}")


def _clear(place: Path) -> int:
    lock = place / _LOCK
    if not lock.exists():
        with suppress(OSError):
            place.rmdir()  # its maker ended, or is just beginning: then it makes itself another one
            return 1
        return 0
    try:
        held = _hold(lock)
    except sqlite3.Error:
        return 0
    if held is None:
        return 0
    held.close()
    shutil.rmtree(place, ignore_errors=True)
    return int(not place.exists())


def _hold(lock: Path) -> sqlite3.Connection | None:
    """SQLite's own lock on an empty file; None when someone else holds it, or it is gone.

    Raises:
        sqlite3.Error: files cannot be locked here.
    """
    conn: sqlite3.Connection | None = None
    try:
        before = lock.stat()
        conn = connect(lock, "rw", wait_seconds=0)
        conn.execute("PRAGMA journal_mode=MEMORY")
        conn.execute("BEGIN EXCLUSIVE")
        after = lock.stat()
    except OSError:
        if conn is not None:
            conn.close()
        return None
    except sqlite3.Error as error:
        if conn is not None:
            conn.close()
        if not lock.exists() or getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY:
            return None
        raise
    if (before.st_dev, before.st_ino) != (after.st_dev, after.st_ino):
        conn.close()
        return None
    return conn
