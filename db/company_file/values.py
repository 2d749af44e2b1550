"""Every value of every row, looked at by the type and range its column allows."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

from sqlalchemy import Table

from db.company_file.owner_words import things, value_name
from db.company_file.problems import HOW_TO_RECOVER, UnreadableRows
from db.company_file.value_rules import MOMENTS, NUMBERS, condition, is_text

_KEPT_BY_SUM = (("paper_file", "pdf"), ("logo_file", "picture"))


@dataclass(frozen=True, slots=True)
class BadValue:
    """One value that none of its column can be.

    Attributes:
        row: its number in the table.
    """

    table: str
    row: int
    column: str
    value: str

    def words(self) -> str:
        """As a line of a report; `value` is shortened and printable."""
        if self.column == "id" and not self.value:
            return "The firm's own settings are missing."
        return f"Row {self.row} of the {things(self.table)} has {self.value} as its {value_name(self.column)}."


def bad_values(conn: sqlite3.Connection, most: int = 20) -> list[BadValue]:
    """Look at every row; the tables' types are those of the newest version, columns a file lacks are left out.

    Args:
        conn: on a file whose pages hold together.
        most: so many are named at most.

    Raises:
        sqlite3.Error: a table cannot be read.
    """
    from db.tables import METADATA

    found: list[BadValue] = []
    for table in METADATA.tables.values():
        there = {str(row[1]) for row in conn.execute(f'PRAGMA table_info("{table.name}")')}
        if "id" not in there:
            continue
        for bad in _of_table(conn, table, there):
            found.append(bad)
            if len(found) >= most:
                return found
    return found


def rows_problem(path: Path, conn: sqlite3.Connection) -> UnreadableRows | None:
    """The bad values as what to tell the owner; None when every value can be."""
    lacking = missing_columns(conn)
    words = f"Its {lacking[0]} is missing." if lacking else next((bad.words() for bad in bad_values(conn, most=1)), "")
    if not words:
        return None
    return UnreadableRows(path, f"“{path.name}” cannot be shown whole. {words}", HOW_TO_RECOVER)


def missing_columns(conn: sqlite3.Connection) -> list[str]:
    """Tables and columns of the newest version a file of that version lacks, as "table x" or "column y of x"."""
    from db.migrations import HEAD
    from db.tables import METADATA

    if conn.execute("SELECT version_num FROM alembic_version").fetchall() not in ([(HEAD,)], [(HEAD.encode(),)]):
        return []
    lacking = []
    for table in METADATA.tables.values():
        there = {str(row[1]) for row in conn.execute(f'PRAGMA table_info("{table.name}")')}
        if not there:
            lacking.append(f"table {table.name}")
        lacking += [f"column {column.name} of {table.name}" for column in table.c if there and column.name not in there]
    return lacking


def _of_table(conn: sqlite3.Connection, table: Table, there: set[str]) -> Iterator[BadValue]:
    if table.name == "company" and not conn.execute("SELECT count(*) FROM company WHERE id = 1").fetchone()[0]:
        yield BadValue("company", 0, "id", "")
    columns = [column for column in table.c if column.name in there]
    rules = [condition(table, column) for column in columns]
    names = ", ".join(f'"{column.name}"' for column in columns)
    flags = ", ".join(f"coalesce({rule}, 0)" for rule in rules)
    asked = f'SELECT {flags}, {names} FROM "{table.name}" NOT INDEXED WHERE NOT ({" AND ".join(rules)})'
    for row in _as_bytes(conn, asked):
        for place, column in enumerate(columns):
            if not row[place]:
                yield BadValue(table.name, _number(row[len(columns)]), column.name, _shown(row[len(columns) + place]))
    yield from _undecodable(conn, table.name, [column.name for column in columns if is_text(column)])
    yield from _misread(conn, table.name, there)
    for name, content in _KEPT_BY_SUM:
        if name == table.name and {"sha256", content} <= there:
            yield from _changed_bytes(conn, name, content)


def _as_bytes(conn: sqlite3.Connection, asked: str) -> Iterator[tuple[object, ...]]:
    before = conn.text_factory
    conn.text_factory = bytes
    try:
        yield from conn.execute(asked)
    finally:
        conn.text_factory = before


def _undecodable(conn: sqlite3.Connection, table: str, columns: list[str]) -> Iterator[BadValue]:
    """Texts that are no UTF-8 any more."""
    if not columns:
        return
    names = ", ".join(f'"{name}"' for name in columns)
    asked = f'SELECT {names}, id FROM "{table}" NOT INDEXED'
    try:
        for _ in conn.execute(asked):
            pass
        return
    except sqlite3.OperationalError as error:
        if "decode" not in str(error).lower():
            raise
    for row in _as_bytes(conn, asked):
        for name, value in zip(columns, row, strict=False):
            if isinstance(value, bytes):
                try:
                    value.decode()
                except UnicodeDecodeError:
                    yield BadValue(table, _number(row[-1]), name, _shown(value))


def _misread(conn: sqlite3.Connection, table: str, there: set[str]) -> Iterator[BadValue]:
    """Texts that must read as a moment or a number."""
    for name, column in MOMENTS | NUMBERS:
        if name != table or column not in there:
            continue
        for row_id, value in _as_bytes(conn, f'SELECT id, "{column}" FROM "{table}" NOT INDEXED'):
            text = value.decode("utf-8", "replace") if isinstance(value, bytes) else ""
            try:
                if (name, column) in MOMENTS:
                    datetime.fromisoformat(text)
                elif not Decimal(text).is_finite():
                    raise ValueError(text)
            except (ValueError, InvalidOperation):
                yield BadValue(table, _number(row_id), column, _shown(value))


def _changed_bytes(conn: sqlite3.Connection, table: str, content: str) -> Iterator[BadValue]:
    """Papers and pictures lie under the sum of their bytes."""
    for row_id, told, kept in conn.execute(f'SELECT id, sha256, "{content}" FROM "{table}" NOT INDEXED'):
        if not isinstance(kept, bytes) or hashlib.sha256(kept).hexdigest() != told:
            yield BadValue(table, _number(row_id), content, "other bytes than were put there")


def _number(value: object) -> int:
    return value if isinstance(value, int) else 0


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bytes):
        value = value.decode("utf-8", "backslashreplace")
    text = "".join(letter if letter.isprintable() else "�" for letter in str(value))
    return f"“{text[:40]}{'…' if len(text) > 40 else ''}”"
