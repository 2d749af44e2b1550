"""Backups beside the company file: taken while it is in use, checked, and thinned out on their own."""

from __future__ import annotations

import glob
import os
import re
import secrets
import shutil
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from db.company_file.company import Company
from db.company_file.connection import connect
from db.company_file.examine import full_path, looking_mode, must_be_ours
from db.company_file.files import make_private, make_private_folder, put_without_overwriting, sync_folder
from db.company_file.places import SUFFIX, backup_folder, photo_folder, side_files
from db.company_file.problems import BROKEN, AlreadyThere, CompanyProblem, Missing, damaged, disk_full, problem_of

ROLLING = "rolling"
BY_HAND = "by hand"
BEFORE_UPDATE = "before update"
BEFORE_RESTORE = "before restore"
KEPT = 10
"""How many of the newest rolling backups are kept; older ones stay as one a month, the month's last."""

_NAME = re.compile(
    r"(?P<at>\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d)(?: \((?P<again>\d+)\))? "
    rf"(?P<kind>{ROLLING}|{BY_HAND}|{BEFORE_UPDATE}|{BEFORE_RESTORE}){re.escape(SUFFIX)}"
)
_STAMP = "%Y-%m-%d %H.%M.%S"


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup in the company's own folder.

    Attributes:
        made_at: local wall time.
        size: bytes.
        kind: rolling, by hand, before update or before restore.
    """

    path: Path
    made_at: datetime
    size: int
    kind: str


def list_backups(path: Path | str) -> list[Backup]:
    """The company's backups, newest first; the company file itself may be gone."""
    folder = backup_folder(full_path(path))
    found: list[tuple[datetime, int, Backup]] = []
    with suppress(OSError):
        for entry in os.scandir(folder):
            name = _NAME.fullmatch(entry.name)
            if name and entry.is_file():
                made_at = datetime.strptime(name["at"], _STAMP).astimezone()
                backup = Backup(Path(entry.path), made_at, entry.stat().st_size, name["kind"])
                found.append((made_at, int(name["again"] or 1), backup))
    return [backup for _, _, backup in sorted(found, key=lambda one: one[:2], reverse=True)]


def back_up(company: Company | Path | str, folder: Path | str | None = None) -> Path:
    """Write one checked backup now, also while the company is open in a window.

    Args:
        company: the open company, or the path of its file.
        folder: an existing folder of the owner's; None: the company's own. Such backups are never thinned out.

    Returns:
        the backup, a company file like any other.

    Raises:
        CompanyProblem: the file is not a whole company file, or the folder is missing, read-only or full.
    """
    if isinstance(company, Company):
        return _write(company.path, folder, company.now(), BY_HAND, company)
    path = full_path(company)
    must_be_ours(path, for_work=False)
    return _write(path, folder, datetime.now().astimezone(), BY_HAND)


def back_up_if_changed(company: Company) -> Path | None:
    """Make the rolling backup when something changed since the last backup, then thin out the old ones.

    A disk that cannot take a backup is no reason not to work: the trouble is kept in `company.backup_problem`.

    Returns:
        the new backup, None when nothing had changed or it could not be made.
    """
    company.backup_problem = None
    try:
        newest = next(iter(list_backups(company.path)), None)
        if newest is not None and _state_of(newest.path) == _state(company):
            return None
        made = _write(company.path, None, company.now(), ROLLING, company)
        thin_out(company.path)
    except CompanyProblem as problem:
        company.backup_problem = problem
        return None
    return made


def automatic_backup(path: Path, made_at: datetime, kind: str) -> Path:
    """The backup before something that changes the whole file; the ten newest of its kind are kept.

    Raises:
        CompanyProblem: it could not be made.
    """
    made = _write(path, None, made_at, kind)
    for backup in [backup for backup in list_backups(path) if backup.kind == kind][KEPT:]:
        _delete(backup.path)
    return made


def thin_out(path: Path) -> None:
    """Of the rolling backups keep the ten newest and the last of each month."""
    months: set[tuple[int, int]] = set()
    for place, backup in enumerate(b for b in list_backups(path) if b.kind == ROLLING):
        month = (backup.made_at.year, backup.made_at.month)
        if place >= KEPT and month in months:
            _delete(backup.path)
        months.add(month)


def save_copy(company: Company, target: Path | str, *, replace: bool = False) -> Path:
    """Write the whole company, with its photos, under another name; the open one stays the open one.

    Args:
        target: the copy's path, in an existing folder.
        replace: write over a file that is there, after the owner agreed.

    Raises:
        AlreadyThere: the target exists and was not to be replaced, or is the company itself or open.
        CompanyProblem: the folder is missing, read-only or full.
    """
    target = full_path(target)
    if target == company.path and target.exists():
        raise AlreadyThere(target, "That is the company itself.", "Choose another name for the copy.")
    if target.exists() and not replace:
        raise AlreadyThere(target, f"“{target.name}” is already there.", "Choose another name for the copy.")
    fresh = finished_copy(company.path, target, company)
    if target.exists():
        from db.company_file.restoring import put_in_place

        put_in_place(fresh, target)
    else:
        put_without_overwriting(fresh, target)
    _copy_photos(company.path, target)
    return target


def _copy_photos(source: Path, target: Path) -> None:
    photos, wanted = photo_folder(source), photo_folder(target)
    if photos.is_dir() and photos != wanted:
        try:
            shutil.copytree(photos, wanted, dirs_exist_ok=True)
        except OSError as error:
            raise disk_full(target) from error


def _write(
    path: Path, folder: Path | str | None, made_at: datetime, kind: str, company: Company | None = None
) -> Path:
    if folder is None:
        place = backup_folder(path)
        with suppress(OSError):
            make_private_folder(place)
        prefix = ""
    else:
        place, prefix = full_path(folder), f"{path.stem} "
    stamp = made_at.strftime(_STAMP)
    for number in range(1, 1000):
        again = f" ({number})" if number > 1 else ""
        if any(place.glob(f"{glob.escape(f'{prefix}{stamp}{again}')} *")):
            continue  # of this very second, of whatever kind
        target = place / f"{prefix}{stamp}{again} {kind}{SUFFIX}"
        fresh = finished_copy(path, target, company)
        with suppress(AlreadyThere):
            put_without_overwriting(fresh, target)
            return target
        fresh.unlink(missing_ok=True)
    raise AlreadyThere(path, "There are too many backups of this very second.", "Wait a moment, then try again.")


def finished_copy(path: Path, target: Path, company: Company | None = None) -> Path:
    """A finished, checked copy of the company beside the target, not yet under the target's name."""
    if not target.parent.is_dir():
        raise Missing(
            target, f"The folder “{target.parent}” is not there.", "Connect its drive or choose another folder."
        )
    fresh = target.with_name(f".{secrets.token_hex(6)}{SUFFIX}")
    try:
        make_private(fresh)
        if company is not None:
            with company.raw() as source:
                _copy_pages(source, fresh)
        else:
            with closing(connect(path, looking_mode(path, held=False))) as source:
                _copy_pages(source, fresh)
    except BaseException as error:
        for leftover in (fresh, *side_files(fresh)):
            with suppress(OSError):
                leftover.unlink()
        if isinstance(error, sqlite3.Error):
            broken = error.sqlite_errorcode & 0xFF in BROKEN  # then it is the company that could not be read
            raise problem_of(error, path if broken else target) or damaged(path, str(error)) from error
        if isinstance(error, OSError):
            raise disk_full(target) from error
        raise
    return fresh


def _copy_pages(source: sqlite3.Connection, fresh: Path) -> None:
    with closing(connect(fresh)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file on its own, with nothing beside it
        finding = str(copy.execute("PRAGMA quick_check(1)").fetchone()[0])
        if finding != "ok":
            raise damaged(fresh, finding)
        copy.execute("SELECT version_num FROM alembic_version").fetchone()
    with open(fresh, "rb+") as written:
        os.fsync(written.fileno())


def _state(company: Company) -> tuple[object, ...]:
    with company.raw() as conn:
        return _journal_state(conn)


def _state_of(backup: Path) -> tuple[object, ...] | None:
    try:
        with closing(connect(backup, "immutable")) as conn:
            return _journal_state(conn)
    except sqlite3.Error:
        return None


def _journal_state(conn: sqlite3.Connection) -> tuple[object, ...]:
    """Two files of one company in the same state have the same actions done and undone, at the same revision."""
    revision = conn.execute("SELECT version_num FROM alembic_version").fetchone()
    last = conn.execute("SELECT id, made_at FROM action ORDER BY id DESC LIMIT 1").fetchone()
    undone = conn.execute("SELECT count(*), total(id) FROM action WHERE undone").fetchone()
    return revision, last, undone


def _delete(path: Path) -> None:
    with suppress(OSError):
        path.unlink()
    sync_folder(path.parent)
