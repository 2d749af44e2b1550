"""What a job really took: hours, materials, other costs, and money given up afterwards."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Boolean, Column, Date, Index, Integer, String, Table, Text

from db.tables.base import METADATA, Quantity, UnitCost, key, ref


def _entry(name: str, *columns: Column[Any]) -> Table:
    return Table(
        name,
        METADATA,
        key(),
        ref("job_id", "job", index=False),  # see the costing indexes below
        Column("day", Date, nullable=False, index=True),
        *columns,
        Column("unquoted", Boolean, nullable=False, server_default="0"),  # the owner says: not in the quote
        ref("cause_id", "cause", optional=True),
        Column("note", Text, nullable=False, server_default=""),
    )


hours_entry = _entry(
    "hours_entry",
    ref("task_id", "labour_task"),
    ref("person_id", "person"),
    Column("minutes", Integer, nullable=False),
    Column("began", Integer),  # minute of the day, when typed as a span
    Column("rate_cents", Integer, nullable=False),  # burdened hour on that day
    Column("overhead_rate_cents", Integer, nullable=False),
)

material_use = _entry(
    "material_use",
    ref("item_id", "item", optional=True, index=False),  # None: something not on the price list; see the truck's index
    Column("description", String, nullable=False, server_default=""),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),  # the price paid
    Column("source", String, nullable=False),  # stock | receipt
    Column("receipt", String, nullable=False, server_default=""),
)

other_cost = _entry(
    "other_cost",
    Column("kind", String, nullable=False),  # permit | subcontractor | equipment | travel | other
    Column("description", String, nullable=False, server_default=""),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),
)

closing_answer = Table(  # what became of a quoted line that has no log, as the owner said when the job was closed
    "closing_answer",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("kind", String, nullable=False),  # task | material | cost
    ref("task_id", "labour_task", optional=True, index=False),  # of a task
    ref("item_id", "item", optional=True, index=False),  # of a material on the price list
    Column("words", String, nullable=False, server_default=""),  # any other material, or the kind of a cost
    Column("answer", String, nullable=False),  # within | left_out
    ref("within_task_id", "labour_task", optional=True, index=False),  # in whose time it was done, when that was said
)

price_adjustment = Table(
    "price_adjustment",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("day", Date, nullable=False),
    Column("kind", String, nullable=False),  # write_off
    Column("amount_cents", Integer, nullable=False),  # what the firm gives up, positive
    Column("reason", String, nullable=False, server_default=""),
)

# The costing adds up every entry of every job from these alone, without reading the rows: half the time. The last
# columns are for Tonight, which looks in every running job for what was not quoted and for when it was worked on last.
Index(
    "ix_hours_entry_costing",
    hours_entry.c.job_id,
    hours_entry.c.person_id,
    hours_entry.c.minutes,
    hours_entry.c.rate_cents,
    hours_entry.c.overhead_rate_cents,
    hours_entry.c.task_id,
    hours_entry.c.unquoted,
    hours_entry.c.day,
)
for _table in (material_use, other_cost):
    Index(f"ix_{_table.name}_costing", _table.c.job_id, _table.c.quantity, _table.c.unit_cost, _table.c.unquoted)

# The truck adds up what was taken of an item since a day from this alone; the unit first, as nearly all are the item's.
Index(
    "ix_material_use_truck",
    material_use.c.item_id,
    material_use.c.source,
    material_use.c.unit,
    material_use.c.day,
    material_use.c.quantity,
)
