"""One user action: every row it writes is journalled, so it is saved whole, undone whole, and readable later."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import groupby, islice
from typing import Any, TypeVar

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    Table,
    bindparam,
    delete,
    func,
    insert,
    select,
    type_coerce,
    update,
)
from sqlalchemy.sql.dml import ReturningInsert, ReturningUpdate
from sqlalchemy.types import NullType

from db.closed_months import BOOKED_TABLES, check_open, closed_months
from db.frozen_quotes import QUOTE_TABLES, FrozenQuotes
from db.tables import METADATA, action, change

Stored = dict[str, Any]
"""A row as the file has it, before any column type has made a date or a Decimal of it."""

_AT_ONCE = 500  # rows read by one statement; far below the number of variables SQLite takes

Value = TypeVar("Value")


class Edit:
    """Writes rows inside one open transaction and keeps the before and after of each in the journal.

    Attributes:
        conn: the open connection, for reading inside the action.
        action_id: the journal's row for this action.
        changed_rows: how many rows it has written so far.
        undoable: False for what a company starts with; then the journal names the action without its rows.
        final: True once `make_final` was called.
    """

    def __init__(self, conn: Connection, label: str, made_at: str, *, undoable: bool = True) -> None:
        self.conn = conn
        self.label = label
        self.undoable = undoable
        result = conn.execute(insert(action).values(made_at=made_at, label=label))
        self.action_id = int(result.inserted_primary_key[0])  # type: ignore[index]
        self.changed_rows = 0
        self.final = False
        self._closed: frozenset[str] | None = None  # the closed months, asked for when a booked row is written
        self._frozen = FrozenQuotes(conn)

    def make_final(self) -> None:
        """Say that this action is never undone: what was issued or closed is only put right by a later one."""
        self.final = True
        self.conn.execute(update(action).where(action.c.id == self.action_id).values(final=True))

    def add(self, table: Table, **values: Any) -> int:
        """Insert one row and return its id."""
        row = self.conn.execute(_inserting(table), values).mappings().one()
        self._note(table, [(None, dict(row))])
        return int(row["id"])

    def add_many(self, table: Table, rows: Iterable[Mapping[str, Any]]) -> list[int]:
        """Insert several rows and return their ids in order; a fixed number of statements per thousand rows.

        Rows need not give the same columns; what a row leaves out gets the column's default.
        """
        rows = list(rows)
        if not rows:
            return []
        free = int(self.conn.execute(_last_id(table)).scalar_one()) + 1
        # Numbered here: only so is it certain which row got which id when one statement writes many. Nobody else
        # can take a number meanwhile, as an action holds the write lock from its first statement.
        numbered = [{"id": free + place, **row} for place, row in enumerate(rows)]
        # One statement writes rows that give the same columns, so neighbours that do are written together.
        for _, alike in groupby(numbered, key=lambda row: sorted(row)):
            if not self.undoable:
                self.conn.execute(insert(table), list(alike))
                continue
            written = self.conn.execute(_inserting(table), list(alike)).mappings()
            self._note(table, [(None, dict(row)) for row in written])
        return [int(row["id"]) for row in numbered]

    def change(self, table: Table, row_id: int, **values: Any) -> None:
        """Update one row; nothing is journalled when nothing differs.

        Raises:
            LookupError: there is no such row.
        """
        before = _read(self.conn, table, [row_id]).get(row_id)
        if before is None:
            raise LookupError(f"{table.name} {row_id} is gone")
        if not values:
            return
        after = dict(self.conn.execute(_updating(table), {**values, "the_id": row_id}).mappings().one())
        if after != before:
            self._note(table, [(before, after)])

    def remove(self, table: Table, row_id: int) -> None:
        """Delete one row that nothing points at; a missing row is no error."""
        self.remove_where(table, table.c.id == row_id)

    def remove_where(self, table: Table, condition: ColumnElement[bool]) -> None:
        """Delete the rows that meet a condition, each journalled; a fixed number of statements."""
        gone = self.conn.execute(
            select(*_as_stored(table)).where(condition).order_by(table.c.id)
        ).mappings()
        removed: list[tuple[Stored | None, Stored | None]] = [(dict(row), None) for row in gone]
        if removed:
            self.conn.execute(delete(table).where(condition))
            self._note(table, removed)

    def _note(self, table: Table, steps: Sequence[tuple[Stored | None, Stored | None]]) -> None:
        self.changed_rows += len(steps)
        if not self.undoable:
            return
        if table.name in BOOKED_TABLES:
            if self._closed is None:
                self._closed = closed_months(self.conn)
            check_open(self._closed, table.name, steps)
        if table.name in QUOTE_TABLES:
            self._frozen.check(table.name, steps)
        self.conn.execute(
            _JOURNALLING,
            [
                {
                    "action_id": self.action_id,
                    "table_name": table.name,
                    "row_id": (after or before or {})["id"],
                    "before": _as_text(before),
                    "after": _as_text(after),
                }
                for before, after in steps
            ],
        )


def apply_journal(conn: Connection, action_id: int, *, backwards: bool) -> None:
    """Undo (backwards) or redo an action by writing back the stored rows it recorded.

    Statements: a few for each run of like steps (rows added to one table, say), not for each row.

    Raises:
        LookupError: a row is no longer as the journal left it (someone changed the file by other means).
        Refused: the month one of its rows is booked in has been closed since.
    """
    order = change.c.id.desc() if backwards else change.c.id
    steps = [
        _Step(row, backwards)
        for row in conn.execute(select(change).where(change.c.action_id == action_id).order_by(order))
    ]
    if any(step.table_name in BOOKED_TABLES for step in steps):
        closed = closed_months(conn)
        for step in steps:
            check_open(closed, step.table_name, [(step.found, step.wanted)])
    for run in _runs(steps):
        _write_back(conn, METADATA.tables[run[0].table_name], run)
    conn.execute(update(action).where(action.c.id == action_id).values(undone=backwards))


class _Step:
    """One row's way back (or forth again): what is to be found there and what is wanted."""

    __slots__ = ("found", "like", "row_id", "table_name", "wanted")

    def __init__(self, row: Any, backwards: bool) -> None:
        self.table_name: str = row.table_name
        self.row_id: int = row.row_id
        before, after = _as_row(row.before), _as_row(row.after)
        self.wanted, self.found = (before, after) if backwards else (after, before)
        self.like = (self.table_name, self.wanted is None, self.found is None)


def _runs(steps: Iterable[_Step]) -> Iterator[list[_Step]]:
    """Neighbouring steps of one kind in one table, no row twice, so that each run can be written together."""
    run: list[_Step] = []
    seen: set[int] = set()
    for step in steps:
        if run and (step.like != run[0].like or step.row_id in seen):
            yield run
            run, seen = [], set()
        run.append(step)
        seen.add(step.row_id)
    if run:
        yield run


def _write_back(conn: Connection, table: Table, run: list[_Step]) -> None:
    there = _read(conn, table, [step.row_id for step in run])
    for step in run:
        if there.get(step.row_id) != step.found:
            raise LookupError(f"{table.name} {step.row_id} is not as the journal left it")
    if run[0].wanted is None:
        conn.execute(delete(table).where(table.c.id == bindparam("row_id")), [{"row_id": s.row_id} for s in run])
        return
    rows = [step.wanted for step in run if step.wanted is not None]
    raw = {column.name: type_coerce(bindparam(f"new_{column.name}"), NullType()) for column in table.c}
    given = [{f"new_{name}": value for name, value in row.items()} for row in rows]
    if run[0].found is None:
        conn.execute(insert(table).values(raw), given)
    else:
        conn.execute(update(table).where(table.c.id == bindparam("new_id")).values(raw), given)


def _read(conn: Connection, table: Table, row_ids: Iterable[int]) -> dict[int, Stored]:
    """The rows with these ids, as stored."""
    found: dict[int, Stored] = {}
    for some in _chunks(row_ids):
        rows = conn.execute(_reading(table), {"ids": some}).mappings()
        found.update((int(row["id"]), dict(row)) for row in rows)
    return found


_WRITTEN = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode

# Statements are kept by table: putting one together takes longer than SQLite takes to run it.
_JOURNALLING = insert(change)


@cache
def _reading(table: Table) -> Select[Any]:
    return select(*_as_stored(table)).where(table.c.id.in_(bindparam("ids", expanding=True)))


@cache
def _last_id(table: Table) -> Select[Any]:
    return select(func.coalesce(func.max(table.c.id), 0))


@cache
def _inserting(table: Table) -> ReturningInsert[Any]:
    return insert(table).returning(*_as_stored(table))


@cache
def _updating(table: Table) -> ReturningUpdate[Any]:
    return update(table).where(table.c.id == bindparam("the_id")).returning(*_as_stored(table))


def _as_stored(table: Table) -> list[ColumnElement[Any]]:
    return [type_coerce(column, NullType()).label(column.name) for column in table.c]


def _chunks(values: Iterable[Value]) -> Iterator[list[Value]]:
    waiting = iter(values)
    while some := list(islice(waiting, _AT_ONCE)):
        yield some


def _as_text(row: Stored | None) -> str | None:
    return None if row is None else _WRITTEN(row)


def _as_row(text: str | None) -> Stored | None:
    return None if text is None else json.loads(text)
