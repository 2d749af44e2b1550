"""The short review a job is closed with: what became of quoted lines without a log, and what is still owed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QElapsedTimer, QModelIndex, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.closing import materials_left_as_quoted, tasks_left_within
from db.commands.jobs import close_job
from db.queries.closing import ClosingReview, closing_review
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.outcome.closing_answers import ClosingAnswers
from desktop.pages.job_sections.outcome.closing_table import MATERIALS_KEY, TASKS_KEY, ReviewTable, review_key
from desktop.pages.job_sections.outcome.not_kept import NotKept, not_kept, told
from desktop.pages.job_sections.outcome.owed_links import OwedLinks
from desktop.widgets.cards import Card, FlowLayout, Notice, button, label
from desktop.widgets.table import Column, RowsModel
from domain.closing import LEFT_OUT, MATERIAL, TASK, WITHIN, LineKey, OpenLine, of_kind
from domain.dates import format_day_short

ALL_LOGGED = "Every quoted line has something in the log, or an answer."
ASKED = (
    "Nothing is logged on these quoted lines. For each, type and press Enter: what was forgotten (1h30, 12, $85; all: "
    "as quoted), w for done in other tasks' time or logged with another, n for not done or not used."
)
UNANSWERED = (
    "{lines} neither logged nor answered. Closed so, the job counts in money, is marked not fully logged, and the "
    "record of finished jobs learns nothing from it."
)
NOT_LEARNED = (
    "Not fully logged: {lines} neither logged nor answered. The job counts in money; the record learns nothing from "
    "it until they are answered here."
)


class ClosingCard(Card):
    """Shown while a job is being closed, and on a closed one that has answers or lacks them."""

    left = Signal()
    """The job is not closed now."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Closing the job")
        self._desk, self._saver = desk, Autosave(desk)
        self._job_id = 0
        self._asked = False  # the owner wants to close this job
        self.answers = ClosingAnswers(desk)
        self.words = label("", "body", "", wrap=True)
        self.table = self._table()
        self.within = button("In other tasks' time", self.answer_within, "plain", tip="Tasks: type w and Enter")
        self.as_quoted = button(
            "Used as quoted", self.answer_as_quoted, "plain", tip="Materials and costs: type all and Enter"
        )
        self.left_out = button(
            "Not done or not used", self.answer_left_out, "plain", tip="Type n on the line, Enter"
        )
        self.tasks_left = button("Tasks left: in other tasks' time", self.answer_tasks_left, "plain", tip=TASKS_KEY)
        self.materials_left = button(
            "Materials left: used as quoted", self.answer_materials_left, "plain",
            tip=f"Logs the quoted quantities ({MATERIALS_KEY})",
        )  # fmt: skip
        self.reopen_words = label("", "small", "soft", wrap=True)
        self.owed = OwedLinks(lambda section: desk.go(JOBS, self._job_id, section))
        self.refused = Notice("caution")
        self._opened = False  # the answers of a fully logged job are looked at
        self.see = button("", self._open_answers, "quiet", "right", tip="What was answered at closing")
        self.close_button = button("Close the job", self._close_pressed, "primary", "check", tip="Ctrl+Enter")
        self.leave = button("Leave it open", self.leave_open, "quiet")
        self.unkept = Notice("error")  # what the log could not take
        self._unkept: list[NotKept] = []
        self._warned: list[NotKept] = []
        self._since_warned = QElapsedTimer()
        self._keys = QWidget()
        keys = FlowLayout(self._keys, spacing=6)
        for one in (self.within, self.as_quoted, self.left_out, self.tasks_left, self.materials_left):
            keys.addWidget(one)
        ends = QHBoxLayout()
        for one in (self.see, self.close_button, self.leave):
            ends.addWidget(one)
        ends.insertStretch(1, 1)
        self.table.selectionModel().selectionChanged.connect(self._show_keys)
        body = QVBoxLayout()
        body.setSpacing(8)
        body.addWidget(self.words)
        body.addWidget(self.unkept)
        body.addWidget(self._keys)
        body.addLayout(ends)
        for part in (self.reopen_words, self.refused, self.table, self.owed):
            body.addWidget(part)
        self.add(body)
        self.hide()

    def _table(self) -> ReviewTable:
        model = RowsModel(
            [
                Column("name", "Quoted", stretch=1),
                Column("quoted", "How much", "right", width=110),
                Column("typed", "Forgotten: log it", "right", width=140, editable=True,
                       tooltip="1h30, 8-10:30, 12, all, $85; w or n answers instead"),
                Column("answer", "What became of it", width=250, editable=True, tooltip="w or n, or choose"),
            ],
            text={
                "quoted": lambda line: line.quoted_words,
                "typed": lambda _line: "",
                "answer": lambda line: line.answer_words(self.answers.tasks()) or "not answered",
            },
            tone={"answer": lambda line: "" if line.answer else "over"},
            row_id=lambda line: line.key,
            setter=self._set,
            can_edit=lambda _line, key: key == "answer" or not self._is_closed,
            choices={"answer": self.answers.choices},
        )  # fmt: skip
        made = ReviewTable(model)
        made.entry_column = self._cell
        return made

    def keyPressEvent(self, event: QKeyEvent) -> None:
        wanted = review_key(event)
        if wanted == "close":
            self.close_if_answered()
        elif wanted == "tasks":
            self.answer_tasks_left()
        elif wanted == "materials":
            self.answer_materials_left()
        else:
            super().keyPressEvent(event)

    # Showing.

    def begin(self, job_id: int) -> None:
        """The owner wants to close this job."""
        self._asked, self._job_id = True, job_id

    def show_job(self, job_id: int, *, closed: bool, unanswered: int) -> None:
        """Show the review where there is something to say."""
        if job_id != self._job_id:
            self._job_id, self._asked, self._opened, self._warned = job_id, False, False, []
            self.refused.set_words("caution", "")
        if not closed and not self._asked:
            self.answers.review = None
            self.hide()
            return
        with self._desk.read() as conn:
            self.answers.review = review = closing_review(conn, job_id, self._desk.today())
        # A job closed before the review was is taken by its hours; its materials are not asked for.
        lines = [line for line in review.lines if line.answer or not closed or unanswered]
        self.table.rows_model().set_rows(lines)
        self.refresh_unkept(closed)
        self._show_words(review, lines, closed, unanswered)
        self._show_keys()
        self.owed.show_owed(review.owed)  # what is owed is owed after closing, too
        self.setVisible(self._asked or bool(lines) or bool(review.owed))

    def _show_words(self, review: ClosingReview, lines: list[OpenLine], closed: bool, unanswered: int) -> None:
        if closed:
            self._asked = False
        self.header.set_words("How it was closed" if closed else "Closing the job")
        lacking = sum(1 for line in lines if not line.answer)
        if closed:
            self.words.setText(NOT_LEARNED.format(lines=_are(unanswered)) if unanswered else ALL_LOGGED)
        elif not lines:
            self.words.setText(ALL_LOGGED if not self._unkept else "")
        else:
            self.words.setText(ASKED)
        folded = closed and not unanswered and not self._opened
        if (folded or not lines) and self.table.hasFocus():
            self.setFocus()  # a table that hides would hand the keyboard to any button and scroll the page there
        for one in (self.table, self._keys):
            one.setVisible(bool(lines) and not folded)
        self.see.setVisible(bool(lines) and folded)
        self.see.setText(f"See and change the {len(lines)} answers" if len(lines) > 1 else "See and change the answer")
        self.table.setColumnHidden(self.table.rows_model().column_of("typed"), closed)
        day = f"What is typed here is logged on {format_day_short(review.day)} for {review.person}."
        if not closed and lacking:
            day += " " + UNANSWERED.format(lines=_are(lacking))
        self.reopen_words.setText("To log more, reopen the job first." if closed else day)
        self.reopen_words.setVisible(bool(lines) and (not closed or unanswered > 0))
        for one in (self.close_button, self.leave):
            one.setVisible(not closed)
        self.close_button.setText("Close the job" if not lacking else "Close it, not fully logged")

    def _show_keys(self) -> None:
        """A key can be pressed where its words say what it does to every line chosen."""
        chosen = {line.key.kind for line in self._chosen()}
        lines, closed = self.table.rows_model().rows, self._is_closed
        self.within.setEnabled(chosen == {TASK})
        self.as_quoted.setEnabled(bool(chosen) and TASK not in chosen and not closed)
        self.left_out.setEnabled(bool(chosen))
        self.as_quoted.setVisible(not closed)
        self.tasks_left.setVisible(len(of_kind(lines, TASK)) > 1)
        self.materials_left.setVisible(len(of_kind(lines, MATERIAL)) > 1 and not closed)

    def refresh_unkept(self, closed: bool = False) -> None:
        """Name what stands refused for this job, with the way to it; it is part of no figure."""
        self._unkept = not_kept(self._desk, self._job_id, self) if not closed else []
        go = ("Go to it", self._unkept[0].go) if self._unkept else None
        self.unkept.set_words("error", told(self._unkept), go)

    def _open_answers(self) -> None:
        self._opened = True
        self.show_job(self._job_id, closed=True, unanswered=0)
        self.table.setFocus()

    def take_focus(self) -> None:
        """Begin at the first line that wants an answer; never on a button, which a second Enter would press."""
        model = self.table.rows_model()
        place = next((n for n, line in enumerate(model.rows) if not line.answer), -1)
        if self.table.isHidden():
            self.setFocus()
            return
        self.table.setFocus()
        if place >= 0 or not self.table.currentIndex().isValid():
            self.table.setCurrentIndex(model.index(max(place, 0), self._cell()))

    def buttons(self) -> list[QPushButton]:
        """What can be pressed now."""
        every = (self.within, self.as_quoted, self.left_out, self.tasks_left, self.materials_left, self.close_button)
        return [one for one in every if not one.isHidden()]

    # Answering.

    def answer_within(self) -> None:
        """The lines chosen were done in other tasks' time."""
        self._answer(WITHIN)

    def answer_left_out(self) -> None:
        """The lines chosen were not done."""
        self._answer(LEFT_OUT)

    def answer_as_quoted(self) -> None:
        """The materials and costs chosen came as quoted: they are logged so."""
        if lines := self._chosen():
            self.refused.set_words("caution", self.answers.log_as_quoted(lines) or "")

    def answer_tasks_left(self) -> None:
        """All tasks without an answer were done in other tasks' time; materials and costs stay asked."""
        job_id = self._job_id
        if of_kind(self.table.rows_model().rows, TASK):
            self._run("Answer the tasks left: in other tasks' time", lambda edit: tasks_left_within(edit, job_id))
            self.take_focus()

    def answer_materials_left(self) -> None:
        """All materials without an answer were used as quoted: they are logged so."""
        job_id, review, today = self._job_id, self.answers.review, self._desk.today()
        if review is not None and of_kind(self.table.rows_model().rows, MATERIAL) and not self._is_closed:
            self._run(
                "Log the materials left as quoted",
                lambda edit: materials_left_as_quoted(edit, job_id, review.day, today=today),
            )
            self.take_focus()

    def _chosen(self) -> list[OpenLine]:
        return self.table.selected_rows() or [one for one in [self.table.current_row()] if one]

    def _answer(self, answer: str) -> None:
        if lines := self._chosen():
            self._told(self.answers.answer(lines, answer), lines[-1])

    def _told(self, problem: str | None, last: OpenLine) -> None:
        self.refused.set_words("caution", problem or "")
        if not problem:
            self._go_on(last.key)

    def _set(self, line: OpenLine, key: str, text: str) -> str | None:
        problem, answered = self.answers.typed(line, text, into_answer=key == "answer")
        if answered and not problem:
            self._go_on(line.key)
        return problem

    # Closing.

    def close_if_answered(self) -> None:
        """Ctrl+Enter closes a job whose lines are all answered; else it says what is lacking."""
        review = self.answers.review
        if review is not None and review.unanswered:
            self.refused.set_words(
                "caution",
                f"{_are(review.unanswered)} not answered yet. {TASKS_KEY}: the tasks left, in other tasks' time; "
                f"{MATERIALS_KEY}: the materials left, used as quoted. The button closes the job without.",
            )
            return
        self.close_now()

    def _close_pressed(self) -> None:
        """The second half of a double click answers no question that nobody had read."""
        if self._since_warned.isValid() and self._since_warned.elapsed() < QApplication.doubleClickInterval():
            return
        self.close_now()

    def close_now(self) -> None:
        """Close the job, answered or not; what stands refused is asked about once."""
        review = self.answers.review
        if review is None or self._is_closed:
            return
        self.refresh_unkept()
        if self._unkept and self._unkept != self._warned:
            self._warned = self._unkept
            self._since_warned.start()
            self.refused.set_words("caution", f"Not closed: {told(self._unkept)} Close again to close without.")
            return
        job_id, on = self._job_id, self._desk.today()
        self._run(
            f"Close job {review.job.number}", lambda edit: close_job(edit, job_id, on),
            f"Job {review.job.number} is closed",
        )  # fmt: skip

    def leave_open(self) -> None:
        """Do not close it now; answers given stay."""
        self._asked = False
        self.hide()
        self.left.emit()

    @property
    def _is_closed(self) -> bool:
        return self.answers.is_closed

    def _cell(self) -> int:
        return self.table.rows_model().column_of("answer" if self._is_closed else "typed")

    def _go_on(self, after: LineKey) -> None:
        """To the next line without an answer, from the top again below the last."""
        model: RowsModel = self.table.rows_model()
        start = model.find(after) + 1
        order = [*range(start, model.rowCount()), *range(start)]
        place = next((n for n in order if not model.row_at(n).answer), -1)
        index: QModelIndex = model.index(place, self._cell()) if place >= 0 else QModelIndex()
        if index.isValid():
            self.table.setCurrentIndex(index)

    def _run(self, words: str, work: Callable[..., object], say: str = "") -> None:
        self.refused.set_words("caution", self._saver.refusal(words, work, say=say, undo=bool(say)))


def _are(count: int) -> str:
    return "1 quoted line is" if count == 1 else f"{count} quoted lines are"
