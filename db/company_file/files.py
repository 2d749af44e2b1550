"""Files for the owner alone, put in place whole."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from db.company_file.problems import AlreadyThere

OWNER_ONLY = 0o600


def make_private(path: Path) -> None:
    """Make an empty file that only its owner can read; it must not exist yet.

    Raises:
        OSError: it exists, or the folder does not allow it.
    """
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, OWNER_ONLY))


def make_private_folder(path: Path) -> None:
    """Make a folder, if need be, that only its owner can enter."""
    with suppress(FileExistsError):
        path.mkdir(mode=0o700)
        sync_folder(path.parent)


def hide_from_others(path: Path) -> None:
    """Take other people's access to a file away, where the system has such modes and lets us."""
    with suppress(OSError):
        mode = path.stat().st_mode
        if os.name == "posix" and mode & 0o077:
            path.chmod(OWNER_ONLY)


def put_without_overwriting(fresh: Path, path: Path) -> None:
    """Give a finished file its name; a file that took the name meanwhile stays as it is.

    Raises:
        AlreadyThere: the name is taken.
    """
    taken = AlreadyThere(path, f"“{path.name}” is already there.", "Choose another name.")
    if os.name == "nt":
        try:
            fresh.rename(path)
        except FileExistsError as error:
            raise taken from error
        return
    try:
        os.link(fresh, path)
    except FileExistsError as error:
        raise taken from error
    except OSError:  # sticks and network drives without hard links
        if path.exists():
            raise taken from None
        fresh.rename(path)
    else:
        fresh.unlink()
    sync_folder(path.parent)


def sync_file(path: Path) -> None:
    """Have the system write a file's bytes to the disk.

    Raises:
        OSError: it could not.
    """
    handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)  # it may be a copy of what is read-only
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Have the system write a folder's list of names to the disk, where it can be asked to."""
    if os.name == "nt":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
