"""A finished copy of a company file, checked page by page; and what can go wrong with a disk, in words."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from db.company_file.company import Company
from db.company_file.connection import connect
from db.company_file.files import make_private, sync_file
from db.company_file.problems import BROKEN, CompanyProblem, DiskFull, Missing, ReadOnly, damaged, problem_of
from db.company_file.readable import readable
from db.company_file.workplace import clear_left_behind, workplace

_REFUSED = {errno.EACCES, errno.EPERM, errno.EROFS}


@contextmanager
def working_in(folder: Path, what: str) -> Iterator[Path]:
    """A workplace in a folder, cleared of what killed makers left there; a disk's complaint comes out in words.

    Args:
        what: what is being written, as a sentence begins: "The backup".

    Raises:
        CompanyProblem: the folder is missing, read-only or full; nothing is left behind in it.
    """
    if not folder.is_dir():
        raise Missing(folder, f"The folder “{folder}” is not there.", "Connect its drive or choose another folder.")
    clear_left_behind([folder])
    try:
        with workplace(folder) as work:
            yield work
    except OSError as error:
        raise write_problem(error, folder, what) from error


def write_problem(error: OSError, folder: Path, what: str) -> CompanyProblem:
    """Why something could not be written into a folder."""
    if error.errno in _REFUSED:
        return ReadOnly(
            folder, f"{what} was not made: the folder “{folder}” cannot be written.", "Choose a folder of your own."
        )
    if error.errno == errno.ENOENT and not folder.is_dir():
        return Missing(
            folder, f"{what} was not made: the folder “{folder}” is gone.", "Connect its drive and try again."
        )
    return DiskFull(
        folder, f"{what} was not made: the disk of “{folder}” is full or does not answer.",
        "Your work is safe where it is. Free some space or choose another disk, then try again.",
    )  # fmt: skip


def finished_copy(path: Path, fresh: Path, company: Company | None = None) -> None:
    """Write a whole, checked copy of a company file, its log included, also while others write it.

    Args:
        path: the company file.
        fresh: the copy, a new file in a workplace.
        company: the same company where it is open.

    Raises:
        CompanyProblem: the company's file cannot be read or does not hold together, or the disk is full.
        OSError: the copy could not be written.
    """
    make_private(fresh)
    try:
        if company is not None:
            with company.raw() as source:
                _copy_pages(source, fresh)
        else:
            with readable(path) as (place, mode), closing(connect(place, mode)) as source:
                _copy_pages(source, fresh)
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
            raise OSError(errno.ENOSPC, str(error)) from error
        broken = code in BROKEN  # then it is the company that could not be read
        raise problem_of(error, path if broken else fresh) or damaged(path, str(error)) from error
    sync_file(fresh)


def _copy_pages(source: sqlite3.Connection, fresh: Path) -> None:
    with closing(connect(fresh)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file on its own, with nothing beside it
        finding = str(copy.execute("PRAGMA quick_check(1)").fetchone()[0])
        if finding != "ok":
            raise damaged(fresh, finding)
        copy.execute("SELECT version_num FROM alembic_version").fetchone()
