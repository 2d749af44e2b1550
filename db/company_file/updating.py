"""Bring a file of an earlier version up to date: a backup first, then all steps in one transaction."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from db.company_file.backups import BEFORE_UPDATE, automatic_backup
from db.company_file.connection import WRITES, connect, engine_for
from db.company_file.problems import DiskFull, UpdateFailed, problem_of
from db.company_file.restoring import pour
from db.company_file.row_sums import seal_within


def bring_up_to_date(path: Path, now: datetime) -> Path:
    """Run the steps the file lacks; its lock is held by the caller.

    Returns:
        the backup made before.

    Raises:
        UpdateFailed: a step failed; the file is as it was.
        CompanyProblem: no backup could be made, so nothing was begun.
    """
    backup = automatic_backup(path, now, BEFORE_UPDATE)
    with closing(connect(path)) as witness:
        before = _commits(witness)
        try:
            _run_steps(path)
        except Exception as error:
            if _commits(witness) != before:  # a step that could not be part of the transaction
                pour(backup, path)
            reason = problem_of(error.orig, path) if isinstance(error, DBAPIError) else None
            if isinstance(reason, DiskFull):
                raise reason from error
            raise UpdateFailed(
                path,
                f"“{path.name}” could not be brought up to date for this version of Riserbook; it is as it was.",
                f"Go on with the version you had. A copy is in “{backup.parent.name}”; send the program's log along "
                "when you report this.",
            ) from error
    return backup


def _run_steps(path: Path) -> None:
    from db.migrations.run import upgrade

    engine = engine_for(path, foreign_keys=False)  # a table that is copied and renamed is pointed at meanwhile
    try:
        with engine.connect().execution_options(**{WRITES: True}) as conn, conn.begin():
            upgrade(conn)
            seal_within(conn)
            broken = conn.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise sqlite3.IntegrityError(f"{len(broken)} rows would point at nothing")
    finally:
        engine.dispose()


def _commits(conn: sqlite3.Connection) -> int:
    """A number that differs once another connection has committed: sqlite.org/pragma.html#pragma_data_version."""
    return int(conn.execute("PRAGMA data_version").fetchone()[0])
