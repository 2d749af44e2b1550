"""Quotes: proposals in versions, change orders, their options and lines. A sent one never changes."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Boolean, Column, Date, ForeignKey, Index, Integer, String, Table, Text

from db.tables.base import METADATA, Percent, Quantity, UnitCost, key, ref

quote = Table(
    "quote",
    METADATA,
    key(),
    ref("job_id", "job"),
    Column("kind", String, nullable=False),  # proposal | change_order
    Column("version", Integer, nullable=False),  # proposals count versions, change orders count up
    Column("title", String, nullable=False, server_default=""),
    Column("created_on", Date, nullable=False),
    Column("sent_on", Date),  # from here on the row and its lines are frozen
    Column("expires_on", Date),
    Column("accepted_on", Date),
    Column("declined_on", Date),
    Column("declined_reason", String, nullable=False, server_default=""),
    # how it is priced
    Column("pricing", String, nullable=False),  # margin | markup | fixed
    Column("pricing_percent", Percent, nullable=False),  # the margin or markup asked for
    Column("fixed_price_cents", Integer, nullable=False, server_default="0"),
    Column("minimum_charge_cents", Integer, nullable=False),
    Column("rounding_cents", Integer, nullable=False),
    Column("goodwill_cents", Integer, nullable=False, server_default="0"),
    Column("goodwill_reason", String, nullable=False, server_default=""),
    Column("tax_treatment", String, nullable=False),  # none | lump_sum | separated
    Column("tax_percent", Percent, nullable=False),
    Column("deposit_percent", Percent, nullable=False),
    # rates of its day
    Column("owner_rate_cents", Integer, nullable=False),
    Column("helper_rate_cents", Integer, nullable=False),
    Column("overhead_rate_cents", Integer, nullable=False),
    Column("mile_cost", UnitCost, nullable=False),
    # words
    Column("scope_text", Text, nullable=False, server_default=""),
    Column("not_included_text", Text, nullable=False, server_default=""),
    Column("warranty_text", Text, nullable=False, server_default=""),
    Column("above_action_text", Text, nullable=False, server_default=""),
    Column("caution_text", Text, nullable=False, server_default=""),
    Column("terms_text", Text, nullable=False, server_default=""),
    # what was told, written when it is sent and again when it is accepted with the options chosen
    Column("price_cents", Integer),  # base and chosen options, before goodwill and tax
    Column("tax_cents", Integer),
    Column("deposit_cents", Integer),
)
quote.append_column(Column("lists_work", Boolean, nullable=False, server_default="0"))  # below the scope
quote.append_column(Column("work_listed", Text, nullable=False, server_default=""))  # as the customer got it
# The drawn route is printed though the quote was not made from it.
quote.append_column(Column("shows_route", Boolean, nullable=False, server_default="0"))

quote_option = Table(
    "quote_option",
    METADATA,
    key(),
    ref("quote_id", "quote"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("name", String, nullable=False),
    Column("description", Text, nullable=False, server_default=""),
    Column("chosen", Boolean, nullable=False, server_default="0"),
    Column("price_cents", Integer),  # what was told
)


def _line(name: str, *columns: Column[Any], from_takeoff: bool = False) -> Table:
    return Table(
        name,
        METADATA,
        key(),
        ref("quote_id", "quote", index=False),  # see the costing indexes below
        ref("option_id", "quote_option", optional=True),  # None: part of the base
        Column("position", Integer, nullable=False, server_default="0"),
        *columns,
        Column("reason", String, nullable=False, server_default=""),
        # What the takeoff calls a line; "" for a line that was typed. Only lines with a name follow the takeoff.
        *([Column("takeoff_key", String, nullable=False, server_default="")] if from_takeoff else []),
    )


labour_line = _line(
    "labour_line",
    ref("task_id", "labour_task"),
    Column("crew", String, nullable=False),  # owner | helper
    Column("quantity", Quantity, nullable=False),
    Column("unit_minutes", Quantity, nullable=False),  # the task's standard on the day
    Column("factor_percent", Percent, nullable=False),  # product of the access conditions
    Column("standard_minutes", Integer, nullable=False),  # quantity x unit_minutes x factor
    Column("override_minutes", Integer),  # what the owner typed instead
    Column("minutes", Integer, nullable=False),  # override, else standard
    Column("rate_cents", Integer, nullable=False),  # burdened, per hour
    from_takeoff=True,
)
# What the owner meant before he took the correction of the record of finished jobs; None: none was taken.
labour_line.append_column(Column("own_minutes", Integer))

material_line = _line(
    "material_line",
    ref("item_id", "item", optional=True),  # None: something not on the price list
    Column("description", String, nullable=False, server_default=""),
    Column("net_quantity", Quantity, nullable=False),
    Column("waste_percent", Percent, nullable=False),
    Column("quantity", Quantity, nullable=False),  # net with waste
    Column("unit", String, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),
    from_takeoff=True,
)

# How many the takeoff wrote there; another number was typed over it. None: typed, or from before it was kept.
labour_line.append_column(Column("takeoff_quantity", Quantity))
material_line.append_column(Column("takeoff_quantity", Quantity))
# New sticks to buy where the job is costed by the cut list; None: as many as the quantity.
material_line.append_column(Column("buy_quantity", Quantity))

other_line = _line(
    "other_line",
    Column("kind", String, nullable=False),  # permit | subcontractor | equipment | travel | other
    Column("description", String, nullable=False, server_default=""),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),
)

quote_sketch = Table(  # the routes and their air as the customer got them, kept when the quote is sent
    "quote_sketch",
    METADATA,
    key(),
    Column("quote_id", Integer, ForeignKey("quote.id"), nullable=False, unique=True),
    Column("details", Text, nullable=False),  # JSON: routes in words, fan, readings
)

# The costing adds up every line of every accepted quote from these alone, without reading the rows.
Index(
    "ix_labour_line_costing",
    labour_line.c.quote_id,
    labour_line.c.option_id,
    labour_line.c.minutes,
    labour_line.c.rate_cents,
)
for _table in (material_line, other_line):
    Index(
        f"ix_{_table.name}_costing",
        _table.c.quote_id,
        _table.c.option_id,
        _table.c.quantity,
        _table.c.unit_cost,
    )
