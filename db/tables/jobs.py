"""Jobs and what hangs on one: parties, deadlines, conditions, the survey, radon tests, photos."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Integer, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Quantity, key, ref

job = Table(
    "job",
    METADATA,
    key(),
    Column("number", String, nullable=False, unique=True),  # 26-014
    ref("customer_id", "customer"),
    ref("property_id", "property"),
    ref("job_type_id", "job_type"),
    ref("lead_source_id", "lead_source", optional=True),
    Column("title", String, nullable=False, server_default=""),
    Column("opened_on", Date, nullable=False),
    Column("scheduled_on", Date),  # first work day
    Column("installed_on", Date),  # fan on
    Column("invoiced_on", Date),
    Column("paid_on", Date),
    Column("closed_on", Date),  # nothing more is expected on it; it counts in Margins
    Column("cancelled_on", Date),
    Column("cancelled_reason", String, nullable=False, server_default=""),
    Column("note", Text, nullable=False, server_default=""),
    # How many quoted lines had neither a log nor an answer when it was closed; above 0 the record does not learn of it.
    Column("unanswered", Integer, nullable=False, server_default="0"),
)

job_condition = Table(
    "job_condition",
    METADATA,
    key(),
    ref("job_id", "job"),
    ref("condition_id", "access_condition"),
    UniqueConstraint("job_id", "condition_id"),
)

party = Table(
    "party",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("role", String, nullable=False),  # owner, buyer, seller, buyer's agent, seller's agent, inspector, other
    Column("name", String, nullable=False),
    Column("phone", String, nullable=False, server_default=""),
    Column("mail", String, nullable=False, server_default=""),
    Column("note", String, nullable=False, server_default=""),
)

deadline = Table(
    "deadline",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("due_on", Date, nullable=False),
    Column("reason", String, nullable=False),  # closing date, inspection, permit ...
    Column("met", Boolean, nullable=False, server_default="0"),
)

survey = Table(
    "survey",
    METADATA,
    key(),
    Column("job_id", Integer, ForeignKey("job.id"), nullable=False, unique=True),
    Column("surveyed_on", Date, nullable=False),
    Column("existing_notes", Text, nullable=False, server_default=""),  # what is there and what is wrong with it
    Column("findings", Text, nullable=False, server_default=""),
    Column("access_notes", Text, nullable=False, server_default=""),
)

radon_test = Table(
    "radon_test",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("purpose", String, nullable=False),  # before | after
    Column("device", String, nullable=False),
    Column("place", String, nullable=False, server_default=""),
    Column("started_on", Date),
    Column("ended_on", Date, nullable=False),
    Column("result", Quantity, nullable=False),  # pCi/L
    Column("note", String, nullable=False, server_default=""),
    Column("started_minute", Integer),  # minute of the day
    Column("ended_minute", Integer),
    Column("closed_house", String, nullable=False, server_default=""),  # yes | no | ""; not known
    Column("placed_by", String, nullable=False, server_default=""),
    Column("serial", String, nullable=False, server_default=""),  # the device's own number
    ref("attachment_id", "attachment", optional=True),  # the laboratory's report
)

photo = Table(
    "photo",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("file_name", String, nullable=False),  # inside the company's photo folder, a name of our own
    Column("original_name", String, nullable=False),
    Column("caption", String, nullable=False, server_default=""),
    Column("added_on", Date, nullable=False),
)
