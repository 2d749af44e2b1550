"""The track record of the open company: learned once from its finished jobs, again when they change, off the window's
thread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import cast

from PySide6.QtCore import QEventLoop, QObject, QTimer, Signal

from db.queries.track_record import count_finished, past_work, stamp
from desktop.desk import Desk
from domain.track_record import Backtest, MaterialRecord, TrackRecord, fit, fit_materials

AT_ONCE = 8
"""So many finished jobs are learned from while one waits; more in the background."""

PATIENCE_MS = 15_000
"""No step waits longer for the record than this, whatever the computer is busy with."""


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned. The finished work itself is not kept: ``hours.outcomes()`` reads it back."""

    hours: TrackRecord
    materials: MaterialRecord
    backtest: Backtest


class RecordShelf(QObject):
    """Keeps the record of the company on the desk.

    Signals:
        changed: there is a record, or another one.
        rested: learning has ended, with a record or without.
    """

    changed = Signal()
    rested = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.desk = desk
        self.learned: Learned | None = None
        self._stamp: object = None
        self._asked: object = None

    def look(self) -> Learned | None:
        """The record as it stands. Begins to learn anew when finished jobs have changed; `changed` follows."""
        today = self.desk.today()
        with self.desk.read() as conn:
            now = (*stamp(conn), today)
            if now in (self._stamp, self._asked):
                return self.learned
            few = count_finished(conn) <= AT_ONCE
        if few:
            self._keep(self._learn(today), now)
        else:
            self._asked = now
            self.desk.background(lambda: self._learn(today), lambda learned: self._take(learned, now), self._give_up)
        return self.learned

    @property
    def busy(self) -> bool:
        """Learning just now."""
        return self._asked is not None

    def wait(self) -> bool:
        """Let the learning at hand end while the window stays painted and keys wait; False when there is no record."""
        self.look()
        if self.busy and self.learned is None:
            waiting = QEventLoop()
            self.rested.connect(waiting.quit)
            QTimer.singleShot(PATIENCE_MS, waiting, waiting.quit)
            waiting.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
            self.rested.disconnect(waiting.quit)
        return self.learned is not None

    def _learn(self, today: date) -> Learned:
        hours, materials = self._fitted(today)
        return Learned(hours, materials, hours.backtest())

    def _fitted(self, today: date) -> tuple[TrackRecord, MaterialRecord]:
        with self.desk.read() as conn:
            work = past_work(conn)
        return fit(work.hours, as_of=today), fit_materials(work.materials, as_of=today)

    def _take(self, learned: Learned, now: object) -> None:
        if self._asked == now:
            self._asked = None
        self._keep(learned, now)
        self.changed.emit()
        self.rested.emit()

    def _keep(self, learned: Learned, now: object) -> None:
        self.learned, self._stamp = learned, now

    def _give_up(self, error: Exception) -> None:
        """The company was closed meanwhile, or its file does not answer; the next look tries again."""
        self._asked = None
        self.rested.emit()


def shelf_of(desk: Desk) -> RecordShelf:
    """The one shelf of a desk."""
    kept = getattr(desk, "record_shelf", None)
    if kept is None:
        kept = RecordShelf(desk)
        desk.record_shelf = kept  # type: ignore[attr-defined]
    return cast(RecordShelf, kept)
