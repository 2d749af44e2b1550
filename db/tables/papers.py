"""Papers as they were issued, with their own PDF, and the owner's own texts for them."""

from __future__ import annotations

from sqlalchemy import Column, Date, Integer, LargeBinary, String, Table, Text, UniqueConstraint

from db.tables.base import METADATA, key, ref

paper = Table(
    "paper",
    METADATA,
    key(),
    Column("kind", String, nullable=False),  # domain.papers.PAPER_KINDS
    Column("number", String, nullable=False),  # without gaps within a kind that is numbered; else ""
    Column("title", String, nullable=False),
    Column("issued_on", Date, nullable=False, index=True),
    Column("issued_at", String, nullable=False),  # ISO 8601 with offset
    Column("sent_to", String, nullable=False, server_default=""),
    ref("customer_id", "customer", optional=True),
    ref("job_id", "job", optional=True),
    ref("quote_id", "quote", optional=True),
    ref("invoice_id", "invoice", optional=True),
    ref("payment_id", "payment", optional=True),
    Column("pages", Integer, nullable=False),
    Column("sha256", String, nullable=False),
)

# The PDF itself lies apart and outside the journal, under the sum of its bytes: it is written once and never changes,
# and a paper that is undone and done again finds it where it was.
paper_file = Table(
    "paper_file",
    METADATA,
    key(),
    Column("sha256", String, nullable=False, unique=True),
    Column("pdf", LargeBinary, nullable=False),
)

paper_text = Table(  # the owner's own words; without a row the built-in ones are used
    "paper_text",
    METADATA,
    key(),
    Column("kind", String, nullable=False),  # which paper, or "all"
    Column("part", String, nullable=False),  # domain.papers.texts.PARTS
    Column("wording", Text, nullable=False),
    UniqueConstraint("kind", "part"),
)
