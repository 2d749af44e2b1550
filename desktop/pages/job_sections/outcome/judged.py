"""Was the record right about this job?"""

from __future__ import annotations

from db.queries.track_record import expectations_by_job
from desktop.desk import Desk
from desktop.record_shelf import shelf_of
from desktop.widgets.cards import Card, label
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.judged import Judged, judge
from domain.units import format_minutes


class JudgedCard(Card):
    """Quoted and actual hours with the band expected beforehand, and what that says."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Was the record right?", "expected before the work, held against what it took")
        self.desk = desk
        self.shelf = shelf_of(desk)
        self.bar = QuotedActualBar(lambda minutes: format_minutes(int(minutes)))
        self.bar.setAccessibleName("Quoted and actual hours, and the band expected beforehand")
        self.words = label("", "body", wrap=True)
        self.add(self.bar)
        self.add(self.words)

    def show_job(self, job_id: int, quoted: int, actual: int, *, closed: bool) -> None:
        """A closed job; an open one has no answer yet."""
        found = self._judged(job_id, quoted, actual) if closed and quoted else None
        self.setVisible(found is not None)
        if found is not None:
            self.bar.set_values(
                found.quoted, found.actual, max(found.high, found.actual, found.quoted) * 1.05, found.low, found.high
            )
            self.words.setText(found.words)

    def _judged(self, job_id: int, quoted: int, actual: int) -> Judged | None:
        learned = self.shelf.look()
        with self.desk.read() as conn:
            kept = expectations_by_job(conn).get(job_id)
        test = None
        if kept is None and learned is not None:
            test = next((one for one in learned.backtest.tests if one.job == job_id), None)
        return judge(quoted, actual, kept, test)
