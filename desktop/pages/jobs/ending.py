"""How a job ends: closed when nothing more is expected, canceled with a reason, or deleted when it was a slip."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.jobs import cancel_job, close_job, delete_job, reopen_job
from db.queries.closing import closing_review
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.outcome.not_kept import not_kept
from desktop.widgets.cards import Notice, button, label
from desktop.widgets.form import TextField
from domain.dates import format_day_short
from domain.jobs import Job


class EndingPart(QWidget):
    """Close, cancel, reopen, delete."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver = desk, Autosave(desk)
        self._job: Job | None = None
        self.words = label("", "small", "soft", wrap=True)
        self.close_button = button("Close the job", self._close, "plain", "check")
        self.delete_button = button("Remove", self._delete, "quiet", "trash", "Only while nothing hangs on it")
        self.reopen_button = button("Reopen", self._reopen, "plain", "undo")
        self.reason = TextField("why it will not be done")
        self.reason.setAccessibleName("Reason to cancel")
        self.reason.returnPressed.connect(self._cancel)
        self.cancel_button = button("Cancel the job", self._cancel, "plain", "cross")
        self.refused = Notice("caution")
        top, self._cancelling = QHBoxLayout(), QWidget()
        for widget in (self.close_button, self.reopen_button, self.delete_button):
            top.addWidget(widget)
        top.addStretch(1)
        row = QHBoxLayout(self._cancelling)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.reason, 1)
        row.addWidget(self.cancel_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.words)
        column.addLayout(top)
        column.addWidget(self._cancelling)
        column.addWidget(self.refused)

    def show_job(self, job: Job) -> None:
        """Offer what can be done with this job."""
        if self._job is None or job.id != self._job.id:
            self.reason.reset()
            self.refused.set_words("caution", "")
        self._job = job
        ended = job.closed_on or job.cancelled_on
        if job.closed_on:
            words = f"Closed on {format_day_short(job.closed_on)}. It counts in Margins."
            if job.unanswered:
                words += " It is not fully logged, so the record does not learn from it: see its Outcome."
        elif job.cancelled_on:
            words = f"Canceled on {format_day_short(job.cancelled_on)}: {job.cancelled_reason}"
        else:
            words = (
                "Close it when nothing more is expected: all hours logged, all money in. It then counts in Margins. "
                "What was quoted and has no log is asked about first."
            )
        self.words.setText(words)
        self.close_button.setVisible(not ended)
        self.delete_button.setVisible(not ended)
        self._cancelling.setVisible(not ended)
        self.reopen_button.setVisible(bool(ended))

    def _run(self, label_text: str, work: object, say: str = "") -> bool:
        reason = self._saver.refusal(label_text, work, say=say, undo=bool(say))  # type: ignore[arg-type]
        self.refused.set_words("caution", reason)
        return not reason

    def _close(self) -> None:
        """Close at once when there is nothing to ask and nothing owed; else in the review on the job's outcome."""
        job, today = self._job, self._desk.today()
        if job:
            with self._desk.read() as conn:
                review = closing_review(conn, job.id, today)
            if not review.is_clear or not_kept(self._desk, job.id, self):
                self._desk.go(JOBS, job.id, "closing")
                return
            number = job.number
            self._run(f"Close job {number}", lambda edit: close_job(edit, job.id, today), f"Job {number} is closed")

    def _reopen(self) -> None:
        job = self._job
        if job:
            self._run(f"Reopen job {job.number}", lambda edit: reopen_job(edit, job.id))

    def _cancel(self) -> None:
        job, today, why = self._job, self._desk.today(), self.reason.text()
        if job and self._run(
            f"Cancel job {job.number}", lambda edit: cancel_job(edit, job.id, today, why),
            f"Job {job.number} is canceled",
        ):  # fmt: skip
            self.reason.reset()

    def _delete(self) -> None:
        job = self._job
        if job:
            self._run(f"Remove job {job.number}", lambda edit: delete_job(edit, job.id), f"Job {job.number} removed")
