"""One user action: every row it writes is journalled, so it is saved whole, undone whole, and readable later."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select, text, update

from db.tables import METADATA, action, change


class Edit:
    """Writes rows inside one open transaction and keeps the before and after of each in the journal.

    Attributes:
        conn: the open connection, for reading inside the action.
        action_id: the journal's row for this action.
    """

    def __init__(self, conn: Connection, label: str, made_at: str) -> None:
        self.conn = conn
        self.label = label
        result = conn.execute(insert(action).values(made_at=made_at, label=label))
        self.action_id = int(result.inserted_primary_key[0])  # type: ignore[index]
        self.changed_rows = 0

    def add(self, table: Table, **values: Any) -> int:
        """Insert one row and return its id."""
        result = self.conn.execute(insert(table).values(**values))
        row_id = int(result.inserted_primary_key[0])  # type: ignore[index]
        self._note(table, row_id, None, self._stored(table, row_id))
        return row_id

    def add_many(self, table: Table, rows: list[Mapping[str, Any]]) -> list[int]:
        """Insert several rows and return their ids in order."""
        return [self.add(table, **row) for row in rows]

    def change(self, table: Table, row_id: int, **values: Any) -> None:
        """Update one row; nothing is journalled when nothing differs.

        Raises:
            LookupError: there is no such row.
        """
        before = self._stored(table, row_id)
        if before is None:
            raise LookupError(f"{table.name} {row_id} is gone")
        self.conn.execute(update(table).where(table.c.id == row_id).values(**values))
        after = self._stored(table, row_id)
        if after != before:
            self._note(table, row_id, before, after)

    def remove(self, table: Table, row_id: int) -> None:
        """Delete one row that nothing points at; a missing row is no error."""
        before = self._stored(table, row_id)
        if before is None:
            return
        self.conn.execute(delete(table).where(table.c.id == row_id))
        self._note(table, row_id, before, None)

    def remove_where(self, table: Table, condition: Any) -> None:
        """Delete the rows that meet a condition, each journalled."""
        for row_id in self.conn.execute(select(table.c.id).where(condition)).scalars().all():
            self.remove(table, row_id)

    def _stored(self, table: Table, row_id: int) -> dict[str, Any] | None:
        row = self.conn.execute(
            text(f'SELECT * FROM "{table.name}" WHERE id = :id'), {"id": row_id}
        ).mappings().first()
        return dict(row) if row is not None else None

    def _note(
        self, table: Table, row_id: int, before: dict[str, Any] | None, after: dict[str, Any] | None
    ) -> None:
        self.changed_rows += 1
        self.conn.execute(
            insert(change).values(
                action_id=self.action_id,
                table_name=table.name,
                row_id=row_id,
                before=json.dumps(before) if before is not None else None,
                after=json.dumps(after) if after is not None else None,
            )
        )


def apply_journal(conn: Connection, action_id: int, *, backwards: bool) -> None:
    """Undo (backwards) or redo an action by writing back the stored rows it recorded.

    Raises:
        LookupError: a row is no longer as the journal left it (someone changed the file by other means).
    """
    order = change.c.id.desc() if backwards else change.c.id
    steps = conn.execute(select(change).where(change.c.action_id == action_id).order_by(order)).all()
    for step in steps:
        table = METADATA.tables[step.table_name]
        wanted, found = (step.before, step.after) if backwards else (step.after, step.before)
        _put_row(
            conn, table, step.row_id,
            json.loads(wanted) if wanted else None,
            json.loads(found) if found else None,
        )
    conn.execute(update(action).where(action.c.id == action_id).values(undone=backwards))


def _put_row(
    conn: Connection,
    table: Table,
    row_id: int,
    wanted: dict[str, Any] | None,
    found: dict[str, Any] | None,
) -> None:
    name = f'"{table.name}"'
    now = conn.execute(text(f"SELECT * FROM {name} WHERE id = :id"), {"id": row_id}).mappings().first()
    if (dict(now) if now is not None else None) != found:
        raise LookupError(f"{table.name} {row_id} is not as the journal left it")
    if wanted is None:
        conn.execute(text(f"DELETE FROM {name} WHERE id = :id"), {"id": row_id})
    elif found is None:
        columns = ", ".join(f'"{column}"' for column in wanted)
        marks = ", ".join(f":{column}" for column in wanted)
        conn.execute(text(f"INSERT INTO {name} ({columns}) VALUES ({marks})"), wanted)
    else:
        sets = ", ".join(f'"{column}" = :{column}' for column in wanted if column != "id")
        conn.execute(text(f"UPDATE {name} SET {sets} WHERE id = :id"), wanted)
