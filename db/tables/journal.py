"""The journal: every user action and the rows it changed, for undo and for who-changed-what."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, ForeignKey, Integer, String, Table, Text

from db.tables.base import METADATA, key

action = Table(
    "action",
    METADATA,
    key(),
    Column("made_at", String, nullable=False),  # ISO 8601 with offset
    Column("label", String, nullable=False),
    Column("undone", Boolean, nullable=False, server_default="0"),
    Column("final", Boolean, nullable=False, server_default="0"),  # issued or closed: never undone, only corrected
)

change = Table(
    "change",
    METADATA,
    key(),
    Column("action_id", Integer, ForeignKey("action.id"), nullable=False, index=True),
    Column("table_name", String, nullable=False),
    Column("row_id", Integer, nullable=False),
    Column("before", Text),  # JSON of the stored values, None for a new row
    Column("after", Text),  # JSON of the stored values, None for a deleted row
)
