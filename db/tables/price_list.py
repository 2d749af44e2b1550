"""What can be bought: suppliers, items and their dated prices."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, String, Table, UniqueConstraint

from db.tables.base import METADATA, Percent, Quantity, UnitCost, key, ref

supplier = Table(
    "supplier",
    METADATA,
    key(),
    Column("name", String, nullable=False, unique=True),
    Column("phone", String, nullable=False, server_default=""),
    Column("archived", Boolean, nullable=False, server_default="0"),
    Column("mail", String, nullable=False, server_default=""),
    Column("address", String, nullable=False, server_default=""),
    Column("subcontractor", Boolean, nullable=False, server_default="0"),  # counted for the year's information returns
    Column("tax_form_on", Date),  # the day their taxpayer form came in; None: not on file
)

item = Table(
    "item",
    METADATA,
    key(),
    Column("code", String, nullable=False, unique=True),  # the owner's or the supplier's short code
    Column("name", String, nullable=False),
    Column("item_class", String, nullable=False),  # pipe, fitting, fan, electrical, sealing, membrane ...
    Column("unit", String, nullable=False),  # ft, each, tube, roll ...
    Column("pack_quantity", Quantity, nullable=False),  # units in what one buys; 10 ft stick = 10
    ref("supplier_id", "supplier", optional=True),
    Column("waste_percent", Percent, nullable=False),
    Column("archived", Boolean, nullable=False, server_default="0"),
    Column("costed_by", String, nullable=False, server_default="whole"),  # whole | used | cut
)

item_price = Table(
    "item_price",
    METADATA,
    key(),
    ref("item_id", "item"),
    Column("starts_on", Date, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),
    UniqueConstraint("item_id", "starts_on"),
)
