"""What can be wrong with a company file, in words the owner can act on."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from db.company_file.places import backup_folder


class CompanyProblem(Exception):
    """The environment's fault, not a bug: the file or disk is not as it must be, and nothing was changed.

    Attributes:
        message: what is wrong, one plain sentence.
        advice: what to do now.
    """

    def __init__(self, path: Path | None, message: str, advice: str) -> None:
        super().__init__(f"{message} {advice}")
        self.path = path
        self.message = message
        self.advice = advice


class NotOurs(CompanyProblem):
    """Some other kind of file."""


class Damaged(CompanyProblem):
    """The file's pages do not hold together."""


class TooNew(CompanyProblem):
    """Written by a later version of the program."""


class TooOld(CompanyProblem):
    """Written by an earlier version, and it was opened for reading only."""


class ReadOnly(CompanyProblem):
    """File or folder cannot be read or written."""


class OpenElsewhere(CompanyProblem):
    """Another window or program holds the file."""


class Missing(CompanyProblem):
    """There is no such file, or its folder is gone."""


class AlreadyThere(CompanyProblem):
    """A file of that name exists and is not written over."""


class DiskFull(CompanyProblem):
    """There is no room left, or the disk does not answer."""


class UpdateFailed(CompanyProblem):
    """The file could not be brought up to date; it is as it was."""


class Refused(Exception):
    """The user's request cannot be done as asked, e.g. deleting what has history; the message says why.

    Attributes:
        advice: what can be done instead, may be empty.
    """

    def __init__(self, message: str, advice: str = "") -> None:
        super().__init__(f"{message} {advice}".strip())
        self.message = message
        self.advice = advice


def gone(path: Path) -> Missing:
    """The file was deleted, moved or replaced while it was open."""
    return Missing(
        path,
        f"“{path.name}” is no longer where it was: it has been deleted, moved or replaced while it was open.",
        "The program still holds everything up to your last saved step: save a copy under a new name "
        "from the Company page, then open that copy.",
    )


def cannot_write(path: Path) -> ReadOnly:
    """The file or its folder refuses writing."""
    return ReadOnly(
        path,
        f"“{path.name}” cannot be written: the file or its folder is read-only.",
        "Copy it to a folder of your own, or ask for write access, then open it there.",
    )


def disk_full(path: Path) -> DiskFull:
    """No room for what was to be written."""
    return DiskFull(
        path,
        "This step was not saved: the disk is full or does not answer.",
        "Everything saved before is safe. Free some space or reconnect the disk, then try again.",
    )


def damaged(path: Path, finding: str = "") -> Damaged:
    """The file's pages do not hold together."""
    backups = backup_folder(path)
    if backups.is_dir():
        advice = f"Restore the newest backup from the folder “{backups.name}” beside it."
    else:
        advice = "Put back a copy of it from where you keep your copies; there are no backups beside it."
    return Damaged(path, f"“{path.name}” is damaged{f' ({finding})' if finding else ''}.", advice)


# The low byte of a result code says what kind of trouble it is: sqlite.org/rescode.html, section 4.
_FULL = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR}
_HELD = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_BROKEN = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_REFUSED = {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN}


def problem_of(error: BaseException | None, path: Path) -> CompanyProblem | None:
    """The database's complaint as a company problem; None when it is no fault of file or disk (then it is a bug)."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        return None
    kind = code & 0xFF
    if kind in _BROKEN:
        return damaged(path)
    if kind in _HELD:
        return open_elsewhere(path)
    if kind in _FULL | _REFUSED and not path.exists():
        return gone(path)
    if kind in _FULL:
        return disk_full(path)
    if kind in _REFUSED:
        return cannot_write(path)
    return None


def open_elsewhere(path: Path) -> OpenElsewhere:
    """Someone else holds the file."""
    return OpenElsewhere(
        path,
        f"“{path.name}” is already open in another window or program.",
        "Go on working there, or close it there first and then open it here.",
    )
