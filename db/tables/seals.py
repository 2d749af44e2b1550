"""Sums of rows the journal does not know, so that one that changed by itself on the disk is noticed."""

from __future__ import annotations

from sqlalchemy import Column, Integer, LargeBinary, String, Table

from db.tables.base import METADATA, key

row_sums = Table(
    "row_sums",
    METADATA,
    key(),
    Column("table_name", String, nullable=False, unique=True),
    Column("through_change", Integer, nullable=False),  # the newest journal entry when they were taken, 0 for none
    Column("through_action", Integer, nullable=False),  # the newest action then, 0 for none
    Column("sums", LargeBinary, nullable=False),  # see db.company_file.row_sums
)
