"""The checklist of a job: o for OK, n for not OK, - for not applicable, and the cursor goes on to the next point."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea

from db.commands.checklist import answer_point, answer_points, clear_answer, note_answer, photo_of_answer
from db.queries.closeout import CloseoutPage
from desktop.desk import COMPANY, Desk
from desktop.pages.autosave import Autosave
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, button, label
from desktop.widgets.form import ChoiceField, Form, TextField
from desktop.widgets.full_table import FullTable
from desktop.widgets.table import Column, RowsModel
from domain.closeout.checklist import CheckRow, count
from domain.closeout.records import ANSWER_WORDS, NOT_APPLICABLE, NOT_OK, OK, PHASE_WORDS
from domain.standards import READ

KEYS = {
    Qt.Key.Key_O: OK, Qt.Key.Key_Y: OK, Qt.Key.Key_N: NOT_OK, Qt.Key.Key_Minus: NOT_APPLICABLE,
    Qt.Key.Key_Slash: NOT_APPLICABLE,
}  # fmt: skip
TONES = {OK: "good", NOT_OK: "over", NOT_APPLICABLE: "plain"}
HINT = "o: OK   n: not OK   -: not applicable   Backspace: take back   Enter: note"


class PointTable(FullTable):
    """Points and answers; a single key answers the point under the cursor."""

    answered = Signal(object, str)
    taken_back = Signal(object)

    def __init__(self) -> None:
        super().__init__(_model(), "Checklist")
        set_tip(self, HINT)
        self.setAccessibleDescription(HINT)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.current_row()
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if row is not None and plain and (answer := KEYS.get(Qt.Key(event.key()))):
            self.answered.emit(row, answer)
            self._step()
        elif row is not None and plain and event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Delete):
            self.taken_back.emit(row)
        else:
            super().keyPressEvent(event)

    def _step(self) -> None:
        below = self.model().index(self.currentIndex().row() + 1, max(self.currentIndex().column(), 0))
        if below.isValid():
            self.setCurrentIndex(below)

    def currentChanged(self, now: QModelIndex, before: QModelIndex) -> None:
        """The page scrolls, not the table: it follows the cursor."""
        super().currentChanged(now, before)
        area = self.parentWidget()
        while area is not None and not isinstance(area, QScrollArea):
            area = area.parentWidget()
        if area is not None and self.hasFocus():
            place = self.viewport().mapTo(area.widget(), self.visualRect(now).center())
            area.ensureVisible(place.x(), place.y(), 0, 80)


def _model() -> RowsModel:
    return RowsModel(
        [
            Column("phase", "When", width=140),
            Column("answer", "Answer", kind="state", width=128),
            Column("wording", "Point", stretch=3),
            Column("note", "Note", width=130, stretch=1),
            Column("source", "Where it is from", width=230, stretch=2),
        ],
        text={
            "phase": lambda row: PHASE_WORDS[row.point.phase],
            "answer": lambda row: ANSWER_WORDS[row.answer.answer] if row.answer else "",
            "note": _note,
            "source": lambda row: row.source.replace(f" ({READ})", ""),
        },
        tone={"answer": lambda row: TONES[row.answer.answer] if row.answer else "plain"},
        tip={"wording": lambda row: row.source, "source": lambda row: row.source},
        sort_key={"phase": lambda row: ("before", "during", "after").index(row.point.phase)},
        row_id=lambda row: row.point.key,
    )


def _note(row: CheckRow) -> str:
    if row.answer is None:
        return ""
    photo = "photo" if row.answer.photo_id is not None else ""
    return " · ".join(part for part in (row.answer.note, photo) if part)


class ChecklistCard(Card):
    """The points, and beneath them the note and the photo of the one under the cursor."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Checklist", "")
        self.desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self._page: CloseoutPage | None = None
        self.rest = button("The rest is OK", self.answer_rest, "plain", "check",
                           tip="Answers every point that has no answer yet")  # fmt: skip
        self.add_action(self.rest)
        self.add_action(button("Own points…", lambda: desk.go(COMPANY, None, "checklist"), "quiet", "edit"))
        self.table = PointTable()
        self.table.set_empty("No points", "Every point of this job type is hidden. They are kept on the Firm page.")
        self.table.answered.connect(self.answer)
        self.table.taken_back.connect(self._take_back)
        self.table.current_changed.connect(lambda _: self._show_current())
        self.table.row_activated.connect(lambda _: self.note.setFocus())
        self.about = label("", "small", "soft", wrap=True)
        self.form = Form(columns=2)
        self.note = self.form.add("Note to the point", TextField("what was seen or measured"))
        self.photo = self.form.add("Photo of the point", ChoiceField([(None, "none")], "one of the job's photos"))
        self._saver.bind(self.note, "Note to a point", self._write_note, self._record)
        self._saver.bind(self.photo, "Photo of a point", self._write_photo, self._record)
        line = QHBoxLayout()
        line.addWidget(self.form, 1)
        self.add(label(HINT, "small", "soft", wrap=True))
        self.add(self.table)
        self.add(self.about)
        self.add(line)

    def show_page(self, page: CloseoutPage) -> None:
        """Show the checklist of a job."""
        fresh = page.facts.job.id != self._job_id
        self._page, self._job_id = page, page.facts.job.id
        rows = list(page.facts.rows)
        if fresh:
            self.table.clearSelection()
        self.table.rows_model().set_rows(rows)
        found = count(rows)
        self.header.set_words("Checklist", found.words)
        self.rest.setEnabled(found.open > 0)
        if fresh and rows:
            first = next((row for row in rows if row.answer is None), rows[0])
            self.table.select_id(first.point.key)
        self._show_current()

    def answer(self, row: CheckRow, answer: str) -> None:
        """Answer a point."""
        self.desk.do(
            f"{ANSWER_WORDS[answer]}: {row.point.wording[:40]}",
            lambda edit: answer_point(edit, self._job_id, row.point, answer, self.desk.today()),
        )

    def answer_rest(self) -> None:
        """Answer everything that has no answer with OK."""
        if self._page is None:
            return
        points = [row.point for row in self._page.facts.rows if row.answer is None]
        self.desk.do(
            "The rest of the checklist is OK",
            lambda edit: answer_points(edit, self._job_id, points, OK, self.desk.today()),
            say=f"{len(points)} points answered OK", undo=True,
        )  # fmt: skip

    def _take_back(self, row: CheckRow) -> None:
        if row.answer is not None:
            self.desk.do("Take an answer back", lambda edit: clear_answer(edit, self._job_id, row.point.key))

    def _current(self) -> CheckRow | None:
        row: CheckRow | None = self.table.current_row()
        return row

    def _record(self) -> object:
        row = self._current()
        return ("answer", row.answer.id) if row is not None and row.answer is not None else None

    def _show_current(self) -> None:
        row = self._current()
        answer = row.answer if row else None
        photos = self._page.facts.photos if self._page else ()
        choices: list[tuple[Any, str]] = [(None, "none")]
        choices += [(photo.id, photo.caption or photo.original_name) for photo in photos]
        self.photo.set_choices(choices)
        for field, value in ((self.note, answer.note if answer else ""), (self.photo, answer and answer.photo_id)):
            field.setEnabled(answer is not None)
            self._saver.show(field, value)
        first = "" if answer else "   Answer it first; a note and a photo can be added then."
        self.about.setText("" if row is None else f"{row.wording}. {row.source}{first}")

    def _write_note(self, edit: Any, words: str) -> None:
        if (row := self._current()) is not None and row.answer is not None:
            note_answer(edit, row.answer.id, words)

    def _write_photo(self, edit: Any, photo_id: int | None) -> None:
        if (row := self._current()) is not None and row.answer is not None:
            photo_of_answer(edit, row.answer.id, photo_id)
