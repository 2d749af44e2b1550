"""What the calendar asks: visits of some days, a job's visits, what speaks against a day, deadlines and their steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, Select, and_, case, exists, func, not_, or_, select

from db.queries.firm import firm
from db.queries.log_offers import in_budget
from db.queries.standards import own_standards
from db.records import columns_of, fetch_all
from db.tables import contact, customer, deadline, job, job_type, labour_line, property_, quote, radon_test, visit
from domain.calendar.clashes import Clash, clashes, order_clashes
from domain.calendar.days import CalendarDay, DayDeadline, calendar_days, capacity_of
from domain.calendar.steps_back import JobDates, StepsBack, job_dates, needs_result, steps_back, with_monitor_instead
from domain.calendar.timing import TimingRules, timing_rules
from domain.calendar.visits import PlannedVisit, Visit, moment
from domain.jobs import Deadline
from domain.standards import standard_on

_WIDTH = len(fields(Visit))
_WHAT = case((job.c.title != "", job.c.title), else_=job_type.c.name)
_PLACE = case(
    (property_.c.town != "", property_.c.street + ", " + property_.c.town), else_=property_.c.street
)
_lost = and_(
    exists().where(quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.declined_on.is_not(None)),
    not_(exists().where(quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.declined_on.is_(None))),
)
live_job = and_(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None), not_(_lost))


@dataclass(frozen=True, slots=True)
class JobOutlook:
    """One deadline of a job with its steps back."""

    job_id: int
    number: str
    customer: str
    what: str  # its title, else its type
    steps: StepsBack


@dataclass(frozen=True, slots=True)
class Choice:
    """What speaks for and against a visit where it is being put."""

    clashes: tuple[Clash, ...]
    day: CalendarDay  # without the visit itself
    outlooks: tuple[JobOutlook, ...]  # of its job, as they would be with the visit


def visits_between(conn: Connection, first: date, last: date, *, called_off: bool = False) -> list[PlannedVisit]:
    """Every visit of some days in order, both ends included; with `called_off` those that are off as well."""
    where = [visit.c.day.between(first, last)]
    if not called_off:
        where.append(visit.c.cancelled_on.is_(None))
    return planned_visits(conn, *where)


def visits_of_job(conn: Connection, job_id: int) -> list[PlannedVisit]:
    """All visits of a job in order, those called off too."""
    return planned_visits(conn, visit.c.job_id == job_id)


def visits_to_export(conn: Connection, job_id: int | None = None, since: date | None = None) -> list[PlannedVisit]:
    """Every visit a calendar elsewhere has to know of, those called off too: of one job, or since a day."""
    where = [] if job_id is None else [visit.c.job_id == job_id]
    if since is not None:
        where.append(visit.c.day >= since)
    return planned_visits(conn, *where)


@dataclass(frozen=True, slots=True)
class JobToBook:
    """A job a visit can be booked on."""

    job_id: int
    number: str
    customer: str
    what: str  # its title, else its type


def jobs_to_book(conn: Connection, job_id: int | None = None) -> list[JobToBook]:
    """The live jobs, the newest first, and one asked for whatever its state."""
    rows = conn.execute(
        select(job.c.id, job.c.number, customer.c.name, _WHAT)
        .select_from(
            job.join(customer, customer.c.id == job.c.customer_id).join(job_type, job_type.c.id == job.c.job_type_id)
        )
        .where(or_(live_job, job.c.id == (job_id or 0)))
        .order_by(job.c.opened_on.desc(), job.c.id.desc())
    )
    return [JobToBook(*row) for row in rows]


def job_of_number(conn: Connection, number: str) -> int | None:
    """The id of the job with a number; None when there is none."""
    found: int | None = conn.execute(select(job.c.id).where(job.c.number == number.strip())).scalar()
    return found


def one_visit(conn: Connection, visit_id: int) -> PlannedVisit:
    """One visit with its job.

    Raises:
        LookupError: there is no such visit.
    """
    found = planned_visits(conn, visit.c.id == visit_id)
    if not found:
        raise LookupError(f"visit {visit_id} does not exist")
    return found[0]


def days_between(conn: Connection, first: date, last: date) -> list[CalendarDay]:
    """Every day of a stretch with visits, deadlines and capacity, in four statements."""
    return _days(conn, first, last, own_standards(conn))


def steps_of_job(conn: Connection, job_id: int, today: date) -> list[JobOutlook]:
    """The steps back from each deadline of a job that is not met, none of a cancelled or closed one."""
    return _outlooks(conn, today, deadline.c.job_id == job_id, job.c.cancelled_on.is_(None), job.c.closed_on.is_(None))


def last_start_day(conn: Connection, job_id: int, today: date) -> date | None:
    """The last day the work of a job can begin to meet every deadline that can still be met; None without one."""
    days = [
        step.latest.date()
        for outlook in steps_of_job(conn, job_id, today)
        for step in outlook.steps.steps
        if step.key == "work" and outlook.steps.can_be_met and step.latest.date() >= today
    ]
    return min(days, default=None)


def next_deadline(conn: Connection, job_id: int, today: date) -> Deadline | None:
    """The first deadline of a job from today on that is not met yet."""
    where = and_(deadline.c.job_id == job_id, ~deadline.c.met, deadline.c.due_on >= today)
    found = fetch_all(conn, Deadline, deadline, where, order=(deadline.c.due_on, deadline.c.id))
    return found[0] if found else None


def outlooks_until(conn: Connection, today: date, until: date, most: int | None = None) -> list[JobOutlook]:
    """The same for every live job with a deadline from today to a day, the nearest first; six statements."""
    return _outlooks(conn, today, deadline.c.due_on.between(today, until), live_job, most=most)


def choice(conn: Connection, candidate: Visit, today: date) -> Choice:
    """What speaks against a visit where it would stand; its id is 0 until it is booked. Twelve statements at most."""
    own = own_standards(conn)
    day = _days(conn, candidate.day, candidate.day, own)[0]
    others = tuple(one for one in day.visits if one.visit.id != candidate.id)
    found = clashes(candidate, others, day.capacity_minutes)
    outlooks: list[JobOutlook] = []
    if candidate.job_id is not None:
        of_job = [one.visit for one in visits_of_job(conn, candidate.job_id)]
        found += order_clashes(candidate, of_job)
        outlooks = _outlooks(conn, today, deadline.c.job_id == candidate.job_id, candidate=candidate)
    without = CalendarDay(day.day, day.capacity_minutes, others, day.deadlines)
    return Choice(tuple(found), without, tuple(outlooks))


def capacity_on(conn: Connection, day: date) -> int:
    """Minutes of the owner's work and travel that fit into a day."""
    working = int(standard_on("working_days", day, own_standards(conn)).value)
    return capacity_of(day, firm(conn).capacity_minutes_per_day, working)


def planned_visits(conn: Connection, *where: Any) -> list[PlannedVisit]:
    """The visits that meet conditions on visit and job, in order."""
    rows = conn.execute(_reading().where(*where))
    return [PlannedVisit(Visit(*row[:_WIDTH]), *(text or "" for text in row[_WIDTH:])) for row in rows]


def _reading() -> Select[Any]:
    phone = (
        select(contact.c.value)
        .where(contact.c.customer_id == customer.c.id, contact.c.kind == "phone")
        .order_by(contact.c.id)
        .limit(1)
        .scalar_subquery()
    )
    return (
        select(*columns_of(visit, Visit), job.c.number, _WHAT, customer.c.name, _PLACE, phone)
        .select_from(
            visit.outerjoin(job, job.c.id == visit.c.job_id)
            .outerjoin(customer, customer.c.id == job.c.customer_id)
            .outerjoin(job_type, job_type.c.id == job.c.job_type_id)
            .outerjoin(property_, property_.c.id == job.c.property_id)
        )
        .order_by(visit.c.day, func.coalesce(visit.c.starts_at, 0), visit.c.id)
    )


def _days(conn: Connection, first: date, last: date, own: Sequence[Any]) -> list[CalendarDay]:
    due = conn.execute(
        select(deadline.c.due_on, job.c.id, job.c.number, customer.c.name, deadline.c.reason)
        .join(job, job.c.id == deadline.c.job_id)
        .join(customer, customer.c.id == job.c.customer_id)
        .where(deadline.c.due_on.between(first, last), ~deadline.c.met, live_job)
        .order_by(deadline.c.due_on, deadline.c.id)
    ).all()
    return calendar_days(
        first, last, visits_between(conn, first, last), [(row[0], DayDeadline(*row[1:])) for row in due],
        firm(conn).capacity_minutes_per_day, int(standard_on("working_days", first, own).value),
    )  # fmt: skip


def _outlooks(
    conn: Connection, today: date, *where: Any, candidate: Visit | None = None, most: int | None = None
) -> list[JobOutlook]:
    rows = conn.execute(
        select(job.c.id, job.c.number, customer.c.name, _WHAT, job.c.installed_on, deadline.c.due_on, deadline.c.reason)
        .select_from(
            deadline.join(job, job.c.id == deadline.c.job_id)
            .join(customer, customer.c.id == job.c.customer_id)
            .join(job_type, job_type.c.id == job.c.job_type_id)
        )
        .where(~deadline.c.met, *where)
        .order_by(deadline.c.due_on, deadline.c.id)
        .limit(most)
    ).all()
    if not rows:
        return []
    facts = _JobFacts(conn, sorted({row.id for row in rows}), candidate)
    own, day_work = own_standards(conn), firm(conn).capacity_minutes_per_day
    laboratory, monitor = (timing_rules(today, own, day_work, by_monitor=by) for by in (False, True))
    found = []
    for job_id, number, name, what, installed_on, due_on, reason in rows:
        dates = facts.dates(job_id, installed_on, laboratory)
        rules = monitor if dates.by_monitor else laboratory
        told = steps_back(reason, due_on, today, dates, rules)
        if needs_result(reason) and not dates.by_monitor:
            told = with_monitor_instead(told, today, dates, monitor)
        found.append(JobOutlook(job_id, number, name, what, told))
    return found


class _JobFacts:
    """Visits, tests and quoted minutes of some jobs, three statements whatever their number."""

    def __init__(self, conn: Connection, jobs: Sequence[int], candidate: Visit | None) -> None:
        self._visits: dict[int, list[Visit]] = {}
        for row in conn.execute(select(*columns_of(visit, Visit)).where(visit.c.job_id.in_(jobs))):
            one = Visit(*row)
            if one.job_id is not None and (candidate is None or one.id != candidate.id):
                self._visits.setdefault(one.job_id, []).append(one)
        if candidate is not None and candidate.job_id is not None:
            self._visits.setdefault(candidate.job_id, []).append(candidate)
        self._tests: dict[int, Any] = {
            row.job_id: row
            for row in conn.execute(
                select(radon_test)
                .where(radon_test.c.job_id.in_(jobs), radon_test.c.purpose == "after")
                .order_by(radon_test.c.ended_on, radon_test.c.id)
            )
        }
        self._minutes: Mapping[int, int] = {
            job_id: int(minutes)
            for job_id, minutes in conn.execute(
                select(quote.c.job_id, func.sum(labour_line.c.minutes))
                .where(in_budget(labour_line), quote.c.job_id.in_(jobs))
                .group_by(quote.c.job_id)
            )
        }

    def dates(self, job_id: int, installed_on: date | None, rules: TimingRules) -> JobDates:
        """What the steps need of one job; the end of the test stands for the day its result came."""
        test = self._tests.get(job_id)
        result_at = placed_at = None
        if test is not None and installed_on is not None and test.ended_on >= installed_on:
            result_at = _when(test.ended_on, test.ended_minute, rules)
            placed_at = None if test.started_on is None else _when(test.started_on, test.started_minute, rules)
        minutes = self._minutes.get(job_id) or rules.day_work
        return job_dates(self._visits.get(job_id, ()), installed_on, result_at, minutes, rules, placed_at)


def _when(day: date, minute: int | None, rules: TimingRules) -> datetime:
    return moment(day, rules.day_begins if minute is None else minute)
