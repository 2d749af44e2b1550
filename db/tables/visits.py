"""Visits on the calendar: who goes to which job on which day, for how long."""

from __future__ import annotations

from sqlalchemy import Column, Date, Integer, String, Table, Text

from db.tables.base import METADATA, key, ref

visit = Table(
    "visit",
    METADATA,
    key(),
    ref("job_id", "job", optional=True),  # None: time off, an errand, a course
    Column("kind", String, nullable=False),  # domain.calendar.VISIT_KINDS
    Column("title", String, nullable=False, server_default=""),  # what it is when no job says so
    Column("day", Date, nullable=False, index=True),
    Column("starts_at", Integer),  # minute of the day; None: some time that day
    Column("minutes", Integer, nullable=False),  # planned at the place
    Column("travel_minutes", Integer, nullable=False, server_default="0"),  # there and back
    Column("who", String, nullable=False, server_default=""),  # electrician, inspector ... when not the owner
    ref("supplier_id", "supplier", optional=True),  # the subcontractor who comes
    Column("takes_own_time", Integer, nullable=False, server_default="1"),  # 0: the owner need not be there
    Column("note", Text, nullable=False, server_default=""),
    Column("done_on", Date),
    Column("cancelled_on", Date),
    Column("uid", String, nullable=False, unique=True),  # RFC 5545 UID: the same visit in every export
    Column("sequence", Integer, nullable=False, server_default="0"),  # RFC 5545 SEQUENCE: grows with each move
)
