"""Customers, how to reach them, and the houses they own or ask about."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, Integer, String, Table, Text

from db.tables.base import METADATA, key, ref

customer = Table(
    "customer",
    METADATA,
    key(),
    Column("kind", String, nullable=False),  # person | firm
    Column("name", String, nullable=False),
    Column("billing_address", Text, nullable=False, server_default=""),
    Column("note", Text, nullable=False, server_default=""),
    Column("created_on", Date, nullable=False),
    Column("archived_on", Date),
)

contact = Table(
    "contact",
    METADATA,
    key(),
    ref("customer_id", "customer"),
    Column("kind", String, nullable=False),  # phone | mail
    Column("label", String, nullable=False, server_default=""),  # home, work, evenings ...
    Column("value", String, nullable=False),
)

property_ = Table(
    "property",
    METADATA,
    key(),
    ref("customer_id", "customer"),
    Column("street", String, nullable=False),
    Column("town", String, nullable=False, server_default=""),
    Column("region", String, nullable=False, server_default=""),
    Column("postcode", String, nullable=False, server_default=""),
    Column("year_built", Integer),
    Column("storeys", String, nullable=False, server_default=""),
    Column("slab", Boolean, nullable=False, server_default="0"),
    Column("basement", Boolean, nullable=False, server_default="0"),
    Column("crawl_space", Boolean, nullable=False, server_default="0"),
    Column("existing_system", Boolean, nullable=False, server_default="0"),
    Column("existing_by", String, nullable=False, server_default=""),  # who put it in, as far as known
    Column("note", Text, nullable=False, server_default=""),
    Column("archived_on", Date),
)
