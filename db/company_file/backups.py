"""Backups beside the company file: whole, taken while it is in use, checked, and thinned out on their own."""

from __future__ import annotations

import os
import re
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from db.company_file.backup_notes import Note, clear_lonely_notes, note_path, read_note, write_note
from db.company_file.company import Company
from db.company_file.connection import connect
from db.company_file.copying import finished_copy, working_in
from db.company_file.examine import full_path, must_be_ours
from db.company_file.files import make_private_folder, put_without_overwriting, sync_folder
from db.company_file.how_far import Progress, bytes_of, counted, told_nobody
from db.company_file.kept import files_to_keep, kept_path, put_in_folder, sum_of
from db.company_file.places import SUFFIX, backup_folder, photo_folder, store_folder
from db.company_file.problems import AlreadyThere, CompanyProblem
from db.company_file.table_sums import state_of_journal, table_sums
from db.company_file.thinning import KEPT, to_let_go

ROLLING = "rolling"
BY_HAND = "by hand"
BEFORE_UPDATE = "before update"
BEFORE_RESTORE = "before restore"

_NAME = re.compile(
    r"(?P<at>\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d)(?: \((?P<again>\d+)\))? "
    rf"(?P<kind>{ROLLING}|{BY_HAND}|{BEFORE_UPDATE}|{BEFORE_RESTORE}){re.escape(SUFFIX)}"
)
STAMP = "%Y-%m-%d %H.%M.%S"
_SAME_SECOND = 1000
_LOOKED_AT_UP_TO = 12 * 2**20
"""Bytes of a firm whose rows are compared with journal and sums at every rolling backup (0.5 s for 3 MB)."""


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup in the company's own folder.

    Attributes:
        made_at: local wall time, as the clock of that evening told it.
        size: bytes of the file itself, without photos and papers.
        kind: rolling, by hand, before update or before restore.
        order: higher means made later, 0 when an earlier version of the program made it.
        papers: how many photos and papers belong to it.
        missing: the names of those that could not be found when it was made.
    """

    path: Path
    made_at: datetime
    size: int
    kind: str
    order: int = 0
    papers: int = 0
    missing: tuple[str, ...] = ()


def list_backups(path: Path | str) -> list[Backup]:
    """The company's backups, the one made last first; the company file itself may be gone."""
    folder = backup_folder(full_path(path))
    found: list[tuple[int, datetime, int, Backup]] = []
    with suppress(OSError):
        for entry in os.scandir(folder):
            name = _NAME.fullmatch(entry.name)
            if name and entry.is_file():
                with suppress(ValueError):  # digits that are no day
                    made_at = datetime.strptime(name["at"], STAMP).astimezone()
                    note = read_note(Path(entry.path)) or Note(0, "", "", {})
                    backup = Backup(
                        Path(entry.path), made_at, entry.stat().st_size, name["kind"], note.order,
                        len(note.files) - len(note.missing), note.missing,
                    )  # fmt: skip
                    found.append((note.order, made_at, int(name["again"] or 1), backup))
    return [one[-1] for one in sorted(found, key=lambda one: one[:3], reverse=True)]


def back_up(
    company: Company | Path | str,
    folder: Path | str | None = None,
    password: str | None = None,
    progress: Progress | None = None,
) -> Path:
    """Write one whole, checked backup now, also while the company is open in a window.

    Args:
        company: the open company, or the path of its file.
        folder: an existing folder of the owner's, which gets one file with everything in it; None: the company's
            own. Such backups are never thinned out.
        password: only with a folder: encrypt the backup; without this password nobody can read it.
        progress: called with (bytes done, of) while photos and papers are copied, or while a backup into a folder
            is written and read again; what it raises stops it, and no backup of it is left.

    Returns:
        the backup: beside the company a company file like any other, in a folder one file to take along.

    Raises:
        CompanyProblem: the file is not a whole company file, or the folder is missing, read-only or full.
    """
    if isinstance(company, Company):
        path, made_at, opened = company.path, company.now(), company
    else:
        path, made_at, opened = full_path(company), datetime.now().astimezone(), None
        must_be_ours(path, for_work=False)
    if folder is not None:
        from db.company_file.elsewhere import back_up_elsewhere

        return back_up_elsewhere(path, full_path(folder), made_at, opened, password, progress).path
    return _write(path, made_at, BY_HAND, opened, progress or told_nobody)


def back_up_if_changed(company: Company) -> Path | None:
    """Make the rolling backup when something changed since the last backup, then thin out the old ones.

    A disk that cannot take a backup is no reason not to work: the trouble is kept in `company.backup_problem`.

    Returns:
        the new backup, None when nothing had changed or it could not be made.
    """
    from db.company_file.elsewhere import clear_elsewhere

    company.backup_problem = None
    clear_elsewhere(company.path)
    try:
        newest = next(iter(list_backups(company.path)), None)
        if newest is not None and _state_of(newest.path) == _state(company):
            _keep_new_papers(company)
            return None
        made = _write(company.path, company.now(), ROLLING, company)
        company.changed_by_itself = _look_at(made)
        thin_out(company.path)
    except CompanyProblem as problem:
        company.backup_problem = problem
        return None
    return made


def _look_at(made: Path) -> tuple[str, ...]:
    """What changed by itself before this backup was made; larger firms are looked at by `check` alone."""
    from db.company_file.checking import changed_by_itself
    from db.company_file.verdict import TROUBLES

    with suppress(OSError, *TROUBLES):  # a value that cannot be read is told where it is shown, and by `check`
        if made.stat().st_size <= _LOOKED_AT_UP_TO:
            with closing(connect(made, "immutable")) as conn:
                return tuple(changed_by_itself(conn))
    return ()


def automatic_backup(path: Path, made_at: datetime, kind: str, progress: Progress = told_nobody) -> Path:
    """The backup before something that changes the whole file; the ten newest of its kind are kept.

    Raises:
        CompanyProblem: it could not be made.
    """
    made = _write(path, made_at, kind, None, progress)
    for backup in [backup for backup in list_backups(path) if backup.kind == kind][KEPT:]:
        _delete(backup.path)
    return made


def thin_out(path: Path) -> None:
    """Of the rolling backups keep the ten made last and the last of each month, see `thinning`."""
    made = [backup for backup in reversed(list_backups(path)) if backup.kind == ROLLING]
    for backup in to_let_go(made):
        _delete(backup.path)


def _write(
    path: Path, made_at: datetime, kind: str, company: Company | None = None, progress: Progress = told_nobody
) -> Path:
    place = backup_folder(path)
    with suppress(OSError):
        make_private_folder(place)
    with working_in(place, "The backup") as work:
        clear_lonely_notes(place)
        fresh = work / f"firm{SUFFIX}"
        finished_copy(path, fresh, company)
        note = _papers_and_sums(path, fresh, work, progress)
        for number in range(1, _SAME_SECOND):
            again = f" ({number})" if number > 1 else ""
            stem = f"{made_at.strftime(STAMP)}{again}"
            if any(place.glob(f"{stem} *")):
                continue  # of this very second, of whatever kind
            target = place / f"{stem} {kind}{SUFFIX}"
            with suppress(AlreadyThere):
                write_note(target, note, work)
                put_without_overwriting(fresh, target)
                return target
    raise AlreadyThere(path, "There are too many backups of this very second.", "Wait a moment, then try again.")


def _papers_and_sums(path: Path, fresh: Path, work: Path, progress: Progress) -> Note:
    with closing(connect(fresh, "immutable")) as conn:
        kept = files_to_keep(conn, photo_folder(path))
        journal, sums = state_of_journal(conn), table_sums(conn)
    photos, store = photo_folder(path), store_folder(path)
    lacking = [one for one in kept if kept_path(store, one.name) is None]
    told = counted(progress, bytes_of(lacking, [photos]))
    missing = put_in_folder(kept, [photos], store, work, by_size=True, told=told)
    return Note(
        order=1 + max((backup.order for backup in list_backups(path)), default=0),
        sha256=sum_of(fresh), journal=journal, sums=sums,
        files=tuple(one.name for one in kept), missing=tuple(missing),
    )  # fmt: skip


def _keep_new_papers(company: Company) -> None:
    """Nothing was edited, but a paper may have come back that a backup lacked, or an earlier copy failed."""
    photos, store = photo_folder(company.path), store_folder(company.path)
    with company.raw() as conn:
        lacking = [
            one for one in files_to_keep(conn, photos)
            if (photos / one.name).is_file() and not (store / one.name).is_file()
        ]  # fmt: skip
    if lacking:
        with working_in(backup_folder(company.path), "The backup of photos and papers") as work:
            put_in_folder(lacking, [photos], store, work)


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
    for one in (path, note_path(path)):
        with suppress(OSError):
            one.unlink()
    sync_folder(path.parent)
