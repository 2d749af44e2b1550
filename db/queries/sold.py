"""Which quotes count as sold, and what their lines come to; what costing and margins both start from."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Select, or_, select

from db.tables import job, quote, quote_option
from domain.money import percent_of
from domain.quoting.tax import LUMP_SUM

NO_TAX = Decimal(0)

Jobs = Select[tuple[int]] | None
"""A select of job ids; None for every job."""


class Sold(NamedTuple):
    """The head of an accepted proposal or change order."""

    quote_id: int
    job_id: int
    is_order: bool  # a change order
    version: int
    price_cents: int  # before goodwill and tax
    goodwill_cents: int
    overhead_rate_cents: int
    lump_sum_percent: Decimal  # tax paid on purchases; 0 for other treatments


def sold_quotes(conn: Connection, jobs: Jobs = None) -> dict[int, Sold]:
    """By quote id: the last accepted proposal and every accepted change order of these jobs."""
    query = (
        select(
            quote.c.id,
            quote.c.job_id,
            quote.c.kind,
            quote.c.version,
            quote.c.price_cents,
            quote.c.goodwill_cents,
            quote.c.overhead_rate_cents,
            quote.c.tax_treatment,
            quote.c.tax_percent,
        )
        .where(quote.c.accepted_on.is_not(None), *of_jobs(quote, jobs))
        .order_by(quote.c.id)
    )
    found = {
        quote_id: Sold(
            quote_id, job_id, kind != "proposal", version, price or 0, goodwill, overhead,
            percent if treatment == LUMP_SUM else NO_TAX,
        )
        for quote_id, job_id, kind, version, price, goodwill, overhead, treatment, percent in conn.execute(query).all()
    }  # fmt: skip
    standing: dict[int, Sold] = {}
    for one in found.values():
        known = standing.get(one.job_id)
        if not one.is_order and (known is None or known.version <= one.version):
            standing[one.job_id] = one
    return {one.quote_id: one for one in found.values() if one.is_order or standing[one.job_id] is one}


def lump_sum_percent(conn: Connection, job_id: int) -> Decimal:
    """The tax expected on a job's purchases, in percent: that of its accepted proposal, 0 unless it is a lump sum."""
    sold = sold_quotes(conn, select(job.c.id).where(job.c.id == job_id))
    return next((one.lump_sum_percent for one in sold.values() if not one.is_order), NO_TAX)


def of_jobs(table: Any, jobs: Jobs) -> list[ColumnElement[bool]]:
    """The condition that a row of a table with a job belongs to one of these jobs; none for every job."""
    return [] if jobs is None else [table.c.job_id.in_(jobs)]


def lines_sold(line: Any, columns: Iterable[Any], jobs: Jobs = None) -> Select[Any]:
    """Select from the lines that stand when their quote is accepted: those of the base and of the options chosen.

    For every job all quotes are read, which is quicker than asking of each whether it was accepted.
    """
    query = (
        select(*columns)
        .select_from(line)
        .outerjoin(quote_option, quote_option.c.id == line.c.option_id)
        .where(or_(line.c.option_id.is_(None), quote_option.c.chosen))
    )
    if jobs is None:
        return query
    accepted = select(quote.c.id).where(quote.c.accepted_on.is_not(None), *of_jobs(quote, jobs))
    return query.where(line.c.quote_id.in_(accepted))


def purchase_tax(materials_cents: int, percent: Decimal) -> int:
    """Sales tax on purchases, half up: the same cent as `domain.quoting.tax.tax_of`, sooner."""
    return percent_of(materials_cents, percent) if percent else 0
