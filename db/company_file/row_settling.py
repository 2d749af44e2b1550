"""One row of a salvaged file: as it stands there, or as the journal, its sum or a backup has it."""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from db.company_file.evidence import BACKUP, TableEvidence, Wanted, alike, bent, differing, entry_is_bent
from db.company_file.on_trust import AS_THEY_STAND, CHANGED, LOST, OLDER, UNVOUCHED, OnTrust
from db.company_file.owner_words import things
from db.company_file.verdict import TROUBLES


@dataclass(slots=True)
class Work:
    """What is being done to a file, and what was done so far.

    Attributes:
        torn: tables of which not every row could be read.
        source: name of the backup in use.
        trust: what nobody can vouch for.
        put: rows that are other than the file and the journal have them.
        back, right: rows brought back and put right, by who had them and table.
        taken: rows taken out, by table.
        entries: entries of the journal that were put right.
        unsure: some row may lack what a step wrote there.
    """

    conn: sqlite3.Connection
    torn: set[str]
    source: str = ""
    trust: OnTrust = field(default_factory=OnTrust)
    put: dict[tuple[str, int], str | None] = field(default_factory=dict)
    back: Counter[tuple[str, str]] = field(default_factory=Counter)
    right: Counter[tuple[str, str]] = field(default_factory=Counter)
    taken: Counter[str] = field(default_factory=Counter)
    entries: int = 0
    unsure: bool = False

    def lines(self) -> list[str]:
        """What was done, readable as it is."""
        by = {BACKUP: f"the backup “{self.source}”"}
        told = []
        for what, rows in (("Brought back", self.back), ("Put right", self.right)):
            for source in sorted({who for who, _ in rows}):
                counts = [_count(count, table) for (who, table), count in rows.items() if who == source]
                told.append(f"{what} from {by.get(source, 'the journal')}: {', '.join(counts)}.")
        if self.taken:
            counts = [_count(count, table) for table, count in self.taken.items()]
            told.append(f"Taken out, as a saved step had removed them: {', '.join(counts)}.")
        if self.entries:
            told.append(f"Put right in the journal by what the rows say: {_count(self.entries, 'change')}.")
        return told


def settle_row(work: Work, found: TableEvidence, number: int, bad: bool) -> None:
    """Make one row what it must be.

    Args:
        number: the row's, there or not.
        bad: it holds what none of its column can be.
    """
    here = found.rows.get(number)
    if here is not None and not bad and found.as_sealed(number):
        return
    wanted = found.wanted(number)
    if wanted is None:
        _unknown(work, found, number, here, bad)
    elif here is None:
        if wanted.row is not None:
            _bring_back(work, found, number, wanted)
    elif wanted.row is None:
        if not found.unsure(wanted):
            work.conn.execute(f'DELETE FROM "{found.table}" WHERE id = ?', (number,))
            work.taken[found.table] += 1
        elif bad:
            work.unsure = True
    elif bad or not alike(here, wanted.row):
        _settle(work, found, number, here, wanted, bad)


def _unknown(work: Work, found: TableEvidence, number: int, here: Mapping[str, Any] | None, bad: bool) -> None:
    """No entry, sum or backup says how the row was."""
    last, seal = found.written.get(number), found.seal
    if here is None:
        if seal is not None and number in seal.sums and last is None:
            work.trust.add(LOST, found.table, number)
            work.unsure = True
    elif not bad and seal is not None and number in seal.sums:
        work.trust.add(CHANGED, found.table, number)
    elif not bad and found.table in work.torn:
        work.trust.add(UNVOUCHED, found.table, number)


def _bring_back(work: Work, found: TableEvidence, number: int, wanted: Wanted) -> None:
    if not put_row(work.conn, found.table, wanted.row or {}):
        work.trust.add(LOST, found.table, number)
        work.unsure = True
        return
    work.put[(found.table, number)] = None
    work.back[(wanted.source, found.table)] += 1
    if found.unsure(wanted):
        work.trust.add(OLDER, found.table, number)
        work.unsure = True


def _settle(
    work: Work, found: TableEvidence, number: int, here: Mapping[str, Any], wanted: Wanted, bad: bool
) -> None:
    """The row is there and is not what it must be: one of the two changed by itself, or a later step is not known."""
    told = wanted.row or {}
    unsure = found.unsure(wanted)
    columns = differing(here, told)
    if unsure and not bad and not bent(here, told):
        work.trust.add(AS_THEY_STAND, found.table, number)
        work.put[(found.table, number)] = None
        return
    if not bad and not unsure and entry_is_bent(here, wanted):
        _mend_entry(work, found, number, here)
        return
    if not put_row(work.conn, found.table, told):
        work.trust.add(CHANGED, found.table, number)
        return
    work.put[(found.table, number)] = None
    work.right[(wanted.source, found.table)] += 1
    if unsure and bad:
        work.trust.add(OLDER, found.table, number)
        work.unsure = True
    elif unsure or (not bad and _either(here, wanted, columns)):
        for column in columns:
            work.trust.differ(found.table, number, column, here[column], told[column])


def _either(here: Mapping[str, Any], wanted: Wanted, columns: Sequence[str]) -> bool:
    """Whether it may as well be the journal's entry that changed: one letter of a text, and nothing else tells."""
    if wanted.source == BACKUP or len(columns) != 1:
        return False
    told = (wanted.row or {})[columns[0]]
    if wanted.before is not None and wanted.before.get(columns[0]) == told:
        return False  # the entry has it twice
    return isinstance(told, str) and isinstance(here[columns[0]], str) and bent(here, wanted.row or {})


def _mend_entry(work: Work, found: TableEvidence, number: int, here: Mapping[str, Any]) -> None:
    last = found.written[number]
    text = json.dumps(dict(here), ensure_ascii=False, separators=(",", ":"))
    work.conn.execute("UPDATE change SET after = ? WHERE id = ?", (text, last.change))
    last.done = True
    work.entries += 1


def put_row(conn: sqlite3.Connection, table: str, row: Mapping[str, Any]) -> bool:
    """Write a row under its number; whether that could be done."""
    columns = {str(found[1]) for found in conn.execute(f'PRAGMA table_info("{table}")')}
    names = [name for name in row if name in columns]
    before = conn.total_changes
    listed = ", ".join(f'"{name}"' for name in names)
    with suppress(*TROUBLES, UnicodeEncodeError):
        conn.execute(
            f'INSERT OR REPLACE INTO "{table}" ({listed}) VALUES ({", ".join("?" * len(names))})',
            [row[name] for name in names],
        )
    return conn.total_changes > before


def _count(count: int, table: str) -> str:
    """``3 of the hours entries``."""
    return f"{count:,} of the {things(table)}"
