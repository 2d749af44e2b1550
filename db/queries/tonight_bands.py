"""The statements behind Tonight: one a band, put together once and then only given the day."""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Date,
    Integer,
    Select,
    and_,
    bindparam,
    case,
    exists,
    func,
    literal,
    not_,
    or_,
    select,
)

from db.queries.log_offers import in_budget
from db.tables import (
    action,
    change,
    customer,
    deadline,
    hours_entry,
    job,
    job_type,
    labour_line,
    material_use,
    other_cost,
    property_,
    quote,
)

TODAY = bindparam("today", type_=Date)
LATELY = bindparam("lately", type_=Date)
SENT_BY = bindparam("sent_by", type_=Date)
RUNS_OUT_BY = bindparam("runs_out_by", type_=Date)
HORIZON = bindparam("horizon", type_=Date)
SHOWN: BindParameter[int] = bindparam("shown", type_=Integer)

_NAME = (
    job.c.id,
    job.c.number,
    customer.c.name,
    case((job.c.title != "", job.c.title), else_=job_type.c.name),
    property_.c.street,
)
NAME_WIDTH = len(_NAME)
"""Every statement begins with this many columns: the parts of a JobName; the last column counts all rows."""

_named = (
    job.join(customer, customer.c.id == job.c.customer_id)
    .join(job_type, job_type.c.id == job.c.job_type_id)
    .join(property_, property_.c.id == job.c.property_id)
)
_live = and_(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None))
_total = func.count().over()
_accepted = exists().where(
    quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None)
)


def _logged(*where: Any) -> ColumnElement[Any]:
    return exists().where(hours_entry.c.job_id == job.c.id, *where)


def _sum_minutes(*where: Any) -> Any:
    return (
        select(func.coalesce(func.sum(hours_entry.c.minutes), 0))
        .where(hours_entry.c.job_id == job.c.id, *where)
        .scalar_subquery()
    )


_quoted_minutes = (
    select(func.coalesce(func.sum(labour_line.c.minutes), 0))
    .where(in_budget(labour_line), quote.c.job_id == job.c.id)
    .correlate(job)
    .scalar_subquery()
)


@cache
def first_steps() -> Select[bool, bool, bool, bool]:
    """The hour counts as set once a cost was changed after the founding, the first action in the journal."""
    founding = select(func.min(action.c.id)).scalar_subquery()
    costs = or_(*(change.c.table_name == name for name in ("person_cost", "overhead_item", "overhead_basis")))
    return select(
        exists(select(change.c.id).where(costs, change.c.action_id > founding)),
        exists(select(customer.c.id)),
        exists(select(job.c.id)),
        exists(select(quote.c.id)),
    )


@cache
def todays_jobs() -> Select[Any]:
    """Scheduled today, logged on today, or begun lately and not installed; scheduled ones first."""
    going_on = and_(
        job.c.installed_on.is_(None),
        _logged(hours_entry.c.day.between(LATELY, TODAY)),
        or_(job.c.scheduled_on.is_(None), job.c.scheduled_on <= TODAY),
    )
    mine = or_(job.c.scheduled_on == TODAY, _logged(hours_entry.c.day == TODAY), going_on)
    return _work(and_(mine, _accepted), case((job.c.scheduled_on == TODAY, 0), else_=1))


@cache
def upcoming() -> Select[Any]:
    """Scheduled later, the nearest first."""
    return _work(job.c.scheduled_on > TODAY, job.c.scheduled_on)


def _work(where: Any, order: Any) -> Select[Any]:
    return (
        select(
            *_NAME, job.c.scheduled_on,
            _quoted_minutes, _sum_minutes(), _sum_minutes(hours_entry.c.day == TODAY), _total,
        )
        .select_from(_named)
        .where(_live, where)
        .order_by(order, job.c.scheduled_on.desc(), job.c.id)
        .limit(SHOWN)
    )  # fmt: skip


@cache
def quotes() -> Select[Any]:
    """Drafts, and sent ones that were not answered, replaced or run out, once they are due."""
    newer = quote.alias("newer")
    replaced = and_(
        quote.c.kind == "proposal",
        exists().where(
            newer.c.job_id == quote.c.job_id, newer.c.kind == "proposal", newer.c.version > quote.c.version
        ),
    )
    stands = and_(quote.c.accepted_on.is_(None), quote.c.declined_on.is_(None), not_(replaced))
    due = or_(
        quote.c.sent_on <= SENT_BY,
        quote.c.expires_on <= RUNS_OUT_BY,
    )
    still_open = or_(quote.c.expires_on.is_(None), quote.c.expires_on >= TODAY)
    draft = quote.c.sent_on.is_(None)
    return (
        select(
            *_NAME, quote.c.kind, quote.c.version, quote.c.created_on, quote.c.sent_on, quote.c.expires_on,
            quote.c.price_cents - quote.c.goodwill_cents, _total,
        )
        .select_from(_named.join(quote, quote.c.job_id == job.c.id))
        .where(quote.c.job_id.in_(select(job.c.id).where(_live)), stands, or_(draft, and_(due, still_open)))
        .order_by(case((draft, 0), else_=1), quote.c.expires_on, quote.c.created_on, quote.c.id)
        .limit(SHOWN)
    )  # fmt: skip


@cache
def silent() -> Select[Any]:
    """Worked on by now, and no hours. Today's own job is not among them: it stands above the bands."""
    by_now = or_(job.c.scheduled_on < TODAY, job.c.installed_on <= TODAY)
    not_today = or_(job.c.scheduled_on.is_(None), job.c.scheduled_on != TODAY)
    return (
        select(*_NAME, func.coalesce(job.c.installed_on, job.c.scheduled_on), job.c.installed_on.is_not(None), _total)
        .select_from(_named)
        .where(_live, by_now, not_today, _accepted, not_(_logged()))
        .order_by(func.coalesce(job.c.installed_on, job.c.scheduled_on), job.c.id)
        .limit(SHOWN)
    )


@cache
def dayless() -> Select[Any]:
    """Accepted, and neither a work day nor a beginning; the longest waiting first."""
    waiting = and_(_live, job.c.scheduled_on.is_(None), job.c.installed_on.is_(None), job.c.invoiced_on.is_(None))
    return (
        select(*_NAME, quote.c.accepted_on, _total)
        .select_from(_named.join(quote, quote.c.job_id == job.c.id))
        .where(waiting, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None), not_(_logged()))
        .order_by(quote.c.accepted_on, job.c.id)
        .limit(SHOWN)
    )


@cache
def deadlines() -> Select[Any]:
    """Not met, near or past, on jobs that were not lost; of a closed job those still ahead."""
    of_job = (quote.c.job_id == job.c.id, quote.c.kind == "proposal")
    lost = and_(
        exists().where(*of_job, quote.c.declined_on.is_not(None)),
        not_(exists().where(*of_job, quote.c.declined_on.is_(None))),
    )
    return (
        select(*_NAME, deadline.c.due_on, deadline.c.reason, _total)
        .select_from(_named.join(deadline, deadline.c.job_id == job.c.id))
        .where(
            job.c.cancelled_on.is_(None), or_(job.c.closed_on.is_(None), deadline.c.due_on >= TODAY),
            not_(deadline.c.met), deadline.c.due_on <= HORIZON, not_(lost),
        )
        .order_by(deadline.c.due_on, deadline.c.id)
        .limit(SHOWN)
    )


@cache
def over() -> Select[Any]:
    """Running jobs with more hours than their whole quote, the worst first."""
    going = select(job.c.id).where(_live, job.c.invoiced_on.is_(None))
    quoted = (
        select(quote.c.job_id, func.sum(labour_line.c.minutes).label("minutes"))
        .where(in_budget(labour_line), quote.c.job_id.in_(going))
        .group_by(quote.c.job_id)
        .subquery("quoted")
    )
    actual = (
        select(hours_entry.c.job_id, func.sum(hours_entry.c.minutes).label("minutes"))
        .where(hours_entry.c.job_id.in_(going))
        .group_by(hours_entry.c.job_id)
        .subquery("actual")
    )
    beyond = actual.c.minutes - quoted.c.minutes
    return (
        select(*_NAME, quoted.c.minutes, actual.c.minutes, _total)
        .select_from(_named.join(actual, actual.c.job_id == job.c.id).join(quoted, quoted.c.job_id == job.c.id))
        .where(beyond > 0, quoted.c.minutes > 0)
        .order_by(beyond.desc(), job.c.id)
        .limit(SHOWN)
    )


@cache
def unquoted() -> Select[Any]:
    """Hours marked as not quoted or on a task without a line; other entries where they are marked.

    A job whose change order is being written or waits for its answer is dealt with, and is not here.
    """
    going = select(job.c.id).where(_live, _accepted).cte("going")
    ids = select(going.c.id)
    quoted = (
        select(quote.c.job_id, labour_line.c.task_id)
        .where(in_budget(labour_line), quote.c.job_id.in_(ids))
        .distinct()
        .subquery("quoted")
    )
    on_a_line = and_(quoted.c.job_id == hours_entry.c.job_id, quoted.c.task_id == hours_entry.c.task_id)
    hours = (
        select(hours_entry.c.job_id, hours_entry.c.minutes, literal(0).label("others"))
        .select_from(hours_entry.outerjoin(quoted, on_a_line))
        .where(hours_entry.c.job_id.in_(ids), or_(hours_entry.c.unquoted, quoted.c.task_id.is_(None)))
    )
    others = [
        select(table.c.job_id, literal(0), literal(1)).where(table.c.job_id.in_(ids), table.c.unquoted)
        for table in (material_use, other_cost)
    ]
    marked = hours.union_all(*others).subquery("marked")
    sums = (
        select(marked.c.job_id, func.sum(marked.c.minutes).label("minutes"), func.sum(marked.c.others).label("others"))
        .group_by(marked.c.job_id)
        .subquery("sums")
    )
    dealt_with = exists().where(
        quote.c.job_id == job.c.id, quote.c.kind == "change_order",
        quote.c.accepted_on.is_(None), quote.c.declined_on.is_(None),
    )  # fmt: skip
    return (
        select(*_NAME, sums.c.minutes, sums.c.others, _total)
        .select_from(_named.join(sums, sums.c.job_id == job.c.id))
        .where(not_(dealt_with))
        .order_by(sums.c.minutes.desc(), job.c.id)
        .limit(SHOWN)
    )
