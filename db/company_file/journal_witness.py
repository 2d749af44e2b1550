"""The journal as a witness: what it last wrote into a row must still be what the row holds.

SQLite keeps no sums of its pages, so a bit that turns over in a name or an amount passes its check. The journal has
every row an edit wrote; rows it never saw (what a firm begins with) are witnessed by the sums kept with backups only.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from db.company_file.owner_words import things, value_name

_EACH_LAST = """
    SELECT c.row_id, c.after, c.id FROM change AS c JOIN action AS a ON a.id = c.action_id
    WHERE c.table_name = ? AND NOT a.undone
      AND a.id > (SELECT coalesce(max(b.id), 0) FROM action AS b WHERE NOT EXISTS
                  (SELECT 1 FROM change AS d WHERE d.action_id = b.id))
    ORDER BY c.row_id, c.id
"""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A row that is not what the journal last wrote; one of the two has changed by itself.

    Attributes:
        columns: the values that differ; empty when the row is gone or should be.
    """

    table: str
    row: int
    columns: tuple[str, ...]

    def words(self) -> str:
        """As a line of a report."""
        what = ", ".join(value_name(name) for name in self.columns) or "the whole row"
        return f"Row {self.row} of the {things(self.table)} is not as it was last saved: {what}."


def last_written(conn: sqlite3.Connection, table: str) -> dict[int, dict[str, Any] | None]:
    """What the journal last wrote into each row of a table it knows; None where it last deleted it.

    A row is told only where every entry can be read, and never from what was undone.
    """
    found: dict[int, dict[str, Any] | None] = {}
    for row_id, after, _ in conn.execute(_EACH_LAST, (table,)):
        if after is None:
            found[int(row_id)] = None
            continue
        try:
            row = json.loads(after)
        except ValueError:
            found.pop(int(row_id), None)
            continue
        if isinstance(row, dict):
            found[int(row_id)] = row
    return found


def disagreements(conn: sqlite3.Connection, most: int = 20) -> list[Disagreement]:
    """Compare every row the journal knows with what it last wrote there.

    Columns that came later, or were taken away since, are not compared.

    Raises:
        sqlite3.Error: a table cannot be read.
    """
    found: list[Disagreement] = []
    tables = [str(row[0]) for row in conn.execute("SELECT DISTINCT table_name FROM change ORDER BY table_name")]
    from db.tables import METADATA

    for table in tables:
        if table not in METADATA.tables:
            found.append(Disagreement("change", 0, ("table_name",)))
        else:
            found += _of_table(conn, table)
        if len(found) >= most:
            break
    return found[:most]


def _of_table(conn: sqlite3.Connection, table: str) -> Iterator[Disagreement]:
    written = last_written(conn, table)
    rows = conn.execute(f'SELECT * FROM "{table}" NOT INDEXED')
    names = [column[0] for column in rows.description]
    there = {}
    for values in rows:
        row = dict(zip(names, values, strict=True))
        if row["id"] in written:
            there[row["id"]] = row
    for row_id, expected in written.items():
        now = there.get(row_id)
        if expected is None or now is None:
            if (expected is None) != (now is None):
                yield Disagreement(table, row_id, ())
            continue
        differ = tuple(name for name in names if name in expected and expected[name] != now[name])
        if differ:
            yield Disagreement(table, row_id, differ)
