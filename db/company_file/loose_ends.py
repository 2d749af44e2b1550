"""Rows that point at something that is gone: no page shows them, so they are taken out, with what they said told."""

from __future__ import annotations

import json
import sqlite3

from db.company_file.on_trust import LOOSE, OnTrust
from db.company_file.owner_words import things, value_name

_ROUNDS = 20
_SHOWN = 6
_NO_NEWS = ("id", "position")


def take_out_loose_ends(
    conn: sqlite3.Connection, trust: OnTrust, put: dict[tuple[str, int], str | None]
) -> list[str]:
    """Empty a reference that leads nowhere where the column allows it, else take the row out; a line for each.

    Args:
        conn: on the fresh file, inside a transaction, references not enforced.
        trust: told which rows were taken out.
        put: is given them as they were, to be noted in the journal.
    """
    notes: list[str] = []
    for _ in range(_ROUNDS):
        loose = conn.execute("PRAGMA foreign_key_check").fetchall()
        if not loose:
            break
        for table, number, target, rule in loose:
            column, can_be_empty = _column(conn, str(table), int(rule))
            row = _row(conn, str(table), int(number))
            if row is None:
                continue
            if can_be_empty:
                conn.execute(f'UPDATE "{table}" SET "{column}" = NULL WHERE rowid = ?', (number,))
                notes.append(
                    f"Row {number} of the {things(str(table))} ({_content(row)}) pointed at one of the "
                    f"{things(str(target))} that is gone; its {value_name(column)} was emptied. Choose it again."
                )
            else:
                conn.execute(f'DELETE FROM "{table}" WHERE rowid = ?', (number,))
                notes.append(
                    f"Row {number} of the {things(str(table))} ({_content(row)}) pointed at one of the "
                    f"{things(str(target))} that is gone, and was taken out. Enter it again where it belongs."
                )
            trust.add(LOOSE, str(table), int(number))
            put.setdefault((str(table), int(number)), as_text(row))
    return notes


def as_text(row: dict[str, object]) -> str:
    """A row as the journal keeps it; of one that cannot be written so its number alone."""
    try:
        return json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    except TypeError:
        return json.dumps({"id": row["id"]})


def _column(conn: sqlite3.Connection, table: str, rule: int) -> tuple[str, bool]:
    column = next(str(row[3]) for row in conn.execute(f'PRAGMA foreign_key_list("{table}")') if row[0] == rule)
    needed = next(row[3] for row in conn.execute(f'PRAGMA table_info("{table}")') if row[1] == column)
    return column, not needed


def _row(conn: sqlite3.Connection, table: str, number: int) -> dict[str, object] | None:
    found = conn.execute(f'SELECT * FROM "{table}" WHERE rowid = ?', (number,))
    row = found.fetchone()
    return None if row is None else dict(zip((one[0] for one in found.description), row, strict=True))


def _content(row: dict[str, object]) -> str:
    """The values an owner may know it by."""
    told = [
        f"{value_name(name)} {_short(value)}"
        for name, value in row.items()
        if name not in _NO_NEWS and not name.endswith("_id") and value not in (None, "", 0)
        and not isinstance(value, bytes)
    ]  # fmt: skip
    return ", ".join(told[:_SHOWN]) or "without words of its own"


def _short(value: object) -> str:
    text = "".join(letter if letter.isprintable() else " " for letter in str(value))
    return f"“{text[:40]}{'…' if len(text) > 40 else ''}”" if isinstance(value, str) else text
