"""Makes the file of each version that has none: the tables as its steps made them, two rows in each."""

from __future__ import annotations

import lzma
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from db.company_file.connection import APPLICATION_ID, WRITES, engine_for
from db.company_file.value_rules import known_words
from db.migrations import REVISIONS
from db.migrations.run import config_for
from tests.db.old_files import FOLDER, kept

ROWS = 2
_MOMENT = "2024-05-06T21:04:0{}-05:00"


def make(revision: str, path: Path) -> None:
    """Write an invented firm of this version."""
    from alembic import command

    path.touch()
    engine = engine_for(path, foreign_keys=False)
    with engine.connect().execution_options(**{WRITES: True}) as conn, conn.begin():
        conn.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
        command.upgrade(config_for(conn), revision)
    engine.dispose()
    with closing(sqlite3.connect(path)) as conn:
        tables = [row[0] for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
        for table in tables:
            if table != "alembic_version" and not table.startswith("sqlite_"):
                _fill(conn, table)
        conn.commit()
        conn.execute("PRAGMA journal_mode=DELETE")
        conn.execute("VACUUM")


def _fill(conn: sqlite3.Connection, table: str) -> None:
    columns = conn.execute(f'PRAGMA table_info("{table}")').fetchall()
    points_at = {row[3] for row in conn.execute(f'PRAGMA foreign_key_list("{table}")')}
    for number in range(1, 2 if table in ("company", "timer") else ROWS + 1):
        row = {
            name: number if name == "id" or name in points_at else _value(table, name, str(kind).upper(), number)
            for _, name, kind, _, _, _ in columns
        }
        if table == "timer":
            row = {name: 1 if name in points_at else value for name, value in row.items()}
        if table == "change":  # the journal of the first customers
            row |= {"table_name": "customer", "before": None, "after": None, "row_id": 99}
        if table == "action":
            row |= {"label": f"Step {number}", "undone": 0, "final": 0} if "final" in row else {"undone": 0}
        names = ", ".join(f'"{name}"' for name in row)
        conn.execute(f'INSERT INTO "{table}" ({names}) VALUES ({", ".join("?" * len(row))})', list(row.values()))


def _value(table: str, name: str, kind: str, number: int) -> object:
    if name in ("cancelled_on", "declined_on", "pinned_today", "archived", "sha256", "logo_sha256"):
        return {"archived": 0, "sha256": f"{number:064d}"}.get(name, "" if name == "logo_sha256" else None)
    if words := known_words().get((table, name)):
        return words[(number - 1) % len(words)]
    if "DATE" in kind:
        return f"2024-05-0{number}"
    if "BOOL" in kind:
        return 0
    if "INT" in kind:
        return 100 * number
    if "BLOB" in kind or "BINARY" in kind:
        return b"invented"
    if name in ("made_at", "issued_at", "started_at"):
        return _MOMENT.format(number)[: 19 if table == "timer" else None]
    if name == "month":
        return f"2019-0{number}"
    return f"1{number}" if (table, name) == ("own_standard", "value") else f"{name} {number}"


def main() -> None:
    """Make what is missing."""
    for revision in REVISIONS:
        if revision not in kept():
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "made"
                make(revision, path)
                content = lzma.compress(path.read_bytes(), preset=9)
            (FOLDER / f"{revision}.riserbook.xz").write_bytes(content)
            print(revision, len(content))


if __name__ == "__main__":
    main()
