"""Buying and the truck: counts, when to reorder, what was bought at which price, how a supplier's sheet is read."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Integer, String, Table, Text

from db.tables.base import METADATA, Quantity, UnitCost, key, ref

stock_count = Table(  # what was on the truck when it was counted; later uses and purchases are added up
    "stock_count",
    METADATA,
    key(),
    ref("item_id", "item"),
    Column("counted_on", Date, nullable=False),
    Column("quantity", Quantity, nullable=False),
    # The newest log entry and purchase when it was counted: what is entered later for that same day came after it.
    Column("last_use_id", Integer, nullable=False, server_default="0"),
    Column("last_purchase_id", Integer, nullable=False, server_default="0"),
)

stock_rule = Table(
    "stock_rule",
    METADATA,
    key(),
    Column("item_id", Integer, ForeignKey("item.id"), nullable=False, unique=True),
    Column("reorder_at", Quantity, nullable=False),
    Column("fill_to", Quantity, nullable=False),
)

purchase = Table(  # one line of what was bought, ticked off the shopping list or typed
    "purchase",
    METADATA,
    key(),
    Column("day", Date, nullable=False),
    ref("supplier_id", "supplier", optional=True),
    ref("item_id", "item", optional=True),
    Column("description", String, nullable=False, server_default=""),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),  # the price paid
    Column("receipt", String, nullable=False, server_default=""),
    ref("job_id", "job", optional=True),  # bought for one job; None: onto the truck
    Column("onto_truck", Boolean, nullable=False, server_default="1"),
    Column("note", String, nullable=False, server_default=""),
    Column("tax_cents", Integer, nullable=False, server_default="0"),  # its share of the receipt's sales tax
)

truck_offcut = Table(  # a piece of pipe that was left over and lies on the truck until a cut list uses it
    "truck_offcut",
    METADATA,
    key(),
    Column("size", Quantity, nullable=False),  # nominal inches
    Column("feet", Quantity, nullable=False),
    Column("kept_on", Date, nullable=False),
    ref("from_job_id", "job", optional=True),  # None: typed on the truck
    Column("used_on", Date),
    ref("used_job_id", "job", optional=True),
)

supplier_sheet = Table(  # how the columns of a supplier's price sheet were read last time
    "supplier_sheet",
    METADATA,
    key(),
    Column("headings", Text, nullable=False),  # the sheet's own headings, as a JSON list
    Column("columns", Text, nullable=False),  # JSON: our field -> heading
    ref("supplier_id", "supplier", optional=True),
    Column("used_on", Date, nullable=False),
)
