"""What the record of finished jobs said and what was done about it: expectations, proposals, work done so far."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Integer, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Percent, Quantity, key, ref

quote_expectation = Table(  # what finished jobs said of a quote, and how much of that the owner took
    "quote_expectation",
    METADATA,
    key(),
    Column("quote_id", Integer, ForeignKey("quote.id"), nullable=False, unique=True),
    Column("noted_on", Date, nullable=False),  # the day it was sent; until then the day of the choice
    Column("share_percent", Percent),  # part of the correction taken; None: the owner did not choose
    Column("own_minutes", Integer, nullable=False),  # before any correction
    Column("quoted_minutes", Integer, nullable=False),  # with the part taken
    Column("expected_minutes", Integer, nullable=False),
    Column("low_minutes", Integer, nullable=False),  # 8 in 10 jobs like it end between low and high
    Column("high_minutes", Integer, nullable=False),
    Column("expected_cost_cents", Integer, nullable=False),
    Column("net_price_cents", Integer, nullable=False),
    Column("loss_percent", Percent, nullable=False),  # chance that the price does not cover the cost
    Column("jobs_behind", Integer, nullable=False),
    Column("sure", Boolean, nullable=False),  # False: too few jobs, the stated default band
)

library_proposal = Table(  # what finished jobs suggest for a task's minutes or a condition's factor, and the answer
    "library_proposal",
    METADATA,
    key(),
    ref("task_id", "labour_task"),
    ref("condition_id", "access_condition", optional=True),  # None: the standard minutes
    Column("made_on", Date, nullable=False),
    Column("old_value", Quantity, nullable=False),  # minutes for one unit, or percent
    Column("new_value", Quantity, nullable=False),
    Column("jobs", Integer, nullable=False),
    Column("evidence", Text, nullable=False, server_default=""),
    Column("accepted_on", Date),
    Column("declined_on", Date),
    Column("taken_back_on", Date),  # accepted first, then put back to the old value
)

task_progress = Table(  # how much of a task of an open job is done, as the owner saw it on a day; the last one stands
    "task_progress",
    METADATA,
    key(),
    ref("job_id", "job"),
    ref("task_id", "labour_task"),
    Column("done_percent", Percent, nullable=False),
    Column("noted_on", Date, nullable=False),
    UniqueConstraint("job_id", "task_id", "noted_on", name="uq_task_progress_job_id_task_id_noted_on"),
)
