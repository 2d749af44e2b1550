"""Is it a company file of ours, whole, and of a version we know? Asked before anything is touched."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from db.company_file.connection import APPLICATION_ID, Mode, connect
from db.company_file.places import side_files
from db.company_file.problems import (
    CompanyProblem,
    Missing,
    NotOurs,
    ReadOnly,
    TooNew,
    cannot_write,
    damaged,
    problem_of,
)
from db.migrations import REVISIONS


def full_path(path: Path | str) -> Path:
    """The one name of a file, however it was reached, so that two names of it meet one lock."""
    return Path(path).expanduser().resolve()


def must_be_ours(path: Path, *, for_work: bool) -> None:
    """Look at the file's place, kind and mark; nothing is written, not even beside it.

    Args:
        for_work: it is going to be written, so file and folder must allow that.

    Raises:
        CompanyProblem: Missing, NotOurs, Damaged or ReadOnly, with what to do.
    """
    _must_be_a_file(path)
    if not os.access(path, os.R_OK):
        raise ReadOnly(path, f"“{path.name}” may not be read by you.", "Ask its owner for access, or sign in as them.")
    if for_work and not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK | os.X_OK)):
        raise cannot_write(path)
    if path.stat().st_size == 0:
        raise damaged(path, "it is empty, 0 bytes")
    try:
        with closing(connect(path, "immutable")) as conn:
            mark = conn.execute("PRAGMA application_id").fetchone()[0]
            conn.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_NOTADB:
            raise NotOurs(
                path, f"“{path.name}” is not a company file.", "Choose a file whose name ends in .riserbook."
            ) from error
        raise problem_of(error, path) or damaged(path) from error
    if mark != APPLICATION_ID:
        raise NotOurs(
            path,
            f"“{path.name}” is a database, but not a company file.",
            "It belongs to some other program. Choose a file whose name ends in .riserbook.",
        )


def _must_be_a_file(path: Path) -> None:
    if not path.parent.is_dir():
        raise Missing(
            path,
            f"The folder “{path.parent}” is not there.",
            "If it is on a stick or a network drive, connect it first; else choose the file where it is now.",
        )
    if path.is_dir():
        raise NotOurs(path, f"“{path.name}” is a folder.", "Choose the company file inside it.")
    if not path.exists():
        raise Missing(
            path,
            f"There is no file “{path.name}” in “{path.parent}”.",
            "It may have been moved or renamed: choose it where it is now, or restore a backup.",
        )
    if not path.is_file():
        raise NotOurs(path, f"“{path.name}” is not a file.", "Choose a file whose name ends in .riserbook.")


def looking_mode(path: Path, *, held: bool) -> Mode:
    """The gentlest way to read the file as it stands now.

    Args:
        held: we hold its lock, so nobody else is about to write it.
    """
    wal, shm, journal = (side.exists() for side in side_files(path))
    can_write = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK | os.X_OK)
    if journal and can_write:
        return "rw"  # a step was cut short: only a writer may put the file back in order
    if wal or shm:
        return "ro"
    return "immutable" if held or not can_write else "rw"


def revision_of(path: Path, *, held: bool) -> str:
    """The schema's revision, after the file's pages were found to hold together.

    Args:
        held: we hold the file's lock.

    Raises:
        CompanyProblem: Damaged, or TooNew when no revision of ours has that name.
    """
    try:
        with closing(connect(path, looking_mode(path, held=held))) as conn:
            conn.execute("PRAGMA query_only=ON")
            finding = str(conn.execute("PRAGMA quick_check(1)").fetchone()[0])
            if finding != "ok":
                raise damaged(path, finding.splitlines()[-1])
            rows = conn.execute("SELECT version_num FROM alembic_version").fetchall()
    except sqlite3.Error as error:
        raise problem_of(error, path) or damaged(path, str(error)) from error
    if len(rows) != 1:
        raise damaged(path, "its version is not written in it")
    return known(path, str(rows[0][0]))


def known(path: Path, revision: str) -> str:
    """The revision itself when this program knows it.

    Raises:
        TooNew: it does not.
    """
    if revision not in REVISIONS:
        raise TooNew(
            path,
            f"“{path.name}” was last used with a newer version of Riserbook.",
            "Install the newest version on this computer, then open it again. The file was not changed.",
        )
    return revision


def whole_problem(path: Path) -> CompanyProblem | None:
    """What keeps the file from being used as a company file, None when nothing does; it is not changed."""
    try:
        must_be_ours(path, for_work=False)
        revision_of(path, held=False)
    except CompanyProblem as problem:
        return problem
    return None
