"""What Tonight says of dates: tomorrow, tests to pick up, visits nobody marked, deadlines in trouble."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import Connection, and_, exists, not_, or_

from db.queries.calendar import JobOutlook, live_job, outlooks_until, planned_visits
from db.tables import job, radon_test, visit
from domain.calendar.steps_back import EARLY, LATE, LOST
from domain.calendar.visits import PlannedVisit, Visit

_NOT_ASKED = ("test_picked_up", "work", "own")
"""Told elsewhere: what waits to be picked up, work without hours; own time needs no mark."""

UNMARKED_DAYS = 14
"""A visit this long ago is still asked about."""

WAITING_DAYS = 120
"""A test placed this long ago is no longer asked about: a short one is over, a long one has its booked day."""

OUTLOOK_DAYS = 45
"""A deadline this near is reckoned back from each evening."""

OUTLOOKS = 30
"""So many of them, the nearest; one person has fewer houses on the way to a closing."""


@dataclass(frozen=True, slots=True)
class DateReminders:
    """What Tonight says of dates."""

    tomorrow: tuple[PlannedVisit, ...]
    pick_up: tuple[PlannedVisit, ...]  # tests that wait to be picked up: the booked visit, or the placing
    unmarked: tuple[PlannedVisit, ...]  # visits of the last days that nobody marked done
    troubled: tuple[JobOutlook, ...]  # deadlines that cannot be met, or not as things are booked

    @property
    def to_do(self) -> int:
        """How many of them ask for something tonight."""
        return len(self.pick_up) + len(self.unmarked) + len(self.troubled)


def date_reminders(conn: Connection, today: date) -> DateReminders:
    """Tomorrow's visits, tests to pick up, visits to mark, deadlines in trouble; eight statements at the most."""
    open_ = and_(visit.c.done_on.is_(None), visit.c.cancelled_on.is_(None))
    tomorrow = today + timedelta(days=1)
    lately = visit.c.day.between(today - timedelta(days=UNMARKED_DAYS), today - timedelta(days=1))
    job_goes = or_(visit.c.job_id.is_(None), live_job)
    picked = visit.alias("picked")
    no_pick_up = not_(
        exists().where(
            picked.c.job_id == visit.c.job_id, picked.c.kind == "test_picked_up", picked.c.cancelled_on.is_(None),
            picked.c.day >= visit.c.day,
        )
    )  # fmt: skip
    no_result = not_(exists().where(radon_test.c.job_id == visit.c.job_id, radon_test.c.ended_on >= visit.c.day))
    waiting = or_(
        and_(visit.c.kind == "test_picked_up", open_, visit.c.day <= today),
        and_(visit.c.kind == "test_placed", visit.c.done_on.is_not(None), visit.c.cancelled_on.is_(None), no_pick_up,
             no_result, visit.c.day < today),
    )  # fmt: skip
    asked = planned_visits(
        conn,
        visit.c.day.between(today - timedelta(days=WAITING_DAYS), tomorrow),
        or_(
            and_(visit.c.day == tomorrow, open_, or_(visit.c.job_id.is_(None), job.c.cancelled_on.is_(None))),
            and_(lately, open_, job_goes, visit.c.kind.not_in(_NOT_ASKED)),
            and_(visit.c.kind.in_(("test_placed", "test_picked_up")), waiting, job.c.cancelled_on.is_(None)),
        ),
    )
    pick_up = [one for one in asked if one.visit.day <= today and _waits(one.visit)]
    return DateReminders(
        tomorrow=tuple(one for one in asked if one.visit.day == tomorrow),
        pick_up=tuple(pick_up),
        unmarked=tuple(one for one in asked if one.visit.day < today and one not in pick_up),
        troubled=tuple(_troubled(outlooks_until(conn, today, today + timedelta(days=OUTLOOK_DAYS), OUTLOOKS))),
    )


def _waits(one: Visit) -> bool:
    return one.kind == "test_picked_up" or (one.kind == "test_placed" and one.done_on is not None)


def _troubled(found: Iterable[JobOutlook]) -> Iterable[JobOutlook]:
    return (one for one in found if one.steps.state in (LATE, EARLY, LOST))
