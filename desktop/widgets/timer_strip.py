"""The running clock in the window's head: what it runs on, for how long, and a way to stop it from anywhere.

    strip = TimerStrip(); strip.set_desk(desk or None); strip.refresh()

Unlike the other widgets it asks the company: it is given the desk when a company is opened.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.clock import logged_words
from desktop.widgets.as_typed import set_tip
from desktop.widgets.buttons import button, tool_button
from domain.log_entry import timer_minutes
from domain.units import format_minutes

if TYPE_CHECKING:
    from db.queries.log_offers import RunningClock
    from desktop.desk import Desk


ROOMY = 1500
"""From this width of the window on the task is named and the clock can be cancelled here; else in the job's log."""


class TimerStrip(QWidget):
    """Hidden while no clock runs."""

    def __init__(self) -> None:
        super().__init__()
        self._desk: Desk | None = None
        self._clock: RunningClock | None = None
        self.open = button("", self._open, "quiet", "timer")
        self.stop = tool_button("stop", "Stop the clock and log the hours", self._stop)
        self.cancel = tool_button("cross", "Stop the clock and log nothing", self._cancel)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 8, 0)
        line.setSpacing(2)
        for part in (self.open, self.stop, self.cancel):
            line.addWidget(part)
        self._tick = QTimer(self)
        self._tick.setInterval(15_000)
        self._tick.timeout.connect(self._show)
        self.hide()

    def set_desk(self, desk: Desk | None) -> None:
        """Follow this company's clock; None: no company is open."""
        self._desk = desk
        self.window().installEventFilter(self)
        self.refresh()

    def refresh(self) -> None:
        """Read the clock again."""
        self._clock = None
        if self._desk is not None:
            from db.queries.log_offers import running_timer

            with self._desk.read() as conn:
                self._clock = running_timer(conn)
        if self._clock is None:
            self._tick.stop()
        elif not self._tick.isActive():
            self._tick.start()
        self.setVisible(self._clock is not None)
        self._show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Say more or less as the window changes its size."""
        if event.type() == QEvent.Type.Resize:
            self._show()
        return super().eventFilter(watched, event)

    def words(self) -> str:
        """What the strip says now."""
        return self.open.text()

    def _show(self) -> None:
        if self._clock is None or self._desk is None:
            return
        started = datetime.fromisoformat(self._clock.timer.started_at)
        task = self._clock.task
        roomy = self.window().width() >= ROOMY
        self.cancel.setVisible(roomy)
        spent = format_minutes(timer_minutes(started, self._desk.now()))
        self.open.setText(f"{spent} · {task}" if roomy else spent)
        where = f"{self._clock.job_number}, {self._clock.customer}"
        set_tip(self.open, f"{task}: the clock runs for {self._clock.person} on {where}. Opens the log.")
        self.open.setAccessibleName(f"Clock running on {task}, {where}")

    def _open(self) -> None:
        if self._desk is not None and self._clock is not None:
            self._desk.go("jobs", self._clock.timer.job_id, "log")

    def _stop(self) -> None:
        from db.commands.log import stop_timer

        if self._desk is None or self._clock is None:
            return
        now = self._desk.now()
        said = logged_words(self._clock.timer.started_at, now.date())
        self._desk.do("Stop the clock", lambda edit: stop_timer(edit, now), say=said, undo=True)

    def _cancel(self) -> None:
        from db.commands.log import cancel_timer

        if self._desk is not None:
            self._desk.do("Cancel the clock", cancel_timer, say="Stopped; nothing was logged.", undo=True)
