"""The short review a job is closed with: what became of quoted lines without a log, and what is still owed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.closing import answer_lines, answer_the_rest, log_forgotten
from db.commands.jobs import close_job
from db.queries.closing import ClosingReview, Owed, closing_review
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.log.entering import enter
from desktop.widgets.cards import Card, FlowLayout, Notice, button, label
from desktop.widgets.full_table import FullTable
from desktop.widgets.table import Column, RowsModel
from domain.closing import LEFT_OUT, TASK, WITHIN, LineKey, OpenLine, answer_words
from domain.dates import format_day_short

ALL_LOGGED = "Every quoted line has something in the log, or an answer."
ASKED = (
    "Nothing is logged on these quoted lines. For each, type and press Enter: what was forgotten (1h30, all), w for "
    "done in the time of other tasks, n for not done."
)
_LETTERS = {"w": WITHIN, "n": LEFT_OUT}
UNANSWERED = (
    "{lines} neither logged nor answered. Closed so, the job counts in money, is marked not fully logged, and the "
    "record of finished jobs learns nothing from it."
)
NOT_LEARNED = (
    "Not fully logged: {lines} neither logged nor answered. The job counts in money; the record learns nothing from "
    "it until they are answered here."
)


class _ReviewTable(FullTable):
    """Whatever is typed begins the entry of its row; no single key answers, and none closes but Ctrl+Enter."""

    def __init__(self, model: RowsModel) -> None:
        super().__init__(model, "Quoted lines without a log")
        self.entry_column: Callable[[], int] = lambda: 0
        self.setSortingEnabled(False)
        self.horizontalHeader().setSortIndicatorShown(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if _review_key(event):
            event.ignore()  # the card's
            return
        if event.text().isprintable() and event.text() and self.state() != self.State.EditingState:
            self._go_to_entry()
        super().keyPressEvent(event)

    def _go_to_entry(self) -> None:
        """Typing on words that cannot be typed over begins the entry of that row."""
        index = self.currentIndex()
        if index.isValid() and not self.rows_model().can_edit(index):
            self.setCurrentIndex(index.siblingAtColumn(self.entry_column()))

    def _move_on(self, row_id: Any, key: str, move: str) -> None:
        """A line that was logged is gone: the one that took its place is next; the keyboard stays in the table."""
        model, place = self.rows_model(), max(self.currentIndex().row(), self._last_row)
        if model.find(row_id) >= 0:
            super()._move_on(row_id, key, move)
            return
        self._beside.hide()
        self.setFocus()
        if model.rowCount():
            self.setCurrentIndex(model.index(min(max(place, 0), model.rowCount() - 1), self.entry_column()))

    _last_row = 0

    def _keep_place(self) -> None:
        self._last_row = self.currentIndex().row()
        super()._keep_place()


def _review_key(event: QKeyEvent) -> str:
    """close: Ctrl+Enter; rest: Ctrl+Shift+A; else nothing."""
    modifier = Qt.KeyboardModifier
    if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and event.modifiers() & modifier.ControlModifier:
        return "close"
    both = modifier.ControlModifier | modifier.ShiftModifier
    return "rest" if event.key() == Qt.Key.Key_A and event.modifiers() == both else ""


class ClosingCard(Card):
    """Shown while a job is being closed, and on a closed one that has answers or lacks them."""

    left = Signal()
    """The job is not closed now."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Closing the job")
        self._desk, self._saver = desk, Autosave(desk)
        self._job_id = 0
        self._asked = False  # the owner wants to close this job
        self._review: ClosingReview | None = None
        self.words = label("", "body", "", wrap=True)
        self.table = self._table()
        self.within = button("In other tasks' time", self.answer_within, "plain", tip="Type w on the line, Enter")
        self.left_out = button("Not done", self.answer_left_out, "plain", tip="Type n on the line, Enter")
        self.rest = button("All the rest: in other tasks' time", self.answer_rest, "plain", tip="Ctrl+Shift+A")
        self.reopen_words = label("", "small", "soft", wrap=True)
        owed = QWidget()
        self._owed = FlowLayout(owed, spacing=6)
        self._owed_card = owed
        self._owed_title = label("Still owed", "strong")
        self.refused = Notice("caution")
        self._opened = False  # the answers of a fully logged job are looked at
        self.see = button("", self._open_answers, "quiet", "right", tip="What was answered at closing")
        self.close_button = button("Close the job", self.close_now, "primary", "check", tip="Ctrl+Enter")
        self.leave = button("Leave it open", self.leave_open, "quiet")
        keys = QHBoxLayout()
        for one in (self.within, self.left_out, self.rest, self.see, self.close_button, self.leave):
            keys.addWidget(one)
        keys.insertStretch(4, 1)
        body = QVBoxLayout()
        body.setSpacing(8)
        body.addWidget(self.words)
        body.addLayout(keys)
        for part in (self.reopen_words, self.refused, self.table, self._owed_title, owed):
            body.addWidget(part)
        self.add(body)
        self.hide()

    def _table(self) -> _ReviewTable:
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
                "answer": lambda line: line.answer_words(self._tasks()) or "not answered",
            },
            tone={"answer": lambda line: "" if line.answer else "over"},
            row_id=lambda line: line.key,
            setter=self._set,
            can_edit=lambda _line, key: key == "answer" or not self._is_closed,
            choices={"answer": self._choices},
        )  # fmt: skip
        made = _ReviewTable(model)
        made.entry_column = self._cell
        return made

    def keyPressEvent(self, event: QKeyEvent) -> None:
        wanted = _review_key(event)
        if wanted == "close":
            self.close_if_answered()
        elif wanted == "rest":
            self.answer_rest()
        else:
            super().keyPressEvent(event)

    # Showing.

    def begin(self, job_id: int) -> None:
        """The owner wants to close this job."""
        self._asked, self._job_id = True, job_id

    def show_job(self, job_id: int, *, closed: bool, unanswered: int) -> None:
        """Show the review where there is something to say."""
        if job_id != self._job_id:
            self._job_id, self._asked, self._opened = job_id, False, False
            self.refused.set_words("caution", "")
        if not closed and not self._asked:
            self._review = None
            self.hide()
            return
        with self._desk.read() as conn:
            self._review = review = closing_review(conn, job_id, self._desk.today())
        # A job closed before the review was is taken by its hours; its materials are not asked for.
        lines = [line for line in review.lines if line.answer or not closed or unanswered]
        self.table.rows_model().set_rows(lines)
        self._show_words(review, lines, closed, unanswered)
        self._show_owed(review.owed)  # what is owed is owed after closing, too
        self.setVisible(self._asked or bool(lines) or bool(review.owed))

    def _show_words(self, review: ClosingReview, lines: list[OpenLine], closed: bool, unanswered: int) -> None:
        if closed:
            self._asked = False
        self.header.set_words("How it was closed" if closed else "Closing the job")
        lacking = sum(1 for line in lines if not line.answer)
        if closed:
            self.words.setText(NOT_LEARNED.format(lines=_are(unanswered)) if unanswered else ALL_LOGGED)
        elif not lines:
            self.words.setText(ALL_LOGGED)
        else:
            self.words.setText(ASKED)
        folded = closed and not unanswered and not self._opened
        if (folded or not lines) and self.table.hasFocus():
            self.setFocus()  # a table that hides would hand the keyboard to any button and scroll the page there
        for one in (self.table, self.within, self.left_out):
            one.setVisible(bool(lines) and not folded)
        self.see.setVisible(bool(lines) and folded)
        self.see.setText(f"See and change the {len(lines)} answers" if len(lines) > 1 else "See and change the answer")
        self.rest.setVisible(lacking > 0)
        self.table.setColumnHidden(self.table.rows_model().column_of("typed"), closed)
        day = f"What is typed here is logged on {format_day_short(review.day)} for {review.person}."
        if not closed and lacking:
            day += " " + UNANSWERED.format(lines=_are(lacking))
        self.reopen_words.setText("To log more, reopen the job first." if closed else day)
        self.reopen_words.setVisible(bool(lines) and (not closed or unanswered > 0))
        for one in (self.close_button, self.leave):
            one.setVisible(not closed)
        self.close_button.setText("Close the job" if not lacking else "Close it, not fully logged")

    def _show_owed(self, owed: tuple[Owed, ...]) -> None:
        while (taken := self._owed.takeAt(0)) is not None:
            if taken.widget():
                taken.widget().hide()
                taken.widget().deleteLater()
        for one in owed:
            link = button(one.words, lambda one=one: self._desk.go(JOBS, self._job_id, one.section), "quiet", "right")
            link.setAccessibleDescription("Goes to where it is dealt with")
            self._owed.addWidget(link)
        self._owed_title.setVisible(bool(owed))
        self._owed_card.setVisible(bool(owed))

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
        return [one for one in (self.within, self.left_out, self.rest, self.close_button) if not one.isHidden()]

    # Answering.

    def answer_within(self) -> None:
        """The lines chosen were done in other tasks' time."""
        self._answer(WITHIN)

    def answer_left_out(self) -> None:
        """The lines chosen were not done."""
        self._answer(LEFT_OUT)

    def answer_rest(self) -> None:
        """All lines without an answer were done within other tasks."""
        job_id = self._job_id
        if self._review is not None and self._review.unanswered:
            self._run("Answer the rest: in other tasks' time", lambda edit: answer_the_rest(edit, job_id))
            self.take_focus()

    def _answer(self, answer: str, lines: list[OpenLine] | None = None, within: int | None = None) -> str | None:
        lines = lines or self.table.selected_rows() or [one for one in [self.table.current_row()] if one]
        if not lines:
            return None
        last, keys, job_id = lines[-1].key, [line.key for line in lines], self._job_id
        name = lines[0].name if len(lines) == 1 else f"{len(lines)} lines"
        words = answer_words(lines[0].key.kind, answer) or "no answer"
        problem = enter(
            self._desk, f"Answer {name}: {words}",
            lambda edit: answer_lines(edit, job_id, keys, answer, within),
        )  # fmt: skip
        if problem:
            self.refused.set_words("caution", problem)
        else:
            self._go_on(last)
        return problem

    def _set(self, line: OpenLine, key: str, text: str) -> str | None:
        if key == "answer":
            return self._answer_typed(line, text)
        if not text.strip():
            return None
        if answer := _LETTERS.get(text.strip().casefold()):
            return self._answer(answer, [line])
        job_id, review = self._job_id, self._review
        assert review is not None
        return enter(
            self._desk, f"Log {text.strip()} on {line.name}",
            lambda edit: log_forgotten(
                edit, job_id, line.key, text, review.day, review.person_id, today=self._desk.today()
            ),
        )  # fmt: skip

    def _answer_typed(self, line: OpenLine, text: str) -> str | None:
        words = " ".join(text.casefold().split())
        if answer := _LETTERS.get(words):
            return self._answer(answer, [line])
        choices = [one for one in self._choices(line) if one.casefold() == words] or [
            one for one in self._choices(line) if words and words in one.casefold()
        ]
        if not words:
            return self._answer("", [line])
        if len(choices) != 1:
            return f"Choose one: {', '.join(self._choices(line)[:2])} …"
        if choices[0] == answer_words(line.key.kind, LEFT_OUT):
            return self._answer(LEFT_OUT, [line])
        return self._answer(WITHIN, [line], self._named().get(choices[0]) if line.key.kind == TASK else None)

    def _choices(self, line: OpenLine) -> list[str]:
        general = [answer_words(line.key.kind, WITHIN), answer_words(line.key.kind, LEFT_OUT)]
        return [*general, *self._named()] if line.key.kind == TASK else general

    def _named(self) -> dict[str, int]:
        """"in the time of Seal" with the task's id, those with most time first."""
        review = self._review
        return {f"in the time of {review.tasks[one]}": one for one in review.logged_tasks} if review else {}

    # Closing.

    def close_if_answered(self) -> None:
        """Ctrl+Enter closes a job whose lines are all answered; else it says what is lacking."""
        if self._review is not None and self._review.unanswered:
            self.refused.set_words(
                "caution",
                f"{_are(self._review.unanswered)} not answered yet. Ctrl+Shift+A answers all the rest at once; the "
                "button closes the job without.",
            )
            return
        self.close_now()

    def close_now(self) -> None:
        """Close the job, answered or not."""
        review = self._review
        if review is None or self._is_closed:
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
        return self._review is not None and self._review.job.closed_on is not None

    def _tasks(self) -> dict[int, str]:
        return self._review.tasks if self._review else {}

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
