"""A disk that takes nothing more, as the firm's file sees it: SQLite is told that no page may be added."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import event

from db.company_file.company import Company


@contextmanager
def no_room(company: Company) -> Iterator[None]:
    """While the block lasts every write to the firm's file fails as on a full disk, with SQLite's own error."""

    def fill(conn: Any, cursor: Any, statement: str, *_: object) -> None:
        if statement.split(maxsplit=1)[0].upper() in ("INSERT", "UPDATE", "DELETE"):
            import sqlite3

            error = sqlite3.OperationalError("database or disk is full")
            error.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise error

    event.listen(company.engine, "before_cursor_execute", fill)
    try:
        yield
    finally:
        event.remove(company.engine, "before_cursor_execute", fill)
