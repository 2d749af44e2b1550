"""A company file has one name: its log lies beside that name, and another name would be read without it."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from pathlib import Path

from db.company_file.places import SUFFIX, lock_file, side_files
from db.company_file.problems import ManyNames


def must_have_one_name(path: Path) -> None:
    """Refuse a file that the file system knows by several names (hard links), but for the one in use, beside which its
    log lies; put our own half-done naming right.

    Raises:
        ManyNames: opened by its other name, it would be written without the lock and read without the log.
    """
    if _names(path) < 2:
        return
    others = [other for other in _others(path) if not _left_by_us(path, other)]
    if _names(path) < 2 or _is_the_one_in_use(path, others):
        return
    named = f", here also “{others[0].name}”" if others else ""
    raise ManyNames(
        path,
        f"“{path.name}” is one file under {_names(path)} names{named}: a step saved under one could be lost under the "
        "other.",
        f"Nothing was changed. {_advice(path, others)} For a second firm, save a copy from the Firm page instead.",
    )


def _is_the_one_in_use(path: Path, others: list[Path]) -> bool:
    """Whether the log lies beside this name and beside no other: then it is the name the firm is worked in under.

    A name in another folder may have a log there too, so all names must be known.
    """
    return len(others) + 1 == _names(path) and _in_use(path) and not any(_in_use(one) for one in others)


def _in_use(path: Path) -> bool:
    """A log with something in it, or our lock; an empty log is made by every look."""
    return _filled(side_files(path)[0]) or lock_file(path).exists()


def _advice(path: Path, others: list[Path]) -> str:
    """A name is only to be removed when every name is known and at most one of them has a log beside it."""
    logged = [one for one in (path, *others) if any(_filled(side) for side in side_files(one))]
    if len(others) + 1 == _names(path) and len(logged) < 2:
        keep = logged[0] if logged else path
        return f"Close it everywhere, remove every name but “{keep.name}” (the content stays), then open that."
    stay = "Close it everywhere, but remove none of its names and nothing beside them: "
    if len(logged) == 1:
        return (
            f"{stay}its last steps are in the log beside “{logged[0]}”. Copy that file and "
            f"“{logged[0].name}-wal” together into another folder and open the copy there."
        )
    if logged:
        where = " and ".join(f"“{one}”" for one in logged)
        return (
            f"{stay}logs lie beside {where}. Copy each file with its own log into a folder of its own, and open each "
            "copy to see which has your last steps."
        )
    return (
        f"{stay}the other name lies in another folder, and its last steps may be in a log beside it there, a file with "
        f"“-wal” at the end of its name. Look for that name, copy both files together into another folder, and open "
        "the copy there."
    )


def _filled(side: Path) -> bool:
    with suppress(OSError):
        return side.stat().st_size > 0
    return False


def _names(path: Path) -> int:
    return path.stat().st_nlink


def _others(path: Path) -> list[Path]:
    own = path.stat()
    found = []
    with suppress(OSError):
        for entry in os.scandir(path.parent):
            with suppress(OSError):
                seen = entry.stat(follow_symlinks=False)
                if entry.name != path.name and (seen.st_dev, seen.st_ino) == (own.st_dev, own.st_ino):
                    found.append(Path(entry.path))
    return sorted(found)


def _left_by_us(path: Path, other: Path) -> bool:
    """A file is put in place by a second name, and the first then goes; a kill in between leaves both."""
    ours = rf"\.{re.escape(path.name)}\.[0-9a-f]{{8}}|\.[0-9a-f]{{12}}{re.escape(SUFFIX)}"
    if not re.fullmatch(ours, other.name):
        return False
    with suppress(OSError):
        other.unlink()
        return True
    return False
