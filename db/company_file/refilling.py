"""Makes every row of a salvaged file what the last saved step left there: by its sum, the journal and a backup.

What cannot be vouched for is named row by row, and so is every saved step that may not be whole.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.connection import connect
from db.company_file.evidence import OWN_TABLES, Evidence
from db.company_file.holdings import PERHAPS
from db.company_file.journal_mending import Gaps, mend_journal, sound_copy
from db.company_file.loose_ends import take_out_loose_ends
from db.company_file.on_trust import CHANGED, LOST
from db.company_file.owner_words import things
from db.company_file.row_settling import Work, put_row, settle_row
from db.company_file.row_sums import unlike_sealed
from db.company_file.torn_steps import Step
from db.company_file.values import bad_values
from db.company_file.verdict import TROUBLES

_ALL = 10_000
_NAMED = 6
_ROUNDS = 3

Mended = tuple[tuple[str, int, str | None], ...]
"""Table and number of each row that is other than the file and the journal had it; of one taken out what it was."""

_JOURNAL = {"action", "change"}


@dataclass(frozen=True, slots=True)
class Refilled:
    """What was done.

    Attributes:
        notes: what is to be known, readable as it is.
        trust: what nobody can vouch for, likewise; then the recovered file is not called good.
        mended: rows that are to stand in the journal, as what it says of them is not what they are now.
        doubted: saved steps that may not be whole.
        nameless: steps of which nothing but their number is known.
        open_end: nobody can say whether later steps were saved.
    """

    notes: tuple[str, ...]
    trust: tuple[str, ...]
    mended: Mended
    doubted: tuple[Step, ...] = ()
    nameless: int = 0
    open_end: bool = False


NOTHING = Refilled((), (), ())


def refill(
    conn: sqlite3.Connection, torn: set[str], backups: Sequence[Path], source: Path, *, open_end: bool = False
) -> Refilled:
    """Bring back rows and mend values.

    Args:
        conn: on the fresh file, references not enforced.
        torn: tables of which not every row could be read.
        backups: sound copies of earlier days, newest first.
        source: the file that is being recovered, its log beside it.
        open_end: the last rows of the journal could not be read.
    """
    conn.execute("BEGIN")
    there = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    with sound_copy(conn, backups) as copy:
        name, old = (copy[0].name, copy[1]) if copy is not None else ("", None)
        gaps = mend_journal(conn, old, source, open_end, torn=bool(torn & _JOURNAL))
        work = Work(conn, torn & there, name)
        unread = _unread(conn, work.torn, old)
        for _ in range(_ROUNDS):  # a row put in place may push out another that has its number on a paper
            if not _one_round(work, Evidence(conn, old, gaps), there):
                break
    notes = unread + work.lines()
    notes += _a_firm(work)
    notes += [bad.words() for bad in bad_values(conn, 20)]
    notes += take_out_loose_ends(conn, work.trust, work.put)
    _odd_entries(work)
    doubted, nameless = _doubted(conn, gaps, work)
    conn.execute("COMMIT")
    mended = tuple((*row, was) for row, was in work.put.items())
    return Refilled(tuple(notes), tuple(work.trust.lines()), mended, doubted, nameless, open_end)


def note_in_journal(path: Path, mended: Mended, made_at: str) -> None:
    """Write into a recovered file's journal which rows were put right, as one step that is never undone.

    Without it the file would seem to have changed by itself since its last backup.

    Raises:
        sqlite3.Error: it could not be written.
    """
    with closing(connect(path)) as conn:
        rows = [entry for row in mended for entry in _entry(conn, *row)]
        if not rows:
            return
        conn.execute("BEGIN IMMEDIATE")
        columns = {str(row[1]) for row in conn.execute("PRAGMA table_info(action)")}
        step = {"made_at": made_at, "label": "Recover the file", "undone": 0, "final": 1}
        names = [name for name in step if name in columns]
        number = conn.execute(
            f"INSERT INTO action ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})", [step[n] for n in names]
        ).lastrowid
        conn.executemany(
            "INSERT INTO change (action_id, table_name, row_id, before, after) VALUES (?, ?, ?, ?, ?)",
            [(number, *row) for row in rows],
        )
        conn.execute("COMMIT")


def _entry(
    conn: sqlite3.Connection, table: str, row_id: int, was: str | None
) -> list[tuple[str, int, str | None, str | None]]:
    """What the journal is told of a row; nothing of papers and pictures, which lie outside it under their sums."""
    found = conn.execute(f'SELECT * FROM "{table}" WHERE id = ?', (row_id,))
    row = dict(zip((column[0] for column in found.description), found.fetchone() or (), strict=False))
    if not row:
        asked = "SELECT after FROM change WHERE table_name = ? AND row_id = ? ORDER BY id DESC LIMIT 1"
        last = conn.execute(asked, (table, row_id)).fetchone()
        text = last[0] if last is not None else was
        return [(table, row_id, text, None)] if text is not None else []
    if table in _JOURNAL or any(isinstance(value, bytes) for value in row.values()):
        return []
    return [(table, row_id, None, json.dumps(row, ensure_ascii=False, separators=(",", ":")))]


def _one_round(work: Work, evidence: Evidence, tables: set[str]) -> bool:
    """Compare every row with what speaks for it; whether any was changed."""
    before = work.conn.total_changes
    wrong: dict[str, set[int]] = {}
    for bad in bad_values(work.conn, _ALL):
        wrong.setdefault(bad.table, set()).add(bad.row)
    for table in sorted(tables - OWN_TABLES):
        if table.startswith("sqlite_"):
            continue
        found = evidence.load(table)
        for number in found.numbers():
            settle_row(work, found, number, number in wrong.get(table, ()))
    return work.conn.total_changes > before


def _unread(conn: sqlite3.Connection, torn: set[str], old: sqlite3.Connection | None) -> list[str]:
    """One line on what could not be read; where a backup tells that a table had no rows, nothing of it was lost."""
    had = [name for name in sorted(torn) if old is None or _had_rows(conn, old, name)]
    if not had:
        return []
    more = f" and {len(had) - _NAMED} more" if len(had) > _NAMED else ""
    return [f"Some of these could not be read: {', '.join(map(things, had[:_NAMED]))}{more}."]


def _had_rows(conn: sqlite3.Connection, old: sqlite3.Connection, table: str) -> bool:
    with suppress(*TROUBLES):
        return any(
            one.execute(asked, values).fetchone()
            for one, asked, values in (
                (conn, f'SELECT 1 FROM "{table}" LIMIT 1', ()),
                (old, f'SELECT 1 FROM "{table}" LIMIT 1', ()),
                (conn, "SELECT 1 FROM change WHERE table_name = ? LIMIT 1", (table,)),
            )
        )
    return True


def _a_firm(work: Work) -> list[str]:
    """A file without the firm's own row cannot be opened; the least that will do is put in its place."""
    if work.conn.execute("SELECT count(*) FROM company WHERE id = 1").fetchone()[0]:
        return []
    least: dict[str, object] = {"id": 1, "name": "Recovered firm", "rounding_cents": 1, "tax_treatment": "none"}
    for _, name, kind, needed, default, _ in work.conn.execute("PRAGMA table_info(company)").fetchall():
        if needed and default is None and name not in least:
            least[str(name)] = 0 if "INT" in str(kind).upper() else ""
    put_row(work.conn, "company", least)
    work.put[("company", 1)] = None
    work.trust.add(LOST, "company", 1)
    return ["The firm's own name, rates and settings could not be read: enter them again on the Firm page."]


def _odd_entries(work: Work) -> None:
    """The journal's own rows that are not what they were when they were sealed."""
    with suppress(*TROUBLES):
        for one in unlike_sealed(work.conn, _ALL):
            if one.row and one.table in _JOURNAL:
                work.trust.add(LOST if one.gone else CHANGED, one.table, one.row)


def _doubted(conn: sqlite3.Connection, gaps: Gaps, work: Work) -> tuple[tuple[Step, ...], int]:
    """Steps that may not be whole: an entry of theirs is not known, and some row could not be read either.

    They are marked in the journal, so that nobody takes them for what they were.
    """
    if not (work.unsure or work.torn - _JOURNAL):
        return (), gaps.nameless
    conn.executemany(
        "UPDATE action SET label = label || ? WHERE id = ?", [(f" {PERHAPS}", number) for number, _, _ in gaps.doubted]
    )
    return gaps.doubted, gaps.nameless
