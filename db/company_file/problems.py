"""What can be wrong with a company file, in words the owner can act on."""

from __future__ import annotations

import errno
import re
import shlex
import sqlite3
from pathlib import Path


class CompanyProblem(Exception):
    """The environment's fault, not a bug: the file or disk is not as it must be, and nothing was changed.

    Attributes:
        message: what is wrong, one plain sentence.
        advice: what to do now, as it can be done in the window.
        command: the command that does it, for the command line; empty where there is none.
    """

    def __init__(self, path: Path | None, message: str, advice: str, command: str = "") -> None:
        super().__init__(f"{message} {advice}")
        self.path = path
        self.message = message
        self.advice = advice
        self.command = command


class Recoverable(CompanyProblem):
    """What recovering answers; see `db.company_file.recovery`."""

    def __init__(self, path: Path | None, message: str, advice: str, command: str | None = None) -> None:
        usual = "" if path is None else recover_command(path)
        super().__init__(path, message, advice, usual if command is None else command)


class NotOurs(CompanyProblem):
    """Some other kind of file."""


class Damaged(Recoverable):
    """The file's pages do not hold together."""


class NeedsRecovery(Recoverable):
    """Every row can be read, but the file must be written afresh before anyone works in it."""


class Unsettled(CompanyProblem):
    """It could not be read just now, though it holds together."""


class Closed(CompanyProblem):
    """Something was asked of a company that was closed."""


class UnreadableRows(Recoverable):
    """The pages hold together, but a value in a row is none its column can have."""


class ManyNames(CompanyProblem):
    """The file has a second name, beside which its log would not lie."""


class NoLocks(CompanyProblem):
    """A folder where two programs could write the file at once."""


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


class Gone(Missing, Recoverable):
    """There is no such file, but its log or backups of it lie where it was."""


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
        "from the Firm page, then open that copy.",
    )


def cannot_write(path: Path) -> ReadOnly:
    """The file or its folder refuses writing."""
    return ReadOnly(
        path,
        f"“{path.name}” cannot be written: the file or its folder is read-only.",
        "Copy it, with the files that lie beside it, to a folder of your own, or ask for write access, then open it "
        "there.",
    )


def disk_full(path: Path) -> DiskFull:
    """No room for what was to be written."""
    return DiskFull(
        path,
        "Not saved: the disk is full or does not answer.",
        "Everything saved before is safe. Free some space or reconnect the disk, then try again.",
    )


_OWN_WORDS = ("it is ", "its ", "the mark", "nothing in")


HOW_TO_RECOVER = (
    "Recover it: a copy of it as it is is kept first; then you see what it and your backups hold, before anything is "
    "put in its place."
)
"""What to do with a file that cannot be worked in as it is; true in the window and on the command line."""


def recover_command(path: Path) -> str:
    """The command that does it."""
    return f"riserbook recover {shlex.quote(str(path))}"


def damaged(path: Path, finding: str = "") -> Damaged:
    """The file's pages do not hold together."""
    told = f" ({_said(finding)})" if finding else ""
    return Damaged(path, f"“{path.name}” is damaged{told}.", HOW_TO_RECOVER)


def _said(finding: str) -> str:
    """A finding in the owner's words: SQLite's speak of its own parts, and only the number of the page is kept."""
    if finding.startswith(_OWN_WORDS):
        return finding
    page = re.search(r"[Pp]age (\d+)", finding)
    return f"page {page[1]} does not hold together" if page else "its pages do not hold together"


def indexes_differ(path: Path) -> NeedsRecovery:
    """The rows are whole, their indexes are not."""
    return NeedsRecovery(
        path,
        f"The rows of “{path.name}” can be read, but its indexes do not agree with them, so lists and sums could be "
        "wrong.",
        HOW_TO_RECOVER,
    )


def foreign_rules(path: Path, things: list[str]) -> NeedsRecovery:
    """Someone else's triggers or views are in the file."""
    return NeedsRecovery(
        path,
        f"“{path.name}” holds what Riserbook did not put there: {', '.join(things[:3])}"
        f"{' and more' if len(things) > 3 else ''}. It could change or delete your rows by itself.",
        HOW_TO_RECOVER,
    )


def no_locks(path: Path) -> NoLocks:
    """The folder keeps no locks."""
    return NoLocks(
        path,
        f"“{path.parent.name or path.parent}” is a folder on a network or a service where files cannot be locked, so "
        "two programs could write the firm at once and spoil it.",
        "Copy the firm, with the files that lie beside it, to a folder on this computer and open it there. The "
        "network folder is a good place for backups.",
    )


def not_found(path: Path, error: Exception) -> Missing:
    """The system cannot follow the name."""
    reason = getattr(error, "strerror", None)
    if "loop" in str(error).lower() or getattr(error, "errno", None) == errno.ELOOP:
        reason = "its links lead round in a circle"
    return Missing(
        path,
        f"“{path.name}” cannot be reached{f': {reason[0].lower()}{reason[1:]}' if reason else ' by this name'}.",
        "Choose the file itself where it lies.",
    )


def closed(path: Path) -> Closed:
    """The company was closed before this was asked."""
    return Closed(
        path, f"“{path.name}” has been closed; this step was not saved.", "Open it again, then repeat the step."
    )


def unsettled(path: Path) -> Unsettled:
    """SQLite stumbled, but finds the file whole."""
    return Unsettled(
        path,
        f"“{path.name}” could not be read just now, though a check finds it whole.",
        "Close other programs that use it, then try again.",
    )


# The low byte of a result code says what kind of trouble it is: sqlite.org/rescode.html, section 4.
_FULL = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR}
_HELD = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL}
BROKEN = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_REFUSED = {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN}


def problem_of(error: BaseException | None, path: Path) -> CompanyProblem | None:
    """The database's complaint as a company problem; None when it is no fault of file or disk (then it is a bug)."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        return None
    kind = code & 0xFF
    if kind in BROKEN:
        from db.company_file.examine import judged  # only its own check may say that it is damaged

        return judged(path)
    if kind in _HELD:
        return open_elsewhere(path)
    if kind in _FULL | _REFUSED and not path.exists():
        return gone(path)
    if kind in _FULL:
        return disk_full(path)
    if kind in _REFUSED:
        return cannot_write(path)
    return None


def cannot_read(error: BaseException, path: Path) -> CompanyProblem:
    """Why a file could not be looked at; nothing was being saved."""
    problem = problem_of(error, path)
    if isinstance(problem, DiskFull):
        return DiskFull(
            path,
            f"“{path.name}” cannot be opened now: the disk is full or does not answer.",
            "Nothing in it was changed. Free some space or reconnect the disk, then try again.",
        )
    return problem or unsettled(path)


def open_elsewhere(path: Path) -> OpenElsewhere:
    """Someone else holds the file."""
    return OpenElsewhere(
        path,
        f"“{path.name}” is already open in another window or program.",
        "Go on working there, or close it there first and then open it here.",
    )
