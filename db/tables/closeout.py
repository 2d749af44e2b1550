"""What a finished system is handed over with: readings, checklist, defects answered for, exposure of the worker."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Integer, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Percent, Quantity, key, ref

closeout = Table(  # one a job: the system as it stands, and what was promised for it
    "closeout",
    METADATA,
    key(),
    Column("job_id", Integer, ForeignKey("job.id"), nullable=False, unique=True),
    Column("description", Text, nullable=False, server_default=""),
    Column("fan", String, nullable=False, server_default=""),
    Column("fan_watts", Quantity),  # W, from the fan's own sheet
    Column("fan_on_minute", Integer),  # minute of the day of job.installed_on
    Column("read_on", Date),
    Column("suction", Quantity),  # in. w.c. at the main riser when the fan was started
    Column("indicator", String, nullable=False, server_default=""),
    Column("indicator_place", String, nullable=False, server_default=""),
    Column("standard", String, nullable=False, server_default=""),  # the standard worked to, with its edition
    Column("warranty_until", Date),
    Column("level_promised", Quantity),  # pCi/L; None: no level is promised
    Column("warranty_text", Text, nullable=False, server_default=""),
    Column("retest_on", Date),
    Column("note", Text, nullable=False, server_default=""),
)

check_point = Table(  # the owner's own points, and the built-in ones he has hidden or reworded
    "check_point",
    METADATA,
    key(),
    Column("point_key", String, nullable=False, unique=True),  # a built-in point's key, or own-1, own-2 ...
    Column("wording", Text, nullable=False, server_default=""),
    Column("source", String, nullable=False, server_default=""),
    Column("phase", String, nullable=False),  # before | during | after
    ref("job_type_id", "job_type", optional=True),  # None: every job type
    Column("hidden", Boolean, nullable=False, server_default="0"),
    Column("position", Integer, nullable=False, server_default="0"),
)

check_answer = Table(  # an answer keeps the wording and the source it was given to
    "check_answer",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("point_key", String, nullable=False),
    Column("wording", Text, nullable=False),
    Column("source", String, nullable=False, server_default=""),
    Column("answer", String, nullable=False),  # ok | not_ok | not_applicable
    Column("note", Text, nullable=False, server_default=""),
    Column("answered_on", Date, nullable=False),
    ref("photo_id", "photo", optional=True),
    UniqueConstraint("job_id", "point_key"),
)

defect = Table(  # what is wrong with a system somebody else put in, and what became of it
    "defect",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("found_on", Date, nullable=False),
    Column("place", String, nullable=False, server_default=""),
    Column("description", Text, nullable=False),
    Column("rule", String, nullable=False, server_default=""),  # the standard it does not meet, in words
    Column("price_cents", Integer),  # what putting it right was quoted at; None: not priced
    ref("quote_id", "quote", optional=True),  # the proposal or change order that has it
    Column("outcome", String, nullable=False, server_default="open"),  # open | put_right | left_by_customer | not_ours
    Column("answered_on", Date),
    Column("answer", Text, nullable=False, server_default=""),
    ref("photo_id", "photo", optional=True),
)

exposure = Table(  # hours of a person in air of a known radon level
    "exposure",
    METADATA,
    key(),
    ref("job_id", "job", optional=True),
    ref("person_id", "person"),
    Column("day", Date, nullable=False, index=True),
    Column("minutes", Integer, nullable=False),
    Column("level", Quantity, nullable=False),  # pCi/L
    Column("level_from", String, nullable=False, server_default=""),  # measured at work, test before the work ...
    Column("equilibrium_percent", Percent, nullable=False),
    Column("note", Text, nullable=False, server_default=""),
)
