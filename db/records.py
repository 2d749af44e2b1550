"""Rows into domain values: a record class names the columns it wants, in any order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from functools import cache
from typing import Any, TypeVar, cast

from sqlalchemy import Connection, FromClause, Select, Table, bindparam, select

Record = TypeVar("Record")


def columns_of(table: FromClause, record: type[Any]) -> list[Any]:
    """The table's columns that the record class has fields for, in the record's order."""
    return [table.c[field.name] for field in fields(record)]


def fetch(
    conn: Connection, record: type[Record], query: Select[Any], given: Mapping[str, Any] | None = None
) -> list[Record]:
    """Run a query whose columns stand in the record's field order and return the records."""
    return [record(*row) for row in conn.execute(query, given).all()]  # one by one takes a fifth longer


def fetch_all(
    conn: Connection, record: type[Record], table: Table, *where: Any, order: Sequence[Any] = ()
) -> list[Record]:
    """Every row of one table that meets the conditions, as records."""
    query = select(*columns_of(table, record)).where(*where).order_by(*(order or (table.c.id,)))
    return fetch(conn, record, query)


@cache
def _one(record: Any, table: Table) -> Select[Any]:
    """Kept by table: putting the statement together takes longer than SQLite takes to run it."""
    return select(*columns_of(table, record)).where(table.c.id == bindparam("row_id"))


def fetch_one(conn: Connection, record: type[Record], table: Table, row_id: int) -> Record:
    """The row with this id as a record.

    Raises:
        LookupError: there is no such row.
    """
    one: Record | None = next(iter(fetch(conn, record, _one(cast(Any, record), table), {"row_id": row_id})), None)
    if one is None:
        raise LookupError(f"{table.name} {row_id} does not exist")
    return one
