"""Make a company file, open it for work, or open it for reading only."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import ExitStack
from datetime import date, datetime
from pathlib import Path

from db.company_file.backups import back_up_if_changed
from db.company_file.clearing import clear_after_a_kill
from db.company_file.company import Company
from db.company_file.connection import APPLICATION_ID, engine_for
from db.company_file.copying import write_problem
from db.company_file.examine import full_path, must_be_ours, revision_of
from db.company_file.files import hide_from_others, make_private, put_without_overwriting
from db.company_file.lock import hold
from db.company_file.network import must_have_locks
from db.company_file.one_name import must_have_one_name
from db.company_file.problems import AlreadyThere, Missing, ReadOnly, TooOld, no_locks, not_found
from db.company_file.readable import readable
from db.company_file.row_sums import seal_within
from db.company_file.workplace import clear_left_behind, workplace
from db.edit import Edit
from db.migrations import HEAD


def _now() -> datetime:
    return datetime.now().astimezone()


def create_company(
    path: Path | str,
    name: str,
    owner_name: str,
    today: date,
    starter: bool = True,
    clock: Callable[[], datetime] = _now,
) -> Company:
    """Make a new company file and open it for work.

    The file appears under its name only when it is whole; nothing of the making can be undone.

    Args:
        path: where it is to lie; its folder exists.
        name: of the firm.
        owner_name: as it stands on proposals and in the log.
        today: the day its first rates start.
        starter: begin with the library of tasks, conditions and items; else with the firm's own row alone.
        clock: when things are done, for the journal.

    Raises:
        AlreadyThere: a file of that name exists.
        CompanyProblem: the folder is missing or cannot be written, or the disk is full.
    """
    path = full_path(path)
    must_be_free(path)
    try:
        with workplace(path.parent) as work:
            fresh = work / path.name
            make_private(fresh)
            _fill(fresh, name, owner_name, today, starter, clock)
            put_without_overwriting(fresh, path)
    except OSError as error:
        raise write_problem(error, path.parent, "The new firm") from error
    return open_company(path, backup=False, clock=clock)


def must_be_free(path: Path) -> None:
    """Refuse to make a company where a file is already, or where none can be made."""
    if not path.parent.is_dir():
        raise Missing(
            path, f"The folder “{path.parent}” is not there.", "Make it first, or choose another folder."
        )
    if path.exists():
        raise AlreadyThere(
            path, f"“{path.name}” is already there.", "Open it, or give the new firm another name."
        )
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise ReadOnly(path, f"The folder “{path.parent}” cannot be written.", "Choose a folder of your own.")


def _fill(
    path: Path, name: str, owner_name: str, today: date, starter: bool, clock: Callable[[], datetime]
) -> None:
    from db.migrations.run import stamp
    from db.starter import fill_new_company, fill_settings
    from db.tables import METADATA

    with Company(path, engine_for(path), clock=clock) as company:
        with company.writing() as conn:
            conn.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
            METADATA.create_all(conn)
            stamp(conn)
        with company.action(f"Start {name}") as edit:
            fill: Callable[[Edit, str, str, date], None] = fill_new_company if starter else fill_settings
            fill(edit, name, owner_name, today)
        with company.writing() as conn:
            seal_within(conn)


def open_company(
    path: Path | str, backup: bool = True, clock: Callable[[], datetime] = _now
) -> Company:
    """Open a company file for work: looked over first, then held, backed up, brought up to date.

    Args:
        path: the company file.
        backup: make the rolling backup now when something changed since the last one. Before an update of the
            file a backup is made in any case.
        clock: when things are done, for the journal and the backups' names.

    Raises:
        CompanyProblem: why it cannot be opened and what to do; nothing was changed.
    """
    path = full_path(path)
    must_be_ours(path, for_work=True)
    clear_left_behind([path.parent])  # a maker killed at its last moment may have left the file a second name
    must_have_one_name(path)
    must_have_locks(path)
    let_go = hold(path)
    company: Company | None = None
    try:
        revision = revision_of(path, held=True, for_work=True)
        if revision != HEAD:
            from db.company_file.updating import bring_up_to_date

            bring_up_to_date(path, clock())
        hide_from_others(path)
        clear_after_a_kill(path)
        company = Company(path, engine_for(path), on_close=let_go, clock=clock)
        with company.raw() as conn:
            if conn.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                raise no_locks(path)  # a folder in which programs cannot share memory keeps no log
        if backup:
            back_up_if_changed(company)
    except BaseException:
        if company is not None:
            company.close()
        else:
            let_go()
        raise
    return company


def open_for_reading(path: Path | str) -> Company:
    """Open a company file for questions only, also while a window has it open; close it when done.

    Raises:
        TooOld: it must first be brought up to date, by opening it for work.
        CompanyProblem: any other reason it cannot be read.
    """
    path = full_path(path)
    must_be_ours(path, for_work=False)
    must_have_one_name(path)
    if revision_of(path, held=False) != HEAD:
        raise TooOld(
            path,
            f"“{path.name}” was last used with an earlier version of Riserbook.",
            "Open it once in the window: it is backed up and then brought up to date.",
        )
    place = ExitStack()
    try:
        lies, mode = place.enter_context(readable(path))
    except OSError as error:
        raise not_found(path, error) from error
    return Company(path, engine_for(lies, reading=mode), on_close=place.close, settled=mode != "immutable")
