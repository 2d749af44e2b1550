"""The firm itself: its one row of settings, its people and what an hour, a month and a mile cost it."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, Integer, LargeBinary, String, Table, Text

from db.tables.base import METADATA, Percent, UnitCost, key, ref

company = Table(
    "company",
    METADATA,
    key(),  # always 1
    Column("name", String, nullable=False),
    Column("owner_name", String, nullable=False, server_default=""),
    Column("street", String, nullable=False, server_default=""),
    Column("town", String, nullable=False, server_default=""),  # town, region and postcode on one line
    Column("phone", String, nullable=False, server_default=""),
    Column("mail", String, nullable=False, server_default=""),
    Column("licence_number", String, nullable=False, server_default=""),
    Column("unit_system", String, nullable=False, server_default="us"),  # us | metric
    Column("radon_unit", String, nullable=False, server_default="pCi/L"),  # pCi/L | Bq/m3
    Column("margin_percent", Percent, nullable=False),  # target margin of a new quote
    Column("minimum_charge_cents", Integer, nullable=False),
    Column("rounding_cents", Integer, nullable=False),  # a price is rounded up to a multiple of this; 1 = none
    Column("deposit_percent", Percent, nullable=False),
    Column("tax_treatment", String, nullable=False),  # none | lump_sum | separated
    Column("tax_percent", Percent, nullable=False),
    Column("tax_place", String, nullable=False, server_default=""),
    Column("valid_days", Integer, nullable=False),  # how long a sent proposal stands
    Column("follow_up_days", Integer, nullable=False),
    Column("capacity_minutes_per_day", Integer, nullable=False),
    Column("not_included_text", Text, nullable=False, server_default=""),
    Column("warranty_text", Text, nullable=False, server_default=""),
    Column("above_action_text", Text, nullable=False, server_default=""),
    Column("caution_text", Text, nullable=False, server_default=""),
    Column("terms_text", Text, nullable=False, server_default=""),
    Column("pinned_today", Date),  # a made-up company's evening; None: the real day
    Column("invoice_due_days", Integer, nullable=False, server_default="14"),
    Column("standard_text", String, nullable=False, server_default=""),  # the standard worked to, with its edition
    Column("electricity_rate", UnitCost, nullable=False, server_default="0"),  # dollars per kWh; 0: not entered
    Column("heat_loss_low_cents", Integer, nullable=False, server_default="0"),  # a year, the owner's stated range
    Column("heat_loss_high_cents", Integer, nullable=False, server_default="0"),
    Column("logo_sha256", String, nullable=False, server_default=""),  # the picture on papers, in logo_file
)

# The picture lies apart and outside the journal, under the sum of its bytes, so that undo and redo find it again.
logo_file = Table(
    "logo_file",
    METADATA,
    key(),
    Column("sha256", String, nullable=False, unique=True),
    Column("picture", LargeBinary, nullable=False),  # PNG
)

person = Table(
    "person",
    METADATA,
    key(),
    Column("name", String, nullable=False),
    Column("role", String, nullable=False),  # owner | helper
    Column("archived", Boolean, nullable=False, server_default="0"),
)

person_cost = Table(
    "person_cost",
    METADATA,
    key(),
    ref("person_id", "person"),
    Column("starts_on", Date, nullable=False),
    Column("wage_cents", Integer, nullable=False),  # wage, or the owner's draw, per paid hour
    Column("paid_hours", Integer, nullable=False),  # a year
    Column("billable_hours", Integer, nullable=False),  # a year
    Column("workers_comp_percent", Percent, nullable=False),
    Column("state_unemployment_percent", Percent, nullable=False),
    Column("state_unemployment_base_cents", Integer, nullable=False),
    Column("other_cents_per_year", Integer, nullable=False),
)

overhead_item = Table(
    "overhead_item",
    METADATA,
    key(),
    Column("name", String, nullable=False),
    Column("cents_per_month", Integer, nullable=False),
    Column("starts_on", Date, nullable=False),
    Column("ends_on", Date),
)

overhead_basis = Table(
    "overhead_basis",
    METADATA,
    key(),
    Column("starts_on", Date, nullable=False),
    Column("billable_minutes_per_month", Integer, nullable=False),
)

mile_cost = Table(
    "mile_cost",
    METADATA,
    key(),
    Column("starts_on", Date, nullable=False),
    Column("unit_cost", UnitCost, nullable=False),  # dollars per mile
)

timer = Table(  # at most one row: the clock that runs on while the program is closed
    "timer",
    METADATA,
    key(),
    ref("job_id", "job"),
    ref("task_id", "labour_task"),
    ref("person_id", "person"),
    Column("started_at", String, nullable=False),  # local wall time, ISO 8601 to the second
)

