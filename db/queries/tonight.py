"""What the owner still has to do this evening: one statement a band, however large the company is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Generic, TypeVar

from sqlalchemy import ColumnElement, Connection, and_, case, exists, func, literal, not_, or_, select

from db.queries.firm import firm
from db.queries.log import RunningClock, in_budget, running_timer
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

SHOWN = 4
"""Rows of a band that are shown; the rest is counted."""

NEAR_DAYS = 14
"""A deadline this near is on the page."""

EXPIRING_DAYS = 3
"""A proposal that runs out this soon is followed up, however lately it was sent."""

LATELY_DAYS = 4
"""A job worked on this lately and not installed yet is likely today's too."""

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Band(Generic[Row]):
    """The first rows of something to do and how many there are in all."""

    rows: tuple[Row, ...] = ()
    total: int = 0

    @property
    def more(self) -> int:
        """How many are not shown."""
        return self.total - len(self.rows)


@dataclass(frozen=True, slots=True)
class JobName:
    """What the owner knows a job by."""

    job_id: int
    number: str
    customer: str
    what: str  # its title, else its type
    street: str


@dataclass(frozen=True, slots=True)
class TodaysJob:
    """A job of today, with how far it is."""

    name: JobName
    scheduled_on: date | None
    quoted_minutes: int
    minutes: int
    minutes_today: int


@dataclass(frozen=True, slots=True)
class QuoteToDo:
    """A draft to finish, or a sent quote to follow up."""

    name: JobName
    kind: str  # proposal | change_order
    version: int
    created_on: date
    sent_on: date | None  # None: a draft
    expires_on: date | None
    price_cents: int | None  # as told, after goodwill, before tax


@dataclass(frozen=True, slots=True)
class SilentJob:
    """A job that was to be worked on by now and has no hours in its log."""

    name: JobName
    on: date  # installed, else scheduled
    installed: bool


@dataclass(frozen=True, slots=True)
class NearDeadline:
    """A day that comes."""

    name: JobName
    due_on: date
    reason: str


@dataclass(frozen=True, slots=True)
class OverJob:
    """A running job that has taken more hours than its whole quote."""

    name: JobName
    quoted_minutes: int
    minutes: int


@dataclass(frozen=True, slots=True)
class UnquotedJob:
    """A running job with work that nobody has quoted."""

    name: JobName
    minutes: int
    other_entries: int  # materials and costs marked as not quoted


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """What a new company has done already."""

    hour_set: bool
    has_customer: bool
    has_job: bool
    has_quote: bool

    @property
    def begun(self) -> bool:
        """True once there is a quote: the evening has something to show from then on."""
        return self.has_quote


@dataclass(frozen=True, slots=True)
class Evening:
    """All that Tonight shows."""

    firm_name: str
    owner_name: str
    steps: FirstSteps
    today: Band[TodaysJob]
    upcoming: Band[TodaysJob]
    quotes: Band[QuoteToDo]  # drafts first, then those to follow up
    silent: Band[SilentJob]
    deadlines: Band[NearDeadline]
    over: Band[OverJob]
    unquoted: Band[UnquotedJob]
    clock: RunningClock | None

    @property
    def to_do(self) -> int:
        """How many things wait, today's work aside."""
        return sum(
            band.total for band in (self.quotes, self.silent, self.deadlines, self.over, self.unquoted)
        )


def evening(conn: Connection, today: date, shown: int = SHOWN) -> Evening:
    """Read the whole page in ten statements."""
    settings = firm(conn)
    return Evening(
        firm_name=settings.name,
        owner_name=settings.owner_name,
        steps=_first_steps(conn),
        today=_todays_jobs(conn, today, shown),
        upcoming=_upcoming(conn, today, shown),
        quotes=_quotes(conn, today, settings.follow_up_days, shown),
        silent=_silent(conn, today, shown),
        deadlines=_deadlines(conn, today, shown),
        over=_over(conn, shown),
        unquoted=_unquoted(conn, shown),
        clock=running_timer(conn),
    )


_NAME = (
    job.c.id,
    job.c.number,
    customer.c.name,
    case((job.c.title != "", job.c.title), else_=job_type.c.name),
    property_.c.street,
)
_N = len(_NAME)
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


def _first_steps(conn: Connection) -> FirstSteps:
    """The hour counts as set once a cost was changed after the founding, the first action in the journal."""
    costs = ("person_cost", "overhead_item", "overhead_basis")
    founding = select(func.min(action.c.id)).scalar_subquery()
    row = conn.execute(
        select(
            exists(select(change.c.id).where(change.c.table_name.in_(costs), change.c.action_id > founding)),
            exists(select(customer.c.id)),
            exists(select(job.c.id)),
            exists(select(quote.c.id)),
        )
    ).one()
    return FirstSteps(*(bool(value) for value in row))


def _todays_jobs(conn: Connection, today: date, shown: int) -> Band[TodaysJob]:
    """Scheduled today, logged on today, or begun lately and not installed; scheduled ones first."""
    lately = today - timedelta(days=LATELY_DAYS)
    going_on = and_(
        job.c.installed_on.is_(None),
        _logged(hours_entry.c.day.between(lately, today)),
        or_(job.c.scheduled_on.is_(None), job.c.scheduled_on <= today),
    )
    mine = or_(job.c.scheduled_on == today, _logged(hours_entry.c.day == today), going_on)
    return _work(conn, today, shown, and_(mine, _accepted), case((job.c.scheduled_on == today, 0), else_=1))


def _upcoming(conn: Connection, today: date, shown: int) -> Band[TodaysJob]:
    return _work(conn, today, shown, job.c.scheduled_on > today, job.c.scheduled_on)


def _work(conn: Connection, today: date, shown: int, where: Any, order: Any) -> Band[TodaysJob]:
    query = (
        select(
            *_NAME, job.c.scheduled_on,
            _quoted_minutes, _sum_minutes(), _sum_minutes(hours_entry.c.day == today), _total,
        )
        .select_from(_named)
        .where(_live, where)
        .order_by(order, job.c.scheduled_on.desc(), job.c.id)
        .limit(shown)
    )  # fmt: skip
    return _band(conn, query, lambda row: TodaysJob(_job_name(row), row[_N], *row[_N + 1 : _N + 4]))


def _quotes(conn: Connection, today: date, follow_up_days: int, shown: int) -> Band[QuoteToDo]:
    newer = quote.alias("newer")
    replaced = and_(
        quote.c.kind == "proposal",
        exists().where(
            newer.c.job_id == quote.c.job_id, newer.c.kind == "proposal", newer.c.version > quote.c.version
        ),
    )
    stands = and_(quote.c.accepted_on.is_(None), quote.c.declined_on.is_(None), not_(replaced))
    due = or_(
        quote.c.sent_on <= today - timedelta(days=follow_up_days),
        quote.c.expires_on <= today + timedelta(days=EXPIRING_DAYS),
    )
    still_open = or_(quote.c.expires_on.is_(None), quote.c.expires_on >= today)
    draft = quote.c.sent_on.is_(None)
    query = (
        select(
            *_NAME, quote.c.kind, quote.c.version, quote.c.created_on, quote.c.sent_on, quote.c.expires_on,
            quote.c.price_cents - quote.c.goodwill_cents, _total,
        )
        .select_from(_named.join(quote, quote.c.job_id == job.c.id))
        .where(_live, stands, or_(draft, and_(due, still_open)))
        .order_by(case((draft, 0), else_=1), quote.c.expires_on, quote.c.created_on, quote.c.id)
        .limit(shown + 2)
    )  # fmt: skip
    return _band(conn, query, lambda row: QuoteToDo(_job_name(row), *row[_N : _N + 6]))


def _silent(conn: Connection, today: date, shown: int) -> Band[SilentJob]:
    """Today's own job is not among them: it stands above the bands."""
    by_now = or_(job.c.scheduled_on < today, job.c.installed_on <= today)
    not_today = or_(job.c.scheduled_on.is_(None), job.c.scheduled_on != today)
    query = (
        select(*_NAME, func.coalesce(job.c.installed_on, job.c.scheduled_on), job.c.installed_on.is_not(None), _total)
        .select_from(_named)
        .where(_live, by_now, not_today, _accepted, not_(_logged()))
        .order_by(func.coalesce(job.c.installed_on, job.c.scheduled_on), job.c.id)
        .limit(shown)
    )
    return _band(conn, query, lambda row: SilentJob(_job_name(row), row[_N], bool(row[_N + 1])))


def _deadlines(conn: Connection, today: date, shown: int) -> Band[NearDeadline]:
    """Not met, near or past, on jobs that were not lost."""
    of_job = (quote.c.job_id == job.c.id, quote.c.kind == "proposal")
    lost = and_(
        exists().where(*of_job, quote.c.declined_on.is_not(None)),
        not_(exists().where(*of_job, quote.c.declined_on.is_(None))),
    )
    query = (
        select(*_NAME, deadline.c.due_on, deadline.c.reason, _total)
        .select_from(_named.join(deadline, deadline.c.job_id == job.c.id))
        .where(_live, not_(deadline.c.met), deadline.c.due_on <= today + timedelta(days=NEAR_DAYS), not_(lost))
        .order_by(deadline.c.due_on, deadline.c.id)
        .limit(shown)
    )
    return _band(conn, query, lambda row: NearDeadline(_job_name(row), row[_N], row[_N + 1]))


def _over(conn: Connection, shown: int) -> Band[OverJob]:
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
    query = (
        select(*_NAME, quoted.c.minutes, actual.c.minutes, _total)
        .select_from(_named.join(actual, actual.c.job_id == job.c.id).join(quoted, quoted.c.job_id == job.c.id))
        .where(beyond > 0, quoted.c.minutes > 0)
        .order_by(beyond.desc(), job.c.id)
        .limit(shown)
    )
    return _band(conn, query, lambda row: OverJob(_job_name(row), int(row[_N]), int(row[_N + 1])))


def _unquoted(conn: Connection, shown: int) -> Band[UnquotedJob]:
    """Hours marked as not quoted or on a task without a line; other entries where they are marked.

    A job whose change order is being written or waits for its answer is dealt with, and is not here.
    """
    going = select(job.c.id).where(_live, _accepted)
    in_lines = exists().where(
        in_budget(labour_line), quote.c.job_id == hours_entry.c.job_id, labour_line.c.task_id == hours_entry.c.task_id
    )
    hours = select(hours_entry.c.job_id, hours_entry.c.minutes, literal(0).label("others")).where(
        hours_entry.c.job_id.in_(going), or_(hours_entry.c.unquoted, not_(in_lines))
    )
    others = [
        select(table.c.job_id, literal(0), literal(1)).where(table.c.job_id.in_(going), table.c.unquoted)
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
    query = (
        select(*_NAME, sums.c.minutes, sums.c.others, _total)
        .select_from(_named.join(sums, sums.c.job_id == job.c.id))
        .where(not_(dealt_with))
        .order_by(sums.c.minutes.desc(), job.c.id)
        .limit(shown)
    )
    return _band(conn, query, lambda row: UnquotedJob(_job_name(row), int(row[_N]), int(row[_N + 1])))


def _job_name(row: Any) -> JobName:
    return JobName(*row[:_N])


def _band(conn: Connection, query: Any, made: Any) -> Band[Any]:
    rows = conn.execute(query).all()
    return Band(tuple(made(row) for row in rows), rows[0][-1] if rows else 0)
