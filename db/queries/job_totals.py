"""One statement that adds up every job: what was sold and what was spent, a row a job.

Each table is added up by itself to one row a quote or job, and only then are the rows joined, so that no join can
count an entry twice. Every rounding is the domain's own, see `db.queries.exact`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import FromClause, Select, Subquery, and_, case, func, literal, or_, select

from db.queries.exact import amount_cents, as_stored, quotient, time_cents
from db.queries.sold import Jobs, lines_sold, of_jobs
from db.tables import (
    customer,
    hours_entry,
    job,
    job_type,
    labour_line,
    lead_source,
    material_line,
    material_use,
    other_cost,
    other_line,
    price_adjustment,
    property_,
    quote,
)
from db.tables.base import Percent
from domain.quoting.tax import LUMP_SUM

_PERCENT = 100 * 10**Percent.places
"""A stored percentage is so many parts of the whole."""


def job_totals(owners: Sequence[int], jobs: Jobs = None) -> Select[Any]:
    """Select a row a job, by number: id, number, title, customer, job type, lead source, opened, closed, cancelled,
    slab, basement, crawl space; then, in the order of `JobResult`, accepted ... unanswered.

    Args:
        owners: the ids of the owners, whose time is told apart; given, since asking for each entry takes longer.
        jobs: add up these only; the same condition is to be set on the rows themselves.
    """
    sold, hours = _sold(jobs), _hours(owners, jobs)
    used, paid, off = _amounts("used", material_use, jobs), _amounts("paid", other_cost, jobs), _written_off(jobs)
    stuff = _or_none(used.c.cents)
    tax = case((sold.c.tax != 0, quotient(stuff * sold.c.tax, _PERCENT)), else_=0)
    query = select(
        *_HEAD,
        func.coalesce(sold.c.proposals, 0) > 0,
        *(_or_none(sold.c[name]).label(name) for name in ("price", "cost", "order_price", "order_cost", "goodwill")),
        _or_none(off.c.cents),
        _or_none(sold.c.minutes).label("quoted_minutes"),
        _or_none(hours.c.minutes).label("actual_minutes"),
        (_or_none(hours.c.cents) + stuff + _or_none(paid.c.cents) + tax).label("actual_cost"),
        _or_none(hours.c.own_minutes),
        _or_none(hours.c.own_cents),
        job.c.unanswered,
    ).select_from(_heads())
    for totals in (sold, hours, used, paid, off):
        query = query.outerjoin(totals, totals.c.job_id == job.c.id)
    return query.order_by(job.c.number)


_HEAD = (
    job.c.id,
    job.c.number,
    job.c.title,
    customer.c.name,
    job_type.c.name,
    lead_source.c.name,
    job.c.opened_on,
    job.c.closed_on,
    job.c.cancelled_on,
    property_.c.slab,
    property_.c.basement,
    property_.c.crawl_space,
)


def _heads() -> FromClause:
    return (
        job.join(customer, customer.c.id == job.c.customer_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .outerjoin(lead_source, lead_source.c.id == job.c.lead_source_id)
    )


def _or_none(cents: Any) -> Any:
    """0 where a job has no row of that kind."""
    return func.coalesce(cents, 0)


def _sold(jobs: Jobs) -> Subquery:
    """A row a job: its last accepted proposal, its accepted change orders added up, and what both allow."""
    quoted = _priced(jobs)
    proposal = quoted.c.kind == "proposal"

    def of(one: bool, column: Any) -> Any:
        return func.sum(case((proposal, column if one else 0), else_=0 if one else column))

    return (
        select(
            quoted.c.job_id,
            of(True, literal(1)).label("proposals"),
            of(True, quoted.c.price).label("price"),
            of(True, quoted.c.cost).label("cost"),
            of(False, quoted.c.price).label("order_price"),
            of(False, quoted.c.cost).label("order_cost"),
            func.sum(quoted.c.goodwill).label("goodwill"),
            func.sum(quoted.c.minutes).label("minutes"),
            of(True, quoted.c.tax).label("tax"),
        )
        .group_by(quoted.c.job_id)
        .subquery("sold")
    )


def _priced(jobs: Jobs) -> Subquery:
    """A row a quote that stands: its price, and its cost with overhead and tax on purchases."""
    last = (
        select(quote.c.job_id, func.max(quote.c.version).label("version"))
        .where(quote.c.kind == "proposal", quote.c.accepted_on.is_not(None), *of_jobs(quote, jobs))
        .group_by(quote.c.job_id)
        .subquery("last_one")
    )
    time, stuff = _line_time(jobs), _line_amounts("stuff", material_line, jobs)
    other = _line_amounts("other", other_line, jobs)
    minutes, materials = _or_none(time.c.minutes), _or_none(stuff.c.cents)
    tax = case((quote.c.tax_treatment == LUMP_SUM, as_stored(quote.c.tax_percent)), else_=0)
    cost = (
        _or_none(time.c.cents)
        + materials
        + _or_none(other.c.cents)
        + time_cents(minutes, quote.c.overhead_rate_cents)
        + case((tax != 0, quotient(materials * tax, _PERCENT)), else_=0)
    )
    query = select(
        quote.c.job_id,
        quote.c.kind,
        _or_none(quote.c.price_cents).label("price"),
        quote.c.goodwill_cents.label("goodwill"),
        minutes.label("minutes"),
        cost.label("cost"),
        tax.label("tax"),
    ).select_from(quote)
    for lines in (time, stuff, other):
        query = query.outerjoin(lines, lines.c.quote_id == quote.c.id)
    stands = or_(quote.c.kind != "proposal", quote.c.version == last.c.version)
    return (
        query.outerjoin(last, and_(last.c.job_id == quote.c.job_id))
        .where(quote.c.accepted_on.is_not(None), stands, *of_jobs(quote, jobs))
        .subquery("priced")
    )


def _line_time(jobs: Jobs) -> Subquery:
    line = labour_line.c
    columns = (
        line.quote_id,
        func.sum(line.minutes).label("minutes"),
        func.sum(time_cents(line.minutes, line.rate_cents)).label("cents"),
    )
    return lines_sold(labour_line, columns, jobs).group_by(line.quote_id).subquery("line_time")


def _line_amounts(name: str, line: Any, jobs: Jobs) -> Subquery:
    columns = (line.c.quote_id, func.sum(amount_cents(line.c.quantity, line.c.unit_cost)).label("cents"))
    return lines_sold(line, columns, jobs).group_by(line.c.quote_id).subquery(name)


def _hours(owners: Sequence[int], jobs: Jobs) -> Subquery:
    """A row a job: all time with its overhead, and the owner's own part of it."""
    entry = hours_entry.c
    own, labour = entry.person_id.in_(owners), time_cents(entry.minutes, entry.rate_cents)
    return (
        select(
            entry.job_id,
            func.sum(entry.minutes).label("minutes"),
            func.sum(labour + time_cents(entry.minutes, entry.overhead_rate_cents)).label("cents"),
            func.sum(case((own, entry.minutes), else_=0)).label("own_minutes"),
            func.sum(case((own, labour), else_=0)).label("own_cents"),
        )
        .where(*of_jobs(hours_entry, jobs))
        .group_by(entry.job_id)
        .subquery("hours")
    )


def _amounts(name: str, entry: Any, jobs: Jobs) -> Subquery:
    return (
        select(entry.c.job_id, func.sum(amount_cents(entry.c.quantity, entry.c.unit_cost)).label("cents"))
        .where(*of_jobs(entry, jobs))
        .group_by(entry.c.job_id)
        .subquery(name)
    )


def _written_off(jobs: Jobs) -> Subquery:
    adjustment = price_adjustment.c
    return (
        select(adjustment.job_id, func.sum(adjustment.amount_cents).label("cents"))
        .where(adjustment.kind == "write_off", *of_jobs(price_adjustment, jobs))
        .group_by(adjustment.job_id)
        .subquery("written_off")
    )
