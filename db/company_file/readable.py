"""How to read a company file as it stands, its log included, when nobody may write beside it as well."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from db.company_file.connection import Mode
from db.company_file.places import side_files
from db.company_file.problems import unsettled

_TRIES = 20


def can_write_beside(path: Path) -> bool:
    """Whether the file, if it is there, and its folder may be written by us."""
    return (os.access(path, os.W_OK) or not path.exists()) and os.access(path.parent, os.W_OK | os.X_OK)


def looking_mode(path: Path, *, held: bool = False) -> Mode:
    """The gentlest way to read the file as it stands now, its log included; see `readable` for read-only folders.

    Args:
        held: we hold its lock, so nobody else is about to write it.
    """
    wal, shm, journal = (side.exists() for side in side_files(path))
    if not can_write_beside(path):
        return "ro" if wal or shm or journal else "immutable"  # no log, and we could not make one either
    if journal:
        return "rw"  # a step was cut short: only a writer may put the file back in order
    return "ro" if wal or shm else "rw"


@contextmanager
def readable(path: Path) -> Iterator[tuple[Path, Mode]]:
    """Where and how to read the file: itself, or, where only a writer could read its log, a private copy of both.

    Raises:
        Unsettled: it changed each time while it was copied.
        OSError: it could not be copied.
    """
    if not _needs_a_writer(path):
        yield path, looking_mode(path)
        return
    with tempfile.TemporaryDirectory(prefix="riserbook-") as folder:
        yield _steady_copy(path, Path(folder)), "rw"


def _needs_a_writer(path: Path) -> bool:
    wal, shm, journal = side_files(path)
    left_open = journal.exists() or (wal.exists() and not shm.exists())
    return left_open and not can_write_beside(path)


def _steady_copy(path: Path, folder: Path) -> Path:
    """A copy of file and log of one moment: copied again when either changed meanwhile."""
    wal, _, journal = side_files(path)
    copy = folder / path.name
    for _ in range(_TRIES):
        before = seen(path)
        for one in (path, wal, journal):
            target = copy.with_name(one.name)
            target.unlink(missing_ok=True)
            if one.exists():
                shutil.copyfile(one, target)
                target.chmod(0o600)
        if before == seen(path):
            return copy
    raise unsettled(path)


def seen(path: Path) -> tuple[object, ...]:
    """What tells that a file or its log was written meanwhile."""
    wal, _, journal = side_files(path)
    return tuple(_seen(one) for one in (path, wal, journal))


def _seen(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_ino, found.st_size, found.st_mtime_ns
