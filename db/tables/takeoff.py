"""What a takeoff and its air are made from: routes in words, circuits and floors, overrides, fans, site readings."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Integer, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Quantity, key, ref

route = Table(
    "route",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("status", String, nullable=False),  # found | proposed
    Column("name", String, nullable=False, server_default=""),
    Column("words", Text, nullable=False, server_default=""),  # the shorthand of domain.routes, as typed
    Column("built", Boolean, nullable=False, server_default="0"),  # counts in the list to buy
)

takeoff_part = Table(  # what is taken off beside the routes
    "takeoff_part",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("kind", String, nullable=False),  # circuit | joint | pit | floor | paint | offcuts
    Column("details", Text, nullable=False),  # JSON of the value, see domain.job_takeoff.parts
)

takeoff_extra = Table(
    "takeoff_extra",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("description", String, nullable=False),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False),
    Column("item_class", String, nullable=False),
    Column("reason", String, nullable=False, server_default=""),
)

takeoff_override = Table(
    "takeoff_override",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("line_key", String, nullable=False),
    Column("quantity", Quantity, nullable=False),
    UniqueConstraint("job_id", "line_key"),
)

takeoff_item = Table(  # which item of the price list a line of the takeoff buys
    "takeoff_item",
    METADATA,
    key(),
    Column("line_key", String, nullable=False, unique=True),
    ref("item_id", "item", optional=True),  # None: not bought from the list
)

takeoff_task = Table(  # which labour task a count of the takeoff drives
    "takeoff_task",
    METADATA,
    key(),
    Column("driver_key", String, nullable=False, unique=True),
    ref("task_id", "labour_task", optional=True),  # None: no task of its own
)

takeoff_answer = Table(  # what the owner said of a row when the list was taken into the quote
    "takeoff_answer",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("row_key", String, nullable=False),  # see domain.job_takeoff.reconciling
    Column("answer", String, nullable=False),
    UniqueConstraint("job_id", "row_key"),
)

own_standard = Table(  # the owner's own row of the standards table, from a day on
    "own_standard",
    METADATA,
    key(),
    Column("standard_key", String, nullable=False),
    Column("starts_on", Date, nullable=False),
    Column("value", String, nullable=False),  # a decimal as text: any number of places
    Column("source", String, nullable=False, server_default=""),
    Column("note", String, nullable=False, server_default=""),
    Column("ends_on", Date),  # the last day it counts; None: until a later one, or for good
    UniqueConstraint("standard_key", "starts_on"),
)

takeoff_choice = Table(  # choices between rules, e.g. which support spacing; one row a choice
    "takeoff_choice",
    METADATA,
    key(),
    Column("name", String, nullable=False, unique=True),
    Column("value", String, nullable=False),
)

fan_curve = Table(
    "fan_curve",
    METADATA,
    key(),
    Column("name", String, nullable=False),
    ref("item_id", "item", optional=True),
    Column("points", Text, nullable=False),  # JSON of (cfm, inches of water) pairs, decimals as text
    Column("watts", Quantity),  # as on the fan's sheet
    Column("note", String, nullable=False, server_default=""),
    Column("archived", Boolean, nullable=False, server_default="0"),
)

air_plan = Table(  # how the air of a job's routes is judged
    "air_plan",
    METADATA,
    key(),
    Column("job_id", Integer, ForeignKey("job.id"), nullable=False, unique=True),
    ref("fan_curve_id", "fan_curve", optional=True),
    Column("suction_wanted", Quantity, nullable=False),  # pascals under the slab
    Column("method", String, nullable=False),  # coefficients | lengths
    Column("sharp_elbows", Boolean, nullable=False, server_default="1"),
    ref("present_fan_id", "fan_curve", optional=True),  # the fan that is there now; None: the same
)

site_reading = Table(
    "site_reading",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("read_on", Date, nullable=False),
    Column("kind", String, nullable=False),  # suction | flow
    Column("place", String, nullable=False, server_default=""),
    Column("value", Quantity, nullable=False),  # pascals or cfm
    Column("at_suction", Quantity),  # pascals when a flow was read: at the pit (test fan) or in the pipe at the fan
    Column("note", String, nullable=False, server_default=""),
    Column("fan", String, nullable=False, server_default="test"),  # which fan ran: test | present
)
