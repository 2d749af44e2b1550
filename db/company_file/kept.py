"""The photos, reports and bills a company file names: what they are called, whether they are whole, copied by sum."""

from __future__ import annotations

import hashlib
import os
import re
import sqlite3
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.files import OWNER_ONLY, hide_from_others, make_private_folder, sync_folder

_OUR_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_SUM_IN_NAME = re.compile(r".*-([0-9a-f]{12})\.[a-z]+")
_BLOCK = 1 << 20

MISSING, CHANGED, WHOLE = "missing", "changed", "whole"


@dataclass(frozen=True, slots=True, order=True)
class Named:
    """A file that a row of the company names.

    Attributes:
        name: in the folder of photos and papers.
        what: photo, report or bill, or other (no row names it, but it lies in the folder).
        sum: how the SHA-256 of its bytes begins, as row or name tell it; empty when neither does.
    """

    name: str
    what: str
    sum: str


def sum_in_name(name: str) -> str:
    """The beginning of a file's sum, as a name of our making tells it; empty when it does not."""
    found = _SUM_IN_NAME.fullmatch(name)
    return found[1] if found else ""


def is_our_name(name: str) -> bool:
    """True for a bare name that leads nowhere else."""
    return bool(_OUR_NAME.fullmatch(name))


def named_files(conn: sqlite3.Connection) -> list[Named]:
    """Every file the company names, once each, in the order of their names; early versions name photos alone."""
    tables = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    found: dict[str, Named] = {}
    if "photo" in tables:
        for (name,) in conn.execute("SELECT DISTINCT file_name FROM photo"):
            found[str(name)] = Named(str(name), "photo", sum_in_name(str(name)))
    if "attachment" in tables:
        for name, digest in conn.execute("SELECT file_name, sha256 FROM attachment"):
            found[str(name)] = Named(str(name), "report or bill", str(digest or ""))
    return sorted(found.values())


def files_to_keep(conn: sqlite3.Connection, folder: Path) -> list[Named]:
    """What a backup takes along: every named file, and what else lies in the folder under a name of our form."""
    named = named_files(conn)
    known = {one.name for one in named}
    others: list[Named] = []
    with suppress(OSError):
        others = [
            Named(entry.name, "other", "")
            for entry in os.scandir(folder)
            if entry.name not in known and kept_path(folder, entry.name) is not None
        ]
    return sorted([*named, *others])


def kept_path(folder: Path, file_name: str) -> Path | None:
    """Where a kept file lies; None when the stored name is not one of ours, leads elsewhere, or nothing is there.

    A company file may come from anywhere, so a stored name is never trusted: it must be a bare name, and what it
    names must be a file of this folder itself, not a way out of it.
    """
    if not is_our_name(file_name):
        return None
    path = folder / file_name
    try:
        if path.is_symlink() or not path.is_file():
            return None
    except OSError:
        return None
    return path


def sum_of(path: Path) -> str:
    """The SHA-256 of a file's bytes, in hexadecimal.

    Raises:
        OSError: it cannot be read.
    """
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def state_of(folder: Path, named: Named) -> str:
    """Whether a named file is there and is what it was when it was taken in: missing, changed or whole."""
    path = kept_path(folder, named.name)
    if path is None:
        return MISSING
    try:
        return WHOLE if sum_of(path).startswith(named.sum) else CHANGED
    except OSError:
        return MISSING


def whole_file(named: Named, folders: Iterable[Path]) -> tuple[Path, str] | None:
    """The first of these folders' files of that name whose bytes are what they were, and its sum; or None."""
    for folder in folders:
        path = kept_path(folder, named.name)
        if path is not None:
            with suppress(OSError):
                digest = sum_of(path)
                if digest.startswith(named.sum):
                    return path, digest
    return None


def put_in_folder(
    wanted: Iterable[Named], sources: Iterable[Path], folder: Path, work: Path, *, by_size: bool = False,
    told: Callable[[int], None] | None = None, take_back: bool = False,
) -> list[str]:  # fmt: skip
    """Copy the named files into a folder, each once and whole before it has its name; tell which could not be found.

    A file that lies there already and is whole is left alone. One that changed is replaced only by a whole one.

    Args:
        sources: folders to take them from, the first that has a whole one serves.
        work: a workplace on the same disk as `folder`.
        by_size: take a file that is there and as large as its source for whole without reading it: every evening's
            backup cannot read gigabytes of photos again. A look over the firm reads them.
        told: called with the bytes done since the last call; what it raises stops the work.
        take_back: when it ends early, remove what it put where nothing was before.

    Returns:
        the names that no source has whole.

    Raises:
        OSError: the disk is full or read-only.
    """
    before = {entry.name for entry in os.scandir(folder)} if take_back and folder.is_dir() else set()
    fresh: list[str] = []
    try:
        return _put(wanted, list(sources), folder, work, by_size, told or _nobody, fresh)
    except BaseException:
        if take_back:
            for name in [name for name in fresh if name not in before]:
                with suppress(OSError):
                    (folder / name).unlink()
            with suppress(OSError):
                folder.rmdir()  # only when nothing is in it
        raise


def _nobody(_count: int) -> None:
    pass


def _put(
    wanted: Iterable[Named], sources: list[Path], folder: Path, work: Path, by_size: bool,
    told: Callable[[int], None], fresh: list[str],
) -> list[str]:  # fmt: skip
    """As `put_in_folder`; `fresh` is given the name of each file as it is put."""
    lacking: list[str] = []
    made = False
    for named in wanted:
        told(0)
        if named.sum and ((by_size and _as_large(named, sources, folder)) or state_of(folder, named) == WHOLE):
            continue
        found = whole_file(named, sources)
        if found is None:
            if named.sum or state_of(folder, named) == MISSING:
                lacking.append(named.name)
            continue
        source = found[0]
        if not named.sum and _same(source, kept_path(folder, named.name)):
            continue
        if not made:
            make_private_folder(folder)
            made = True
        half = work / "half-copied"
        copy_whole(source, half, named.sum, told)
        os.replace(half, folder / named.name)
        fresh.append(named.name)
    if made:
        sync_folder(folder)
    return lacking


def _as_large(named: Named, sources: Iterable[Path], folder: Path) -> bool:
    there = kept_path(folder, named.name)
    source = next((path for place in sources if (path := kept_path(place, named.name)) is not None), None)
    try:
        return there is not None and source is not None and there.stat().st_size == source.stat().st_size
    except OSError:
        return False


def _same(one: Path, other: Path | None) -> bool:
    return other is not None and one.stat().st_size == other.stat().st_size and sum_of(one) == sum_of(other)


def copy_whole(
    source: Path, target: Path, wanted: str = "", told: Callable[[int], None] | None = None
) -> str:
    """Copy a file for its owner alone, on the disk before it returns, read again and compared; return its sum.

    Raises:
        OSError: it could not be written, or reads back as something else.
    """
    read = hashlib.sha256()
    handle = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, OWNER_ONLY)
    try:
        with os.fdopen(handle, "wb") as out, source.open("rb") as file:
            while block := file.read(_BLOCK):
                read.update(block)
                out.write(block)
                if told is not None:
                    told(len(block))
            out.flush()
            os.fsync(out.fileno())
        digest = read.hexdigest()
        if not digest.startswith(wanted) or sum_of(target) != digest:
            raise OSError(f"{source.name} does not read back as it was written")
    except BaseException:
        with suppress(OSError):
            target.unlink()
        raise
    hide_from_others(target)
    return digest
