"""Put a backup in the company file's place, after keeping what was there."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from db.company_file.backups import BEFORE_RESTORE, automatic_backup, finished_copy
from db.company_file.connection import connect
from db.company_file.examine import full_path, looking_mode, must_be_ours, revision_of, whole_problem
from db.company_file.files import hide_from_others, make_private_folder, sync_folder
from db.company_file.lock import hold
from db.company_file.places import backup_folder, side_files
from db.company_file.problems import NotOurs, cannot_write, disk_full, open_elsewhere, problem_of


def restore(path: Path | str, backup: Path | str) -> Path | None:
    """Make the company file what it was when the backup was made. Close the company first.

    Args:
        path: the company file; it may be damaged or missing.
        backup: a backup, or any company file.

    Returns:
        the safety copy of what was there, made first; None when there was nothing.

    Raises:
        OpenElsewhere: the company is open in some window.
        CompanyProblem: the backup cannot be used, or nothing could be written; the company is as it was.
    """
    path, source = full_path(path), full_path(backup)
    must_be_ours(source, for_work=False)
    revision_of(source, held=False)
    if not path.exists():
        put_in_place(finished_copy(source, path), path)
        return None
    problem = whole_problem(path)
    if isinstance(problem, NotOurs):
        raise problem
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise cannot_write(path)
    let_go = hold(path)
    try:
        now = datetime.now().astimezone()
        if problem is None:
            safety = automatic_backup(path, now, BEFORE_RESTORE)
            pour(source, path)
        else:
            safety = _keep_as_it_is(path, now)
            _replace(finished_copy(source, path), path)
        return safety
    finally:
        let_go()


def pour(source: Path, path: Path) -> None:
    """Write a whole file's content over another sound one in one transaction, also while others read it.

    Raises:
        CompanyProblem: the disk is full or held; the file is as it was.
    """
    try:
        with closing(connect(source, looking_mode(source, held=False))) as full, closing(connect(path)) as old:
            full.backup(old)
    except sqlite3.Error as error:
        raise problem_of(error, path) or error from error


def put_in_place(fresh: Path, path: Path) -> None:
    """Give a finished file the name of another that nobody has open, or of none.

    Raises:
        OpenElsewhere: someone has it open.
    """
    try:
        let_go = hold(path)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
    try:
        _replace(fresh, path)
    finally:
        let_go()


def _replace(fresh: Path, path: Path) -> None:
    try:
        for side in side_files(path):  # they belong to the file that goes: on the new one they would be poison
            side.unlink(missing_ok=True)
        os.replace(fresh, path)
    except OSError as error:
        with suppress(OSError):
            fresh.unlink()
        raise open_elsewhere(path) from error
    hide_from_others(path)
    sync_folder(path.parent)


def _keep_as_it_is(path: Path, now: datetime) -> Path:
    """A damaged file and its side files, byte for byte, for someone who may still get something out of them."""
    folder = backup_folder(path)
    try:
        make_private_folder(folder)
        kept = folder / f"{now:%Y-%m-%d %H.%M.%S} damaged{path.suffix}"
        for piece, copy in ((path, kept), *zip(side_files(path), side_files(kept), strict=True)):
            if piece.exists():
                shutil.copy2(piece, copy)
                hide_from_others(copy)
    except OSError as error:
        raise disk_full(path) from error
    return kept
