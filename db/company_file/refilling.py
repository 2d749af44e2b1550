"""Fills what could not be read of a file: first from its own journal, then from the newest backup, then says so."""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

from db.company_file.connection import connect
from db.company_file.journal_witness import last_written
from db.company_file.owner_words import things
from db.company_file.row_sums import mend_from, unlike_sealed
from db.company_file.values import bad_values
from db.company_file.verdict import TROUBLES

_ALL = 10_000
_NAMED = 6


Mended = tuple[tuple[str, int], ...]
"""Table and number of each row that was brought back or put right."""

_JOURNAL = {"action", "change"}


def refill(conn: sqlite3.Connection, torn: set[str], backups: Sequence[Path]) -> tuple[list[str], Mended]:
    """Bring back rows and mend values; what is known of each step is returned as lines for the owner.

    Args:
        conn: on the fresh file, references not enforced.
        torn: tables of which not every row could be read.
        backups: sound copies of earlier days, newest first.
    """
    conn.execute("BEGIN")
    put: list[tuple[str, int]] = []
    there = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    notes: list[str] = []
    mended: Counter[str] = Counter()
    wrong = {(bad.table, bad.row) for bad in bad_values(conn, _ALL)}
    for table in sorted((torn | {name for name, _ in wrong}) & there - {"change"}):
        rows = {row for name, row in wrong if name == table}
        mended[table] += _from_journal(conn, table, rows, put)
    notes += [f"Brought back from the journal: {_count(mended[name], name)}." for name in +mended]
    notes += _from_backup(conn, (torn | {bad.table for bad in bad_values(conn, _ALL)}) & there, backups, put)
    notes += _by_sums(conn, backups, put)
    notes = _unread(conn, torn & there, backups) + notes
    notes += _a_firm(conn, put)
    notes += [bad.words() for bad in bad_values(conn, 20)]
    loose = Counter(str(row[0]) for row in conn.execute("PRAGMA foreign_key_check"))
    notes += [f"Pointing at something that is gone: {_count(count, table)}." for table, count in loose.items()]
    conn.execute("COMMIT")
    return notes, tuple(put)


def _unread(conn: sqlite3.Connection, torn: set[str], backups: Sequence[Path]) -> list[str]:
    """One line on what could not be read; where a backup tells that a table had no rows, nothing of it was lost."""
    had = [
        name for name in sorted(torn)
        if not backups or _known(conn, name) or conn.execute(f'SELECT 1 FROM "{name}" LIMIT 1').fetchone()
    ]  # fmt: skip
    if not had:
        return []
    more = f" and {len(had) - _NAMED} more" if len(had) > _NAMED else ""
    return [f"Some of these could not be read: {', '.join(map(things, had[:_NAMED]))}{more}."]


def note_in_journal(path: Path, mended: Mended, made_at: str) -> None:
    """Write into a recovered file's journal which rows were put right, as one step that is never undone.

    Without it the file would seem to have changed by itself since its last backup.

    Raises:
        sqlite3.Error: it could not be written.
    """
    rows = [one for one in mended if one[0] not in _JOURNAL]
    if not rows:
        return
    with closing(connect(path)) as conn:
        conn.execute("BEGIN IMMEDIATE")
        columns = {str(row[1]) for row in conn.execute("PRAGMA table_info(action)")}
        step = {"made_at": made_at, "label": "Recover the file", "undone": 0, "final": 1}
        names = [name for name in step if name in columns]
        number = conn.execute(
            f"INSERT INTO action ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})", [step[n] for n in names]
        ).lastrowid
        for table, row_id in rows:
            found = conn.execute(f'SELECT * FROM "{table}" WHERE id = ?', (row_id,))
            row = dict(zip((column[0] for column in found.description), found.fetchone() or (), strict=False))
            if not row or any(isinstance(value, bytes) for value in row.values()):
                continue  # papers and pictures lie outside the journal, under their sums
            conn.execute(
                "INSERT INTO change (action_id, table_name, row_id, after) VALUES (?, ?, ?, ?)",
                (number, table, row_id, json.dumps(row, ensure_ascii=False, separators=(",", ":"))),
            )
        conn.execute("COMMIT")


def _from_journal(conn: sqlite3.Connection, table: str, wrong: set[int], put: list[tuple[str, int]]) -> int:
    """Rows the journal knows and the table lacks, or has with values that cannot be."""
    try:
        written = last_written(conn, table)
    except TROUBLES:
        return 0
    there = {int(row[0]) for row in conn.execute(f'SELECT id FROM "{table}"')}
    count = 0
    for number, row in written.items():
        if row is not None and (number not in there or number in wrong):
            count += _put(conn, table, row, put)
    return count


def _from_backup(
    conn: sqlite3.Connection, tables: set[str], backups: Sequence[Path], put: list[tuple[str, int]]
) -> list[str]:
    """Rows the journal never saw, such as those a firm begins with; only numbers that are free are filled."""
    notes = []
    for backup in backups[:1]:
        with suppress(*TROUBLES), closing(connect(backup)) as old:
            for table in sorted(tables - {"alembic_version"}):
                gone = {row for row, last in _known(conn, table).items() if last is None}
                there = {int(row[0]) for row in conn.execute(f'SELECT id FROM "{table}"')}
                wrong = {bad.row for bad in bad_values(conn, _ALL) if bad.table == table}
                rows = old.execute(f'SELECT * FROM "{table}"')
                names = [column[0] for column in rows.description]
                count = 0
                for values in rows.fetchall():
                    row = dict(zip(names, values, strict=True))
                    if (row["id"] not in there or row["id"] in wrong) and row["id"] not in gone:
                        count += _put(conn, table, row, put)
                if count:
                    notes.append(f"Brought back from the backup “{backup.name}”: {_count(count, table)}.")
    return notes


def _by_sums(conn: sqlite3.Connection, backups: Sequence[Path], put: list[tuple[str, int]]) -> list[str]:
    """Rows that changed by themselves: put right from a backup that has them as they were sealed, else told."""
    mended: Counter[str] = Counter()
    for backup in backups[:1]:
        with suppress(*TROUBLES), closing(connect(backup)) as sound:
            for table, row in mend_from(conn, sound):
                mended[table] += _put(conn, table, row, put)
    notes = [f"Put right from the backup “{backups[0].name}”: {_count(mended[name], name)}." for name in +mended]
    with suppress(*TROUBLES):
        bad = {(one.table, one.row) for one in bad_values(conn, _ALL)}  # told by their values
        left = [one for one in unlike_sealed(conn, _ALL) if one.row and (one.table, one.row) not in bad]
        lost, changed = (Counter(one.table for one in left if one.gone is gone) for gone in (True, False))
        notes += [f"Lost: {_count(lost[name], name)}." for name in lost]
        notes += [f"Not as written, so look them over: {_count(changed[name], name)}." for name in changed]
    return notes


def _known(conn: sqlite3.Connection, table: str) -> dict[int, dict[str, Any] | None]:
    with suppress(*TROUBLES):
        return last_written(conn, table)
    return {}


def _put(conn: sqlite3.Connection, table: str, row: Mapping[str, Any], put: list[tuple[str, int]]) -> int:
    columns = {str(found[1]) for found in conn.execute(f'PRAGMA table_info("{table}")')}
    names = [name for name in row if name in columns]
    before = conn.total_changes
    with suppress(*TROUBLES):
        conn.execute(
            f'INSERT OR REPLACE INTO "{table}" ({", ".join(names)}) VALUES ({", ".join("?" * len(names))})',
            [row[name] for name in names],
        )
    if conn.total_changes == before:
        return 0
    put.append((table, int(row["id"])))
    return 1


def _a_firm(conn: sqlite3.Connection, put: list[tuple[str, int]]) -> list[str]:
    """A file without the firm's own row cannot be opened; the least that will do is put in its place."""
    if conn.execute("SELECT count(*) FROM company WHERE id = 1").fetchone()[0]:
        return []
    least: dict[str, object] = {"id": 1, "name": "Recovered firm", "rounding_cents": 1, "tax_treatment": "none"}
    for _, name, kind, needed, default, _ in conn.execute("PRAGMA table_info(company)").fetchall():
        if needed and default is None and name not in least:
            least[str(name)] = 0 if "INT" in str(kind).upper() else ""
    _put(conn, "company", least, put)
    return ["The firm's own name, rates and settings could not be read: enter them again on the Firm page."]


def _count(count: int, table: str) -> str:
    """``3 of the hours entries``."""
    return f"{count:,} of the {things(table)}"
