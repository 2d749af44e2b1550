"""What Tonight says of radon tests: those due after the work, and houses whose next test comes up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import Connection, case, exists, func, not_, or_, select

from db.queries.standards import own_standards
from db.queries.tonight import JobName
from db.tables import closeout, customer, job, job_type, property_, radon_test
from domain.closeout.reduction import years_later
from domain.closeout.timing import FanOn, TimingRules, earliest_start, latest_start, timing_rules

LATE_DAYS = 60
"""Work finished this long ago without a test is no longer asked about."""

AHEAD_DAYS, BEHIND_DAYS = 30, 60
"""A next test this near ahead, or this lately due, is told."""

MOST = 40


@dataclass(frozen=True, slots=True)
class ToTest:
    """A job, closed or not, whose fan runs and that has no test after the work."""

    name: JobName
    first: date
    first_minute: int | None
    last: date


@dataclass(frozen=True, slots=True)
class Retest:
    """A house whose next test comes up."""

    name: JobName
    due_on: date


@dataclass(frozen=True, slots=True)
class RadonReminders:
    """Both, the most pressing first."""

    due: tuple[ToTest, ...]
    retests: tuple[Retest, ...]

    @property
    def to_do(self) -> int:
        """How many there are."""
        return len(self.due) + len(self.retests)


_NAME = (
    job.c.id, job.c.number, customer.c.name, case((job.c.title != "", job.c.title), else_=job_type.c.name),
    property_.c.street,
)  # fmt: skip
_named = (
    job.join(customer, customer.c.id == job.c.customer_id)
    .join(job_type, job_type.c.id == job.c.job_type_id)
    .join(property_, property_.c.id == job.c.property_id)
)


def radon_reminders(conn: Connection, today: date) -> RadonReminders:
    """Tests to place and houses to test again, in three statements."""
    rules = timing_rules(today, own_standards(conn))
    return RadonReminders(_due(conn, today, rules), _retests(conn, today, rules))


def _due(conn: Connection, today: date, rules: TimingRules) -> tuple[ToTest, ...]:
    tested = exists().where(radon_test.c.job_id == job.c.id, radon_test.c.purpose == "after")
    rows = conn.execute(
        select(*_NAME, job.c.installed_on, closeout.c.fan_on_minute)
        .select_from(_named.outerjoin(closeout, closeout.c.job_id == job.c.id))
        .where(
            job.c.installed_on.between(today - timedelta(days=LATE_DAYS), today), job.c.cancelled_on.is_(None),
            not_(tested),  # closing a job does not make its test
        )
        .order_by(job.c.installed_on, job.c.id)
        .limit(MOST)
    )  # fmt: skip
    found = []
    for row in rows:
        fan = FanOn(row[5], row[6])
        found.append(ToTest(JobName(*row[:5]), *earliest_start(fan, rules), latest_start(fan, rules)))
    return tuple(found)


def _retests(conn: Connection, today: date, rules: TimingRules) -> tuple[Retest, ...]:
    """The day that was chosen, else so many years after the newest test; not where a test was made since."""
    years = int(rules.recheck.value)
    first, last = today - timedelta(days=BEHIND_DAYS), today + timedelta(days=AHEAD_DAYS)
    newest = (
        select(radon_test.c.job_id, func.max(radon_test.c.ended_on).label("ended_on"))
        .where(radon_test.c.purpose == "after")
        .where(
            or_(
                radon_test.c.ended_on.between(years_later(first, -years), years_later(last, -years)),
                exists().where(closeout.c.job_id == radon_test.c.job_id, closeout.c.retest_on.between(first, last)),
            )
        )
        .group_by(radon_test.c.job_id)
        .subquery()
    )
    other = job.alias("other")
    since = radon_test.alias("since")
    tested_since = exists().where(
        other.c.property_id == job.c.property_id, since.c.job_id == other.c.id,
        since.c.ended_on > newest.c.ended_on,
    )  # fmt: skip
    rows = conn.execute(
        select(*_NAME, newest.c.ended_on, closeout.c.retest_on)
        .select_from(
            _named.join(newest, newest.c.job_id == job.c.id).outerjoin(closeout, closeout.c.job_id == job.c.id)
        )
        .where(
            not_(tested_since), job.c.cancelled_on.is_(None),
            or_(closeout.c.retest_on.is_(None), closeout.c.retest_on.between(first, last)),
        )
    )
    found = [
        Retest(JobName(*row[:5]), row[6] or years_later(row[5], years)) for row in rows
    ]
    return tuple(sorted((one for one in found if first <= one.due_on <= last), key=lambda one: one.due_on)[:MOST])
