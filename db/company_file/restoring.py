"""Put a backup in the company file's place, with its photos and papers, after keeping what was there."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from db.company_file.aftermath import leave_word
from db.company_file.backup_notes import read_note
from db.company_file.backups import BEFORE_RESTORE, automatic_backup
from db.company_file.connection import connect
from db.company_file.container import is_container, open_container
from db.company_file.copying import finished_copy, working_in
from db.company_file.examine import full_path, looking_mode, must_be_ours, revision_of, whole_problem
from db.company_file.files import hide_from_others, sync_folder
from db.company_file.how_far import PARTS, Progress, bytes_of, counted, stretch, told_nobody
from db.company_file.keeping_aside import keep_aside
from db.company_file.kept import Named, is_our_name, kept_path, named_files, put_in_folder, sum_in_name
from db.company_file.lock import hold
from db.company_file.places import SUFFIX, photo_folder, side_files, store_folder
from db.company_file.problems import NotOurs, cannot_write, open_elsewhere, problem_of
from domain.dates import format_moment


def restore(
    path: Path | str,
    backup: Path | str,
    password: str | None = None,
    progress: Progress | None = None,
) -> Path | None:
    """Make the company file what it was when the backup was made. Close the company first.

    Photos and papers come first, each whole or not at all, and the company file last: so a restore that is cut
    short leaves the company as it was.

    Args:
        path: the company file; it may be damaged or missing.
        backup: a backup from elsewhere, one of the company's own, or any company file.
        password: of a backup that is under one.
        progress: called with (done, of); what it raises stops the restore, which then has changed nothing. It is
            not asked any more once the firm itself is being put in place.

    Returns:
        the safety copy of what was there, made first; None when there was nothing.

    Raises:
        OpenElsewhere: the company is open in some window.
        CompanyProblem: the backup cannot be used, or nothing could be written; the company is as it was.
    """
    path, source, tell = full_path(path), full_path(backup), progress or told_nobody
    container = is_container(source)
    if not container:
        must_be_ours(source, for_work=False)
        revision_of(source, held=False)
    problem = whole_problem(path) if path.exists() else None
    if isinstance(problem, NotOurs):
        raise problem
    if path.parent.is_dir() and not os.access(path.parent, os.W_OK | os.X_OK):
        raise cannot_write(path)
    with working_in(path.parent, "The restored file") as work:
        fresh = work / f"firm{SUFFIX}"
        if container:
            _unpack(source, password, fresh, work, stretch(tell, 0, 500))
            must_be_ours(fresh, for_work=False)
            revision_of(fresh, held=True)
        else:
            finished_copy(source, fresh)
        let_go = hold(path)
        try:
            safety = None
            if path.exists():
                now = datetime.now().astimezone()
                if problem is None:
                    safety = automatic_backup(path, now, BEFORE_RESTORE, stretch(tell, 500, 700))
                else:
                    safety = keep_aside(path, now)
            _put_papers(path, source, fresh, work, stretch(tell, 700, PARTS))
            if safety is not None and problem is None:
                pour(fresh, path)
            else:
                _replace(fresh, path)
            if safety is not None:
                leave_word(path, _to_be_told(source, safety))
            return safety
        finally:
            let_go()


def _to_be_told(source: Path, safety: Path) -> list[str]:
    return [
        f"This firm was restored on {format_moment(datetime.now())} from “{source.name}”.",
        f"What was there before is kept as “{safety.name}” in “{safety.parent}”.",
    ]


def _unpack(source: Path, password: str | None, fresh: Path, work: Path, progress: Progress) -> None:
    papers = work / "papers"
    papers.mkdir(mode=0o700)
    with open_container(source, password) as container:
        contents = container.contents
        told = counted(progress, contents.size)
        wanted = {piece.name: papers / piece.name for piece in contents.papers if is_our_name(piece.name)}
        container.read(
            lambda piece: fresh if piece is contents.database else wanted.get(piece.name), told
        )


def _put_papers(path: Path, source: Path, fresh: Path, work: Path, progress: Progress) -> None:
    """What the restored file names, and what else was backed up with it; nothing that is there and whole is touched."""
    photos = photo_folder(path)
    sources = [work / "papers", photo_folder(source), source.parent / store_folder(path).name, store_folder(path)]
    with closing(connect(fresh, "immutable")) as conn:
        wanted = {named.name: named for named in named_files(conn)}
    note = read_note(source)
    others = set(note.files) if note is not None else set()
    with suppress(OSError):
        others |= {entry.name for entry in os.scandir(work / "papers")}
    if note is None and photo_folder(source) != photos:
        with suppress(OSError):
            others |= {entry.name for entry in os.scandir(photo_folder(source))}
    for name in others - wanted.keys():
        if not (photos / name).exists():  # the owner's own file of that name stays as it is
            wanted[name] = Named(name, "other", sum_in_name(name))
    lacking = [one for one in wanted.values() if kept_path(photos, one.name) is None]
    told = counted(progress, bytes_of(lacking, sources))
    put_in_folder(sorted(wanted.values()), sources, photos, work, told=told, take_back=True)


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
    let_go = hold(path)
    try:
        _replace(fresh, path)
    finally:
        let_go()


def _replace(fresh: Path, path: Path) -> None:
    try:
        for side in side_files(path):  # they belong to the file that goes: on the new one they would be poison
            side.unlink(missing_ok=True)
        sync_folder(path.parent)
        os.replace(fresh, path)
    except OSError as error:
        raise open_elsewhere(path) from error
    hide_from_others(path)
    sync_folder(path.parent)
