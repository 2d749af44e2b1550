"""What customers owe: invoices and credit notes, payments and refunds, and which settles which."""

from __future__ import annotations

from sqlalchemy import Column, Date, Index, Integer, String, Table, Text

from db.tables.base import METADATA, Percent, Quantity, UnitCost, key, ref

# A draft has no number. Issuing gives it one, fills in the amounts and freezes it with its lines: from then on it is
# only ever credited. A credit note stands in the same table, with negative amounts, so that sums need no sign rules.
invoice = Table(
    "invoice",
    METADATA,
    key(),
    Column("kind", String, nullable=False),  # deposit | progress | final | other | credit_note
    Column("number", String, unique=True),
    ref("customer_id", "customer"),
    ref("job_id", "job", optional=True),
    Column("bill_to", Text, nullable=False, server_default=""),  # name and address as printed
    ref("payer_id", "party", optional=True),  # who really pays, when not the customer: the closing's escrow
    Column("payer_reference", String, nullable=False, server_default=""),  # escrow or file number
    Column("created_on", Date, nullable=False),
    Column("issued_on", Date, index=True),
    Column("due_on", Date),
    Column("tax_treatment", String, nullable=False),  # none | lump_sum | separated
    Column("tax_percent", Percent, nullable=False),
    Column("tax_place", String, nullable=False, server_default=""),
    Column("terms_text", Text, nullable=False, server_default=""),
    Column("note", Text, nullable=False, server_default=""),
    ref("credits_id", "invoice", optional=True),  # a credit note: the invoice it takes back, in part or whole
    Column("reason", String, nullable=False, server_default=""),  # a credit note: why
    Column("net_cents", Integer),  # when issued: the lines' sum
    Column("taxable_cents", Integer),  # when issued: the part of it that is taxed
    Column("tax_cents", Integer),  # when issued
    # What a credit note or a discount gives up, in the job's margin. A credit note without it takes back what was
    # invoiced wrongly: that is still to be invoiced.
    ref("write_off_id", "price_adjustment", optional=True),
)

invoice_line = Table(
    "invoice_line",
    METADATA,
    key(),
    ref("invoice_id", "invoice"),
    Column("position", Integer, nullable=False, server_default="0"),
    Column("kind", String, nullable=False),  # contract | option | change_order | earlier | discount | extra | deposit
    Column("description", Text, nullable=False),
    Column("quantity", Quantity, nullable=False),
    Column("unit", String, nullable=False, server_default=""),
    Column("unit_price", UnitCost, nullable=False),
    Column("net_cents", Integer, nullable=False),  # quantity x unit price, rounded
    Column("taxable_cents", Integer, nullable=False, server_default="0"),
    ref("quote_id", "quote", optional=True),
    ref("earlier_id", "invoice", optional=True),  # kind earlier: the invoice that is taken off
)

payment = Table(  # money that came in, or went back (refund, returned check: negative)
    "payment",
    METADATA,
    key(),
    ref("customer_id", "customer"),
    ref("job_id", "job", optional=True),
    Column("received_on", Date, nullable=False, index=True),
    Column("kind", String, nullable=False),  # payment | refund | returned
    Column("means", String, nullable=False),  # check | card | cash | transfer | escrow | other
    Column("amount_cents", Integer, nullable=False),  # refund and returned: negative
    Column("payer", String, nullable=False, server_default=""),
    Column("reference", String, nullable=False, server_default=""),  # check, escrow or transfer number
    Column("number", String, unique=True),  # the receipt's
    ref("takes_back_id", "payment", optional=True),  # refund, returned: the payment it is about
    Column("note", Text, nullable=False, server_default=""),
)

bad_debt = Table(  # an invoice's rest that will not come
    "bad_debt",
    METADATA,
    key(),
    ref("invoice_id", "invoice"),
    Column("day", Date, nullable=False),
    Column("net_cents", Integer, nullable=False),
    Column("tax_cents", Integer, nullable=False),
    Column("reason", String, nullable=False),
    ref("write_off_id", "price_adjustment", optional=True),  # the same money in the job's margin
)

settlement = Table(  # so much of an invoice is settled by exactly one payment, credit note or bad debt
    "settlement",
    METADATA,
    key(),
    ref("invoice_id", "invoice", index=False),  # see the indexes below
    Column("settled_on", Date, nullable=False),
    Column("amount_cents", Integer, nullable=False),  # positive; negative when it is taken back again
    ref("payment_id", "payment", optional=True, index=False),
    ref("credit_id", "invoice", optional=True),
    ref("bad_debt_id", "bad_debt", optional=True),
)

# What is open of every invoice, and what is left of every payment, is added up from these alone.
Index("ix_settlement_of_invoice", settlement.c.invoice_id, settlement.c.settled_on, settlement.c.amount_cents)
Index("ix_settlement_of_payment", settlement.c.payment_id, settlement.c.settled_on, settlement.c.amount_cents)
