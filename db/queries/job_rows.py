"""Jobs as lists show them: the facts of a state, the next deadline and the price, in one statement."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from sqlalchemy import Connection, FromClause, Select, and_, func, not_, or_, select

from db.tables import customer, deadline, hours_entry, job, job_type, property_, quote, radon_test, survey
from domain.jobs import JobFacts, JobRow, job_state

_proposal = quote.alias("proposal")
_sent = quote.alias("sent")

_newest_sent = (
    select(_proposal.c.id)
    .where(_proposal.c.job_id == job.c.id, _proposal.c.kind == "proposal", _proposal.c.sent_on.is_not(None))
    .order_by(_proposal.c.version.desc())
    .limit(1)
    .correlate(job)
    .scalar_subquery()
)
_tested_on = (
    select(func.max(radon_test.c.ended_on))
    .where(radon_test.c.job_id == job.c.id, radon_test.c.purpose == "after")
    .scalar_subquery()
)
_begun_on = select(func.min(hours_entry.c.day)).where(hours_entry.c.job_id == job.c.id).scalar_subquery()
_extra_cents = (
    select(func.coalesce(func.sum(quote.c.price_cents - quote.c.goodwill_cents), 0))
    .where(quote.c.job_id == job.c.id, quote.c.kind == "change_order", quote.c.accepted_on.is_not(None))
    .scalar_subquery()
)


def _next_deadline(column: Any) -> Any:
    return (
        select(column)
        .where(deadline.c.job_id == job.c.id, not_(deadline.c.met))
        .order_by(deadline.c.due_on, deadline.c.id)
        .limit(1)
        .scalar_subquery()
    )


def _with_facts() -> FromClause:
    """job with its survey and its newest sent proposal, where there are any."""
    return job.outerjoin(survey, survey.c.job_id == job.c.id).outerjoin(_sent, _sent.c.id == _newest_sent)


_FACTS = (
    survey.c.surveyed_on,
    _sent.c.sent_on,
    _sent.c.expires_on,
    _sent.c.accepted_on,
    _sent.c.declined_on,
    job.c.scheduled_on,
    job.c.installed_on,
    _tested_on.label("tested_on"),
    job.c.invoiced_on,
    job.c.paid_on,
    job.c.cancelled_on,
    _begun_on.label("begun_on"),
)
"""In the order of JobFacts."""

_ROW = (
    job.c.id,
    job.c.number,
    job.c.title,
    job.c.customer_id,
    customer.c.name,
    property_.c.street,
    property_.c.town,
    job_type.c.name.label("job_type"),
    job.c.opened_on,
    job.c.closed_on,
    _next_deadline(deadline.c.due_on).label("deadline_on"),
    _next_deadline(deadline.c.reason).label("deadline_reason"),
    (_sent.c.price_cents - _sent.c.goodwill_cents + _extra_cents).label("price_cents"),
)


def job_facts(conn: Connection, *where: Any) -> dict[int, JobFacts]:
    """What the state of each job is derived from, by job id, in one statement; conditions are on `job`."""
    query = select(job.c.id, *_FACTS).select_from(_with_facts()).where(*where)
    return {row[0]: JobFacts(*row[1:]) for row in conn.execute(query)}


def job_rows(conn: Connection, today: date, *where: Any, limit: int | None = None) -> list[JobRow]:
    """Jobs, newest first, in one statement; conditions are on `job` or from `filter_condition`."""
    joined = (
        _with_facts()
        .join(customer, customer.c.id == job.c.customer_id)
        .join(property_, property_.c.id == job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
    )
    newest_first = (job.c.opened_on.desc(), job.c.id.desc())
    if limit is not None:  # so that the columns are gathered for the rows shown, not for all that are sorted
        shown = select(job.c.id).select_from(_with_facts()).where(*where).order_by(*newest_first).limit(limit)
        where = (job.c.id.in_(shown),)
    query = select(*_ROW, *_FACTS).select_from(joined).where(*where).order_by(*newest_first)
    return list(_rows(conn, query, today))


def _rows(conn: Connection, query: Select[Any], today: date) -> Iterator[JobRow]:
    width = len(_ROW)
    for row in conn.execute(query):
        facts = JobFacts(*row[width:])
        (job_id, number, title, customer_id, name, street, town, kind, opened, closed, due, reason, price) = row[:width]
        yield JobRow(
            job_id, number, title, customer_id, name, f"{street}, {town}" if town else street, kind, opened, closed,
            due, reason or "", price, facts, job_state(facts, today),
        )  # fmt: skip


def filter_condition(which: str, today: date) -> Any:
    """`domain.jobs.in_filter` as a condition of `job_rows`, so that a list reads only what it shows."""
    ended = or_(job.c.closed_on.is_not(None), job.c.cancelled_on.is_not(None))
    moving = or_(*(column.is_not(None) for column in (
        job.c.paid_on, job.c.invoiced_on, job.c.installed_on, _sent.c.accepted_on,
    )))  # fmt: skip
    run_out = and_(_sent.c.expires_on.is_not(None), _sent.c.expires_on < today)
    lost_quote = and_(not_(moving), or_(_sent.c.declined_on.is_not(None), run_out))
    conditions = {
        "open": and_(not_(ended), or_(moving, _sent.c.id.is_(None), not_(lost_quote))),
        "waiting": and_(not_(ended), not_(moving), _sent.c.id.is_not(None), not_(lost_quote)),
        "running": and_(not_(ended), moving),
        "closed": and_(job.c.closed_on.is_not(None), job.c.cancelled_on.is_(None)),
        "lost": or_(job.c.cancelled_on.is_not(None), and_(job.c.closed_on.is_(None), lost_quote)),
        "all": job.c.id == job.c.id,
    }
    return conditions[which]
