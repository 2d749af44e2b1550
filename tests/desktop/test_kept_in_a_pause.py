"""Words of several lines are kept when the typing pauses, and whoever goes on typing does not notice."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from db.company_file.problems import Refused
from desktop.half_told import keep_what_is_typed
from desktop.pages.autosave import Autosave
from desktop.widgets import notes_field
from desktop.widgets.notes_field import NotesField
from tests.journeys.at_the_desk import CTRL, Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Person]:
    monkeypatch.setattr(notes_field, "PAUSE_MS", 40)
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def findings_of_a_job(owner: Person) -> tuple[int, NotesField]:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT min(id) FROM job WHERE closed_on IS NULL").scalar_one()
    owner.desk.go("jobs", job_id, "survey")
    owner.settle()
    field = owner.section.notes["findings"]
    owner.click(field)
    owner.press(Key.Key_A, held=CTRL)
    return job_id, field


def stored(owner: Person, job_id: int) -> str:
    with owner.desk.read() as conn:
        return str(conn.exec_driver_sql("SELECT findings FROM survey WHERE job_id = ?", (job_id,)).scalar_one())


def test_a_pause_keeps_the_words_and_moves_nothing_in_the_field(owner: Person, qtbot) -> None:
    job_id, field = findings_of_a_job(owner)
    owner.type("Crock open ")
    field.moveCursor(field.textCursor().MoveOperation.Left, field.textCursor().MoveMode.KeepAnchor)
    place, anchor = field.textCursor().position(), field.textCursor().anchor()
    qtbot.waitUntil(lambda: stored(owner, job_id).strip() == "Crock open", timeout=3000)
    owner.settle()
    assert field.hasFocus()
    assert (field.textCursor().position(), field.textCursor().anchor()) == (place, anchor)
    assert field.toPlainText() == "Crock open "  # the blank one typed on is still there
    assert not owner.window.saved.text().startswith("Not kept yet")
    owner.ctrl(Key.Key_Z)
    assert field.toPlainText() != "Crock open "  # it takes back letters, not the saved step
    assert field.hasFocus()


def test_closing_the_window_keeps_the_words_typed_last(owner: Person) -> None:
    job_id, field = findings_of_a_job(owner)
    field._pause.setInterval(60_000)
    owner.type("Typed and closed at once")
    path = owner.window.company.path
    owner.leave()
    owner.start_again()
    assert owner.window.company.path == path
    assert stored(owner, job_id) == "Typed and closed at once"


def test_a_note_that_is_refused_stays_where_it_was_typed(qtbot, owner: Person) -> None:
    field = NotesField()
    qtbot.addWidget(field)

    def refuse(_edit: object, _value: str) -> None:
        raise Refused("That month is closed.")

    saver = Autosave(owner.desk)
    saver.bind(field, "Change a note", refuse, lambda: ("note", 1))
    saver.show(field, "as stored")
    field.setPlainText("what was typed")
    field.commit()
    assert (field.toPlainText(), field.problem()) == ("what was typed", "That month is closed.")
    saver.show(field, "as stored")  # the page reads itself again
    assert field.toPlainText() == "what was typed"


def test_the_end_of_the_session_keeps_words_and_drafts(owner: Person) -> None:
    job_id, field = findings_of_a_job(owner)
    field._pause.setInterval(60_000)
    owner.type("Typed when the power was going")
    keep_what_is_typed(owner.window)
    assert stored(owner, job_id) == "Typed when the power was going"
    owner.desk.drafts.keep("radon test 1", {"value": "14"})
    keep_what_is_typed(owner.window)
    assert "radon test 1" in owner.window.settings.drafts_path.read_text("utf-8")


def test_a_draft_is_on_the_disk_once_the_typing_pauses(owner: Person, qtbot) -> None:
    owner.desk.go("jobs", "new")
    owner.settle()
    owner.click(owner.field("Title"))
    owner.type("Second fan")
    path = owner.window.settings.drafts_path
    qtbot.waitUntil(lambda: path.exists() and "Second fan" in path.read_text("utf-8"), timeout=5000)
