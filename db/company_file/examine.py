"""Is it a company file of ours, whole, and of a version we know? Asked before anything is touched."""

from __future__ import annotations

import os
import shlex
import sqlite3
from contextlib import closing
from pathlib import Path

from db.company_file.connection import APPLICATION_ID, connect
from db.company_file.container import is_container
from db.company_file.foreign import acting_things, missing_tables
from db.company_file.header import header_of
from db.company_file.neighbors import not_there, overwritten, was_a_firm
from db.company_file.places import SUFFIX, side_files
from db.company_file.problems import (
    CompanyProblem,
    Missing,
    NotOurs,
    ReadOnly,
    TooNew,
    cannot_read,
    cannot_write,
    damaged,
    foreign_rules,
    indexes_differ,
    not_found,
    problem_of,
    unsettled,
)
from db.company_file.readable import looking_mode, readable
from db.company_file.verdict import TROUBLES, is_broken, judge
from db.migrations import HEAD, REVISIONS

__all__ = ["full_path", "judged", "known", "looking_mode", "must_be_ours", "revision_of", "whole_problem"]

_INDEXES_LOOKED_AT_UP_TO = 24 * 2**20
"""Bytes: opening compares the indexes of a smaller file with their tables (30 ms for 3 MB); `check` always does."""


def full_path(path: Path | str) -> Path:
    """The one name of a file, however it was reached, so that two names of it meet one lock.

    Raises:
        CompanyProblem: the name leads round in a circle, or is none this system can have.
    """
    try:
        return Path(path).expanduser().resolve()
    except (OSError, RuntimeError, ValueError) as error:
        raise not_found(Path(path), error) from error


def must_be_ours(path: Path, *, for_work: bool) -> None:
    """Look at the file's place, kind and mark; nothing is written, not even beside it.

    The mark is read from the first bytes. Whether the rest holds together only SQLite can say, with the log.

    Args:
        for_work: it is going to be written, so file and folder must allow that.

    Raises:
        CompanyProblem: Missing, NotOurs, Damaged or ReadOnly, with what to do.
    """
    try:
        _must_be_a_file(path)
        if not os.access(path, os.R_OK):
            raise ReadOnly(
                path, f"“{path.name}” may not be read by you.", "Ask its owner for access, or sign in as them."
            )
        if for_work and not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK | os.X_OK)):
            raise cannot_write(path)
        header = header_of(path)
    except (OSError, ValueError) as error:
        raise not_found(path, error) from error
    if header.size == 0:
        raise damaged(path, "it is empty, 0 bytes")
    if header.is_ours:
        return
    if header.mark == APPLICATION_ID:
        raise damaged(path, "its first bytes are not those of a firm's file")
    if is_container(path):
        raise NotOurs(
            path, f"“{path.name}” is a backup, not a firm to work in.",
            "Restore it first: where it is restored to, a firm is made of it.",
            f"riserbook restore {shlex.quote(str(path))} FOLDER",
        )  # fmt: skip
    if not header.is_database:
        if was_a_firm(path):
            raise overwritten(path)
        raise NotOurs(path, f"“{path.name}” is not a firm's file.", _another(path))
    _ask_for_its_mark(path)


def _ask_for_its_mark(path: Path) -> None:
    """The first bytes name another program: the log may know better, and a bit of the mark may have turned over."""
    not_ours = NotOurs(
        path,
        f"“{path.name}” is a database, but not a firm's file.",
        f"It belongs to some other program. {_another(path)}",
    )
    if side_files(path)[2].exists():
        raise not_ours  # a step of another program, which only that program may finish or take back
    try:
        with closing(connect(path, looking_mode(path))) as conn:
            mark = conn.execute("PRAGMA application_id").fetchone()[0]
            tables = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    except TROUBLES as error:
        raise judged(path) if is_broken(error) else problem_of(error, path) or damaged(path) from error
    if mark == APPLICATION_ID:
        return
    if {"alembic_version", "company", "action", "change"} <= tables:
        raise damaged(path, "the mark of a firm's file in it is not as it was written")
    raise not_ours


def _another(path: Path) -> str:
    if path.suffix.lower() == SUFFIX:
        return "It only bears the name of one: choose another file, or a backup of the firm."
    return f"Choose a file whose name ends in {SUFFIX}."


def _must_be_a_file(path: Path) -> None:
    if not path.parent.is_dir():
        raise Missing(
            path,
            f"The folder “{path.parent}” is not there.",
            "If it is on a stick or a network drive, connect it first; else choose the file where it is now.",
        )
    if path.is_dir():
        raise NotOurs(path, f"“{path.name}” is a folder.", "Choose the firm's file inside it.")
    if not path.exists():
        raise not_there(path)
    if not path.is_file():
        raise NotOurs(path, f"“{path.name}” is not a file.", _another(path))


def revision_of(path: Path, *, held: bool, for_work: bool = False) -> str:
    """The schema's revision, after the file's pages were found to hold together.

    Args:
        held: we hold the file's lock.
        for_work: it is going to be written, so its indexes and its own rules must be right as well.

    Raises:
        CompanyProblem: Damaged; NeedsRecovery when only indexes or foreign rules are in the way; TooNew when no
            revision of ours has that name.
    """
    from db.company_file.lost_log import note_lost_log

    note_lost_log(path)  # the first question makes the index of the log anew
    try:
        with readable(path) as (place, mode), closing(connect(place, mode)) as conn:
            conn.execute("PRAGMA query_only=ON")
            verdict = judge(
                conn, most=1, with_indexes=for_work and path.stat().st_size <= _INDEXES_LOOKED_AT_UP_TO
            )
            if verdict.pages:
                raise damaged(path, verdict.pages[0])
            if verdict.indexes:
                raise indexes_differ(path)
            rows = conn.execute("SELECT version_num FROM alembic_version").fetchall()
            foreign = acting_things(conn) if for_work else []
            lacking = missing_tables(conn) if rows == [(HEAD,)] else []
    except TROUBLES as error:
        if is_broken(error):
            raise damaged(path, str(error)) from error  # said by the check on file and log
        if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_ERROR:
            raise damaged(path, "its version is not written in it") from error
        raise cannot_read(error, path) from error
    except OSError as error:
        raise not_found(path, error) from error
    if len(rows) != 1:
        raise damaged(path, "its version is not written in it")
    revision = known(path, str(rows[0][0]))
    if lacking:
        raise damaged(path, f"its table {lacking[0]} is missing")
    if foreign:
        raise foreign_rules(path, foreign)
    return revision


def known(path: Path, revision: str) -> str:
    """The revision itself when this program knows it.

    Raises:
        TooNew: it does not.
    """
    if revision not in REVISIONS:
        if not revision.isdigit():
            raise damaged(path, "its version is not written in it")
        raise TooNew(
            path,
            f"“{path.name}” was last used with a newer version of Riserbook.",
            "Install the newest version on this computer, then open it again. The file was not changed.",
        )
    return revision


def judged(path: Path) -> CompanyProblem:
    """What to tell when SQLite stumbled over the file: damaged only when its own check on file and log says so."""
    try:
        with readable(path) as (place, mode), closing(connect(place, mode)) as conn:
            conn.execute("PRAGMA query_only=ON")
            verdict = judge(conn, most=1, with_indexes=False)
    except TROUBLES as error:
        return damaged(path, str(error)) if is_broken(error) else cannot_read(error, path)
    if verdict.pages:
        return damaged(path, verdict.pages[0])
    return unsettled(path)


def whole_problem(path: Path) -> CompanyProblem | None:
    """What keeps the file from being used as a company file, None when nothing does; it is not changed."""
    try:
        must_be_ours(path, for_work=False)
        revision_of(path, held=False)
    except CompanyProblem as problem:
        return problem
    return None
