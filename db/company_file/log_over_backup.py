"""A firm put together from its log and a backup, where the file itself is gone: only what proves itself is handed on.

The log holds whole pages by their numbers, and a backup is made page by page, so the log can be laid over it: SQLite
does that itself once both lie together. The outcome is the firm only if no page changed after the backup that the log
does not hold. That is so when the log was begun before the backup was made (the usual evening: a clean closing removes
the log, the next opening backs up). When it is not so, some pages are older than others, and one of the questions of
`_proves_itself` finds that out. File format: sqlite.org/fileformat.html, section 4; sqlite.org/walformat.html.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Sequence
from contextlib import closing, suppress
from pathlib import Path

from db.company_file.connection import connect
from db.company_file.journal_witness import disagreements
from db.company_file.places import side_files
from db.company_file.row_sums import unlike_sealed
from db.company_file.values import bad_values
from db.company_file.verdict import TROUBLES, judge

_LOG_HEAD = 32
_TRIED = 3
_MODE_AT, _WITH_LOG = 18, b"\x02\x02"


def log_over_backup(source: Path, backups: Sequence[Path], folder: Path) -> tuple[Path, Path] | None:
    """The newest backup under which the log makes a firm that proves itself.

    Args:
        source: the firm's file, in whatever state; its log lies beside it.
        backups: sound ones of this firm, the newest first.
        folder: where to work; the made file stays there.

    Returns:
        the made file and the backup under it; None when there is no log or it belongs to none of them.

    Raises:
        OSError: there is no room.
    """
    log = side_files(source)[0]
    if not log.exists() or log.stat().st_size <= _LOG_HEAD:
        return None
    for number, backup in enumerate(backups[:_TRIED]):
        (place := folder / f"log over backup {number}").mkdir()
        made = place / source.name
        content = bytearray(backup.read_bytes())
        content[_MODE_AT : _MODE_AT + 2] = _WITH_LOG
        made.write_bytes(content)
        shutil.copyfile(log, side_files(made)[0])
        with suppress(*TROUBLES), closing(connect(made)) as conn:
            conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            if _proves_itself(conn, backup) and _settled(conn):
                return made, backup
    return None


def _settled(conn: sqlite3.Connection) -> bool:
    return str(conn.execute("PRAGMA journal_mode=DELETE").fetchone()[0]) == "delete"


def _proves_itself(conn: sqlite3.Connection, backup: Path) -> bool:
    """Pages, indexes, references and values hold together; the journal goes on from the backup's without a gap; and
    every row is what the journal last wrote there or what was sealed."""
    return (
        judge(conn, most=1).sound
        and conn.execute("PRAGMA foreign_key_check").fetchone() is None
        and not bad_values(conn, 1)
        and _goes_on(conn, backup)
        and not disagreements(conn, 1)
        and not unlike_sealed(conn, 1)
    )


def _goes_on(conn: sqlite3.Connection, backup: Path) -> bool:
    version = "SELECT version_num FROM alembic_version"
    with closing(connect(backup, "immutable")) as old:
        if conn.execute(version).fetchall() != old.execute(version).fetchall():
            return False
        for table, columns in (("action", "id, made_at, label"), ("change", "id, action_id, row_id, after")):
            last, count = _last_and_count(old, table)
            asked = f"SELECT {columns} FROM {table} WHERE id <= ? ORDER BY id"
            if conn.execute(asked, (last,)).fetchall() != old.execute(asked, (last,)).fetchall():
                return False
            now_last, now_count = _last_and_count(conn, table)
            if now_last - last != now_count - count:
                return False
    return conn.execute("SELECT 1 FROM change WHERE action_id NOT IN (SELECT id FROM action)").fetchone() is None


def _last_and_count(conn: sqlite3.Connection, table: str) -> tuple[int, int]:
    last, count = conn.execute(f"SELECT coalesce(max(id), 0), count(*) FROM {table}").fetchone()
    return int(last), int(count)
