"""Keeps a file nobody can work in, and its log, byte for byte, before anything else is tried."""

from __future__ import annotations

import filecmp
import re
import shutil
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from db.company_file.files import hide_from_others, make_private_folder, sync_file, sync_folder
from db.company_file.places import SUFFIX, backup_folder, side_files
from db.company_file.problems import cannot_write, disk_full

_STAMP = "%Y-%m-%d %H.%M.%S"
_KEPT_NAME = re.compile(rf"(\d{{4}}-\d\d-\d\d \d\d\.\d\d\.\d\d) damaged(?: \(\d+\))?{re.escape(SUFFIX)}")


def keep_aside(path: Path, now: datetime) -> Path:
    """A copy of the file and its log, byte for byte, among the backups; none is made when the same is there already.

    Raises:
        ReadOnly: the folder cannot be written.
        DiskFull: there is no room; nothing was done.
    """
    folder = backup_folder(path)
    pieces = [(path, "")] if path.exists() else []  # of a file that is gone the log may be there
    pieces += [(side, side.name.removeprefix(path.name)) for side in _written(path)]
    try:
        make_private_folder(folder)
        for older in sorted(folder.glob(f"* damaged*{path.suffix}"), reverse=True)[:3]:
            if pieces and all(_same(piece, older.with_name(older.name + ending)) for piece, ending in pieces):
                return older
        kept = _free_name(folder, f"{now.strftime(_STAMP)} damaged", path.suffix)
        for piece, ending in pieces:
            copy = kept.with_name(kept.name + ending)
            shutil.copy2(piece, copy)
            hide_from_others(copy)
            sync_file(copy)  # the file itself is about to be replaced
        sync_folder(folder)
    except PermissionError as error:
        raise cannot_write(path) from error
    except OSError as error:
        raise disk_full(path) from error
    return kept


@dataclass(frozen=True, slots=True)
class KeptAside:
    """A firm's file nobody could work in, kept byte for byte with its log.

    Attributes:
        kept_at: local wall time, as its name tells it.
        size: bytes, its log included.
    """

    path: Path
    kept_at: datetime
    size: int


def list_kept_aside(path: Path) -> list[KeptAside]:
    """The copies kept aside of this firm, the newest first; none is ever removed but by the owner."""
    found = []
    with suppress(OSError):
        for entry in backup_folder(path).iterdir():
            if (name := _KEPT_NAME.fullmatch(entry.name)) and entry.is_file() and not entry.is_symlink():
                with suppress(ValueError, OSError):
                    size = sum(piece.stat().st_size for piece in (entry, *_written(entry)))
                    found.append(KeptAside(entry, datetime.strptime(name[1], _STAMP).astimezone(), size))
    return sorted(found, key=lambda one: one.path.name, reverse=True)


def throw_away(kept: KeptAside) -> None:
    """Delete a copy kept aside, and its log.

    Raises:
        ReadOnly: it cannot be deleted.
    """
    try:
        for piece in (*side_files(kept.path), kept.path):
            piece.unlink(missing_ok=True)
    except OSError as error:
        raise cannot_write(kept.path) from error
    sync_folder(kept.path.parent)


def _written(path: Path) -> list[Path]:
    wal, _, journal = side_files(path)
    return [side for side in (wal, journal) if side.exists()]


def _same(piece: Path, copy: Path) -> bool:
    with suppress(OSError):
        return filecmp.cmp(piece, copy, shallow=False)
    return False


def _free_name(folder: Path, stem: str, suffix: str) -> Path:
    for number in range(1, 1000):
        candidate = folder / f"{stem}{'' if number == 1 else f' ({number})'}{suffix}"
        if not candidate.exists():
            return candidate
    raise OSError("no free name")
