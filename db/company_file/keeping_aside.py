"""Keeps a file nobody can work in, and its log, byte for byte, before anything else is tried."""

from __future__ import annotations

import filecmp
import shutil
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from db.company_file.files import hide_from_others, make_private_folder, sync_file, sync_folder
from db.company_file.places import backup_folder, side_files
from db.company_file.problems import cannot_write, disk_full


def keep_aside(path: Path, now: datetime) -> Path:
    """A copy of the file and its log, byte for byte, among the backups; none is made when the same is there already.

    Raises:
        ReadOnly: the folder cannot be written.
        DiskFull: there is no room; nothing was done.
    """
    folder = backup_folder(path)
    pieces = [(path, ""), *((side, side.name.removeprefix(path.name)) for side in _written(path))]
    try:
        make_private_folder(folder)
        for older in sorted(folder.glob(f"* damaged*{path.suffix}"), reverse=True)[:3]:
            if all(_same(piece, older.with_name(older.name + ending)) for piece, ending in pieces):
                return older
        kept = _free_name(folder, f"{now:%Y-%m-%d %H.%M.%S} damaged", path.suffix)
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
