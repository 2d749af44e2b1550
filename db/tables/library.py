"""The owner's own lists: job types, access conditions, labour tasks, causes, lead sources."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Boolean, Column, Integer, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Percent, Quantity, key, ref


def _named_list(name: str, *extra: Column[Any]) -> Table:
    return Table(
        name,
        METADATA,
        key(),
        Column("name", String, nullable=False),
        Column("position", Integer, nullable=False, server_default="0"),
        Column("archived", Boolean, nullable=False, server_default="0"),
        *extra,
    )


job_type = _named_list(
    "job_type",
    Column("margin_percent", Percent),  # None: the company's target
    Column("scope_text", Text, nullable=False, server_default=""),  # how a proposal of this type begins
)
access_condition = _named_list(
    "access_condition", Column("caution", Text, nullable=False, server_default="")
)
cause = _named_list("cause")
lead_source = _named_list("lead_source")

labour_task = _named_list(
    "labour_task",
    Column("unit", String, nullable=False),  # each, ft, joint, hour ...
    Column("standard_minutes", Quantity, nullable=False),  # minutes for one unit
    Column("role", String, nullable=False),  # work | travel | callback
    Column("caution", Text, nullable=False, server_default=""),
)

task_factor = Table(
    "task_factor",
    METADATA,
    key(),
    ref("task_id", "labour_task"),
    ref("condition_id", "access_condition"),
    Column("factor_percent", Percent, nullable=False),  # 130 = takes 1.3 times as long
    UniqueConstraint("task_id", "condition_id"),
)

job_type_task = Table(  # the labour lines a quote of this type usually starts from
    "job_type_task",
    METADATA,
    key(),
    ref("job_type_id", "job_type"),
    ref("task_id", "labour_task"),
    Column("quantity", Quantity, nullable=False),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("stands_for", String, nullable=False, server_default=""),  # part of the takeoff; "": nobody said
)

job_type_item = Table(  # the material lines a quote of this type usually starts from
    "job_type_item",
    METADATA,
    key(),
    ref("job_type_id", "job_type"),
    ref("item_id", "item"),
    Column("quantity", Quantity, nullable=False),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("stands_for", String, nullable=False, server_default=""),  # part of the takeoff; "": nobody said
)
