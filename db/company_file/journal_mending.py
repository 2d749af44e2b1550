"""Makes a salvaged file's journal as whole as it can be, and says where it still has gaps.

The journal is what a recovery goes by, so it comes first: from the newest backup that is of the same line of steps,
then from what stands loose in the pages. Its entries are numbered without a gap and never change, so what is missing
between two of them is known, and which steps it may have belonged to.
"""

from __future__ import annotations

import json
import sqlite3
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from db.company_file.backup_notes import read_note
from db.company_file.connection import connect
from db.company_file.kept import sum_of as sum_of_file
from db.company_file.row_sums import sealed_rows
from db.company_file.torn_steps import Step, torn_journal
from db.company_file.verdict import TROUBLES

NAMELESS = "a step whose name could not be read"

_LEAP = 1_000
"""No step's number is so far from the one before it; what is so far is bent."""

_BENT = 2
"""Letters that differ in one entry of two journals which are the same otherwise."""


@dataclass(frozen=True, slots=True)
class Gaps:
    """Where the journal is not whole.

    Attributes:
        last: no entry is missing after this one's number; endless when nobody can say where the journal ended.
        doubted: steps an entry of which may be missing.
        nameless: steps of which no more than their number is known.
    """

    last: float
    doubted: tuple[Step, ...]
    nameless: int


@contextmanager
def sound_copy(conn: sqlite3.Connection, backups: Sequence[Path]) -> Iterator[tuple[Path, sqlite3.Connection] | None]:
    """The newest backup whose steps are those of this file; one that is as it was written comes first."""
    found: list[Path] = []
    for backup in backups:
        with suppress(*TROUBLES), closing(connect(backup, "immutable")) as old:
            if of_one_line(conn, old):
                found.append(backup)
    mine = _version(conn)
    found.sort(key=lambda backup: (_version_of(backup) != mine, _has_changed(backup)))
    if not found:
        yield None
        return
    with closing(connect(found[0], "immutable")) as old:
        yield found[0], old


def of_one_line(conn: sqlite3.Connection, old: sqlite3.Connection) -> bool:
    """Whether the steps of both are the same as far as both go: after a restore they part.

    An entry that is bent differs in a letter or two, and the next ones agree again.
    """
    mine, theirs = _moments(conn), _moments(old)
    parted = 0
    for number in sorted(mine.keys() & theirs.keys(), reverse=True):
        apart = sum(a != b for a, b in zip(mine[number], theirs[number], strict=False)) + abs(
            len(mine[number]) - len(theirs[number])
        )
        if not apart:
            break
        parted += 1 if apart <= _BENT else 2
    return parted < 2


def mend_journal(
    conn: sqlite3.Connection, old: sqlite3.Connection | None, source: Path, open_end: bool, *, torn: bool
) -> Gaps:
    """Bring the journal's rows back from a backup and from loose pages, throw out what cannot be read, name the gaps.

    Args:
        conn: on the fresh file, inside a transaction.
        old: on a sound copy of the same line.
        source: the file that is being recovered, its log beside it.
        open_end: the last rows of the journal's tables could not be read.
        torn: something of the journal could not be read.
    """
    if old is not None:
        _from_copy(conn, old)
    unread = _throw_out(conn, old)
    if torn or unread:
        _from_pages(conn, source)
        _throw_out(conn, old)
    _name_the_nameless(conn)
    return _gaps(conn, old, open_end)


def _has_changed(backup: Path) -> bool:
    note = read_note(backup)
    with suppress(OSError):
        return note is not None and sum_of_file(backup) != note.sha256
    return True  # it cannot be read


def _version(conn: sqlite3.Connection) -> list[tuple[object, ...]]:
    return conn.execute("SELECT version_num FROM alembic_version").fetchall()


def _version_of(backup: Path) -> list[tuple[object, ...]]:
    with closing(connect(backup, "immutable")) as old:
        return _version(old)


def _moments(conn: sqlite3.Connection) -> dict[int, str]:
    return {int(row[0]): f"{row[1]} {row[2]}" for row in stored(conn, "SELECT id, made_at, label FROM action")}


def stored(conn: sqlite3.Connection, question: str, values: Sequence[object] = ()) -> list[tuple[Any, ...]]:
    """Answer a question with texts as they lie there, also those that are no UTF-8 any more."""
    before = conn.text_factory
    conn.text_factory = lambda kept: kept.decode("utf-8", "surrogateescape")
    try:
        return conn.execute(question, values).fetchall()
    finally:
        conn.text_factory = before


def columns_of(conn: sqlite3.Connection, table: str) -> list[str]:
    """The names of a table's columns."""
    return [str(row[1]) for row in conn.execute(f'PRAGMA table_info("{table}")')]


def _from_copy(conn: sqlite3.Connection, old: sqlite3.Connection) -> None:
    for table in ("action", "change", "row_sums"):
        theirs = columns_of(old, table)
        names = [name for name in columns_of(conn, table) if name in theirs]
        if not names:
            continue
        listed = ", ".join(names)
        mine = {row[names.index("id")]: row for row in stored(conn, f"SELECT {listed} FROM {table}")}
        for row in stored(old, f"SELECT {listed} FROM {table}"):
            here = mine.get(row[names.index("id")])
            if table == "row_sums" and here is not None:
                continue  # sealed anew since, perhaps; what cannot be relied on is not used anyway
            if table == "action" and here is not None:
                place = names.index("undone")
                if here[place] in (0, 1):  # undo and redo turn it
                    row = (*row[:place], here[place], *row[place + 1 :])
            if here != row:
                conn.execute(f"INSERT OR REPLACE INTO {table} ({listed}) VALUES ({', '.join('?' * len(names))})", row)


def _throw_out(conn: sqlite3.Connection, old: sqlite3.Connection | None) -> bool:
    """Entries that cannot be what a step wrote, or not at that place; whether there were any."""
    from db.tables import METADATA

    entries = stored(conn, "SELECT id, action_id, table_name, row_id, before, after FROM change ORDER BY id")
    bad = [
        (number,)
        for number, action, table, row, before, after in entries
        if not (
            _is_number(action) and _is_number(row) and table in METADATA.tables
            and (before is not None or after is not None)
            and all(text is None or _is_row(text, row) for text in (before, after))
        )
    ]  # fmt: skip
    conn.executemany("DELETE FROM change WHERE id = ?", bad)
    out_of_place = _out_of_place(conn)
    if old is not None:
        known = {row[0] for row in old.execute("SELECT id FROM change")}
        out_of_place |= {row[0] for row in entries if row[0] <= max(known, default=0)} - known
    conn.executemany("DELETE FROM change WHERE id = ?", [(number,) for number in out_of_place])
    last = int(conn.execute("SELECT coalesce(max(action_id), 0) FROM change").fetchone()[0])
    conn.execute("DELETE FROM action WHERE id < 1 OR id > ?", (last + _LEAP,))
    return bool(bad or out_of_place)


def _out_of_place(conn: sqlite3.Connection) -> set[int]:
    """Entries whose own number, or whose step's, is bent: without them the steps follow each other."""
    entries = conn.execute("SELECT id, action_id FROM change ORDER BY id").fetchall()
    found = set()
    for place, (number, step) in enumerate(entries):
        before = entries[place - 1][1] if place else 0
        after = entries[place + 1][1] if place + 1 < len(entries) else max(before, min(step, before + _LEAP))
        if before <= after and not before <= step <= after:
            found.add(number)
    return found


def _is_number(value: object) -> bool:
    return isinstance(value, int) and value > 0


def _is_row(text: object, number: object) -> bool:
    try:
        row = json.loads(str(text).encode())  # a letter with a flipped bit may be none any more
    except ValueError:
        return False
    return isinstance(row, dict) and row.get("id") == number


def _from_pages(conn: sqlite3.Connection, source: Path) -> None:
    found = torn_journal(source)
    names = columns_of(conn, "action")
    there = {row[0] for row in conn.execute("SELECT id FROM action")}
    for number, (moment, label, undone, final) in found.actions.items():
        if number not in there and number > 0:
            values = {"id": number, "made_at": moment, "label": label, "undone": undone, "final": final}
            used = [name for name in values if name in names]
            conn.execute(
                f"INSERT INTO action ({', '.join(used)}) VALUES ({', '.join('?' * len(used))})",
                [values[name] for name in used],
            )
    there = {row[0] for row in conn.execute("SELECT id FROM change")}
    conn.executemany(
        "INSERT INTO change (id, action_id, table_name, row_id, before, after) VALUES (?, ?, ?, ?, ?, ?)",
        [(number, *values) for number, values in found.changes.items() if number not in there and number > 0],
    )


def _name_the_nameless(conn: sqlite3.Connection) -> None:
    """Steps of which only what they changed could be read."""
    asked = "SELECT DISTINCT action_id FROM change WHERE action_id NOT IN (SELECT id FROM action) ORDER BY 1"
    for (number,) in conn.execute(asked).fetchall():
        before = conn.execute("SELECT made_at FROM action WHERE id < ? ORDER BY id DESC LIMIT 1", (number,)).fetchone()
        after = conn.execute("SELECT made_at FROM action WHERE id > ? ORDER BY id LIMIT 1", (number,)).fetchone()
        conn.execute(
            "INSERT INTO action (id, made_at, label, undone) VALUES (?, ?, ?, 0)",
            (number, (before or after or ("2000-01-01T00:00:00+00:00",))[0], NAMELESS.capitalize()),
        )


def _gaps(conn: sqlite3.Connection, old: sqlite3.Connection | None, open_end: bool) -> Gaps:
    """What is missing after the newest moment that a backup or the sums in the file speak for."""
    entries = conn.execute("SELECT id, action_id FROM change ORDER BY id").fetchall()
    steps = {int(row[0]): row for row in conn.execute("SELECT id, made_at, label, undone FROM action")}
    sealed = sealed_rows(conn).values()
    vouched = max((one.through_change for one in sealed), default=0)
    vouched_step = max((one.through_action for one in sealed), default=0)
    if old is not None:
        vouched = max(vouched, _last(old, "change"))
        vouched_step = max(vouched_step, _last(old, "action"))
    last = 0.0
    doubted = {step for step in steps if open_end and step >= (entries[-1][1] if entries else 1)}
    for (before, owner), (number, next_owner) in _neighbors(entries, vouched, vouched_step):
        if number - before > 1:
            last = max(last, number - 1)
            doubted |= {step for step in steps if owner <= step <= next_owner and step > vouched_step}
    noted = {int(owner) for _, owner in entries}
    numbers = [int(number) for number, _ in entries]
    owners = [int(owner) for _, owner in entries]
    for step in steps:
        if step > vouched_step > 0 and step not in noted:
            doubted.add(step)
            place = bisect_left(owners, step)
            last = max(last, numbers[place] - 0.5 if place < len(numbers) else float("inf"))
    nameless = 0
    if vouched_step:
        nameless = sum(number not in steps for number in range(vouched_step + 1, max(steps, default=0) + 1))
        if nameless:
            last = max(last, float(numbers[-1]) if numbers else 0.0)
    told = tuple((step, str(steps[step][1]), str(steps[step][2])) for step in sorted(doubted) if not steps[step][3])
    return Gaps(float("inf") if open_end else last, told, nameless)


def _neighbors(
    entries: Sequence[tuple[int, int]], vouched: int, vouched_step: int
) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Each entry after the vouched ones with the one before it."""
    before = (vouched, vouched_step)
    for number, owner in entries:
        if number > vouched:
            yield before, (number, owner)
            before = (number, owner)


def _last(conn: sqlite3.Connection, table: str) -> int:
    return int(conn.execute(f"SELECT coalesce(max(id), 0) FROM {table}").fetchone()[0])


def content_of(text: str | None) -> Mapping[str, Any] | None:
    """A row as an entry of the journal has it; None for no row."""
    return None if text is None else json.loads(text)
