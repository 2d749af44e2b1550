"""What the firm owes and what the books need: bills, miles, account names, closed months, corrections."""

from __future__ import annotations

from sqlalchemy import Column, Date, Integer, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, Quantity, key, ref

attachment = Table(  # a picture or PDF copied into the company's own folder under a name of our own
    "attachment",
    METADATA,
    key(),
    Column("file_name", String, nullable=False, unique=True),
    Column("original_name", String, nullable=False),
    Column("sha256", String, nullable=False),
    Column("size", Integer, nullable=False),  # bytes
    Column("added_on", Date, nullable=False),
)

bill = Table(  # a supplier's or subcontractor's bill, or a receipt paid on the spot; a supplier's credit is negative
    "bill",
    METADATA,
    key(),
    ref("supplier_id", "supplier"),
    Column("kind", String, nullable=False),  # bill | receipt | credit
    Column("number", String, nullable=False, server_default=""),  # theirs
    Column("billed_on", Date, nullable=False, index=True),
    Column("due_on", Date),
    Column("net_cents", Integer, nullable=False),
    Column("tax_cents", Integer, nullable=False),  # sales tax paid
    Column("note", Text, nullable=False, server_default=""),
    ref("attachment_id", "attachment", optional=True),
)

bill_line = Table(  # what a bill was for; the lines add up to its net amount
    "bill_line",
    METADATA,
    key(),
    ref("bill_id", "bill"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("kind", String, nullable=False),  # materials | truck_stock | subcontractor | permit | equipment | overhead
    Column("description", String, nullable=False, server_default=""),
    Column("net_cents", Integer, nullable=False),
    ref("job_id", "job", optional=True),
    ref("purchase_id", "purchase", optional=True),  # what was ticked off or typed when it was bought
    ref("material_use_id", "material_use", optional=True),  # the log's own line it is matched to
    ref("other_cost_id", "other_cost", optional=True),
)

bill_payment = Table(
    "bill_payment",
    METADATA,
    key(),
    ref("bill_id", "bill"),
    Column("paid_on", Date, nullable=False, index=True),
    Column("amount_cents", Integer, nullable=False),
    Column("means", String, nullable=False),  # check | card | cash | transfer | other
    Column("reference", String, nullable=False, server_default=""),
)

trip = Table(  # business miles that belong to no job; a job's own miles are in its log
    "trip",
    METADATA,
    key(),
    Column("day", Date, nullable=False, index=True),
    Column("miles", Quantity, nullable=False),
    Column("purpose", String, nullable=False),
    Column("route", String, nullable=False, server_default=""),  # from and to, in words
)

ledger_account = Table(  # the owner's own number and name for an account of ours
    "ledger_account",
    METADATA,
    key(),
    Column("role", String, nullable=False, unique=True),  # domain.ledger.ROLES
    Column("number", String, nullable=False, server_default=""),
    Column("name", String, nullable=False),
)

closed_month = Table(
    "closed_month",
    METADATA,
    key(),
    Column("month", String, nullable=False, unique=True),  # 2026-11
    Column("closed_on", Date, nullable=False),
    Column("note", Text, nullable=False, server_default=""),
    Column("figures", Text, nullable=False, server_default=""),  # JSON: its sums when it was closed
)

correction = Table(  # a row of a closed month that was wrong, and the row of an open month that puts it right
    "correction",
    METADATA,
    key(),
    Column("made_on", Date, nullable=False),
    Column("table_name", String, nullable=False),
    Column("wrong_id", Integer, nullable=False),
    Column("right_id", Integer, nullable=False),
    Column("reason", String, nullable=False),
    UniqueConstraint("table_name", "right_id"),
)
