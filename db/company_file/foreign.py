"""What in a file's own rules Riserbook did not put there: triggers, views, tables and indexes of other makers."""

from __future__ import annotations

import sqlite3

VERSION_TABLE = "alembic_version"
_KINDS = {"trigger": "rule that acts by itself (trigger)", "view": "view", "table": "table", "index": "index"}
_DANGEROUS = ("trigger", "view")


def foreign_things(conn: sqlite3.Connection, *, newest: bool) -> list[str]:
    """Name what is not Riserbook's in the file, readable as it is; the dangerous first.

    A trigger can change or delete rows while Riserbook writes others, and a view can stand in a table's place.

    Args:
        newest: the file is of the newest version, so that its tables and indexes are known by name; an older one
            may have others, and only triggers and views are named.
    """
    from db.tables import METADATA

    known = {"table": {*METADATA.tables, VERSION_TABLE}, "index": _index_names()}
    found = []
    for kind, name, table in conn.execute("SELECT type, name, tbl_name FROM sqlite_master ORDER BY type DESC, name"):
        if kind in _DANGEROUS:
            on = f" on {table}" if kind == "trigger" else ""
            found.append(f"the {_KINDS[kind]} “{name}”{on}")
        elif newest and not str(name).startswith("sqlite_") and name not in known.get(str(kind), ()):
            found.append(f"the {_KINDS.get(str(kind), str(kind))} “{name}”")
    return found


def acting_things(conn: sqlite3.Connection) -> list[str]:
    """Only those that act on rows or stand in a table's place: triggers and views."""
    return foreign_things(conn, newest=False)


def missing_tables(conn: sqlite3.Connection) -> list[str]:
    """Tables the newest version has and the file lacks."""
    from db.tables import METADATA

    there = {str(row[0]) for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    return sorted({*METADATA.tables, VERSION_TABLE} - there)


def _index_names() -> set[str]:
    from db.tables import METADATA

    return {str(index.name) for table in METADATA.tables.values() for index in table.indexes}
