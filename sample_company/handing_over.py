"""Tells what was kept of a finished system: readings, checklist, hours in radon air; and the visits around a job."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zlib import crc32

from sqlalchemy import Connection, bindparam, select, update

from db.commands.checklist import answer_points
from db.commands.closeout import note_closeout
from db.commands.exposure import log_exposure
from db.commands.visits import book_visit, mark_visit_done
from db.edit import Edit
from db.tables import fan_curve, item, material_use, visit
from domain.closeout.points import built_in_points, work_kinds
from domain.closeout.records import NOT_APPLICABLE, OK
from sample_company.books import Books
from sample_company.story import Story

Deed = Callable[[Edit], object]

KEPT_SINCE = date(2026, 1, 1)
"""Jobs opened since then have visits, a closeout and a checklist; the older ones were kept on paper."""

FAN_ON = 15 * 60 + 30
PLACED, PICKED_UP = 17 * 60, 17 * 60 + 30
"""Minutes of the day the fan is usually started, a test placed and picked up."""

_SELDOM = ("Fuel-burning", "heating tubes", "above the roof", "building next to it")
"""Words of points that many houses have nothing of."""

_ROUNDED = Decimal("0.05")


def steady_uids(conn: Connection) -> None:
    """Give every visit an identifier that is the same whenever the company is written."""
    rows = conn.execute(select(visit.c.id, visit.c.kind).order_by(visit.c.id)).all()
    given = [{"row": row.id, "to": f"{row.kind}-{row.id}@tesselbridge.example"} for row in rows]
    if given:
        conn.execute(update(visit).where(visit.c.id == bindparam("row")).values(uid=bindparam("to")), given)


@dataclass(slots=True)
class HandingOver:
    """One story's visits and closeout; `job_id` is known once the job is open."""

    books: Books
    story: Story
    lead: int
    job_id: int = 0

    def deeds(self) -> Iterator[tuple[date, Deed]]:
        """What was booked, read and answered, with its day."""
        story = self.story
        if story.opened < KEPT_SINCE:
            return
        if seen := story.survey:
            yield seen.on, lambda edit: book_visit(
                edit, self.job_id, "survey", seen.on, starts_at=16 * 60 + 30, travel_minutes=40, done_on=seen.on
            )
        days = sorted(story.work.days) if story.work else []
        for day in days:
            yield day, lambda edit, day=day: self._worked(edit, day)
        for test in story.after:
            on = test.started
            yield on, lambda edit, on=on: book_visit(
                edit, self.job_id, "test_placed", on, starts_at=PLACED, minutes=30, travel_minutes=40, done_on=on
            )
            ended = test.ended
            yield ended, lambda edit, on=ended: book_visit(
                edit, self.job_id, "test_picked_up", on, starts_at=PICKED_UP, minutes=30, travel_minutes=40, done_on=on
            )
        if story.installed:
            last = max([story.installed, *days])
            yield last, lambda edit: self._closeout(edit, last)
            if story.closed:
                yield story.closed, self._answer_all
        if days and story.before:
            yield days[0], lambda edit: self._breathed(edit, days[0])

    def _worked(self, edit: Edit, day: date) -> None:
        booked = edit.conn.execute(
            select(visit.c.id, visit.c.done_on).where(
                visit.c.job_id == self.job_id, visit.c.kind == "work", visit.c.day == day
            )
        ).first()
        if booked is None:
            book_visit(edit, self.job_id, "work", day, starts_at=8 * 60, minutes=420, travel_minutes=40, done_on=day)
        elif booked.done_on is None:
            mark_visit_done(edit, booked.id, day)

    def _closeout(self, edit: Edit, on: date) -> None:
        story = self.story
        fan = edit.conn.execute(
            select(item.c.name, fan_curve.c.watts)
            .join(material_use, material_use.c.item_id == item.c.id)
            .outerjoin(fan_curve, fan_curve.c.item_id == item.c.id)
            .where(material_use.c.job_id == self.job_id, item.c.item_class == "fan")
            .order_by(material_use.c.id)
        ).first()
        where = "beside the crawl hatch" if "crawl" in f"{story.type} {story.title}".lower() else "on the riser"
        turn = crc32(story.number.encode())
        suction = Decimal(16 + turn % 22) * _ROUNDED
        warranty = date(on.year + 5, on.month, min(on.day, 28))
        note_closeout(
            edit, self.job_id, fan=fan.name if fan else "", fan_watts=fan.watts if fan else None,
            fan_on_minute=FAN_ON, read_on=on, suction=suction,
            indicator="U-tube gauge", indicator_place=where,
            standard=self.books.firm.standard_text, warranty_until=warranty,
            description=f"{story.title}. Pipe, fan and joints as on the sketch; sealed, labeled and run in.",
        )  # fmt: skip

    def _answer_all(self, edit: Edit) -> None:
        on = self.story.closed
        assert on is not None
        points = built_in_points(work_kinds(self.story.type), on)
        seldom = [one for one in points if any(words in one.wording for words in _SELDOM)]
        absent = [one for one in seldom if crc32(f"{self.story.number}{one.key}".encode()) % 3]
        answer_points(edit, self.job_id, absent, NOT_APPLICABLE, on)
        answer_points(edit, self.job_id, points, OK, on)  # the rest

    def _breathed(self, edit: Edit, on: date) -> None:
        level = max(test.result for test in self.story.before)
        log_exposure(
            edit, self.lead, on, 180, level, job_id=self.job_id, level_from="test before the work",
            equilibrium_percent=Decimal(100),
        )  # fmt: skip
