"""What was typed half a second before a kill is offered back where it was typed, and never over something newer."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from desktop import draft_shelf
from desktop.desk import CUSTOMERS, JOBS
from desktop.draft_shelf import DraftShelf
from desktop.kept_words import TYPED_BEFORE
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def pause(owner: Person) -> str:
    """Wait as long as a draft may take, and return what is on the disk by then."""
    owner.bot.wait(draft_shelf.PAUSE_MS + 250)
    return owner.window.settings.drafts_path.read_text("utf-8")


def killed_and_started_again(owner: Person, on_disk: str) -> None:
    """As after kill -9: of what is typed only that is left which was on the disk."""
    focus = owner.window.focusWidget()
    if hasattr(focus, "value"):
        focus.reset(focus.value())
    owner.leave()
    owner.window.settings.drafts_path.write_text(on_disk, "utf-8")
    owner.start_again()


def open_job(owner: Person) -> int:
    with owner.desk.read() as conn:
        return int(conn.exec_driver_sql("SELECT min(id) FROM job WHERE closed_on IS NULL").scalar_one())


def title(owner: Person, job_id: int):
    owner.desk.go(JOBS, job_id, "facts")
    owner.settle()
    return owner.page.job.facts.field("title")


def kept(owner: Person, job_id: int) -> str:
    with owner.desk.read() as conn:
        return str(conn.exec_driver_sql(f"SELECT title FROM job WHERE id = {job_id}").scalar_one())


def test_a_field_that_was_not_left_is_offered_back(owner: Person) -> None:
    job_id = open_job(owner)
    field, before = title(owner, job_id), kept(owner, job_id)
    owner.click(field)
    owner.ctrl(Key.Key_A)
    owner.type("Damp craw")
    killed_and_started_again(owner, pause(owner))
    assert kept(owner, job_id) == before
    field = title(owner, job_id)
    assert (field.text(), field.problem()) == ("Damp craw", "Typed before and not kept yet: Enter keeps it.")
    assert owner.window.saved.text().startswith("Not kept yet")
    owner.press(Key.Key_F8)
    assert owner.focus is field
    owner.press(Key.Key_End)
    owner.type("l", Key.Key_Return)
    assert kept(owner, job_id) == "Damp crawl"


def test_a_draft_says_so_when_something_was_kept_since(owner: Person) -> None:
    job_id = open_job(owner)
    field, before = title(owner, job_id), kept(owner, job_id)
    owner.click(field)
    owner.ctrl(Key.Key_A)
    owner.type("Older words")
    on_disk = pause(owner)
    owner.ctrl(Key.Key_A)
    owner.type("Newer words", Key.Key_Return)
    assert "Older words" not in pause(owner)  # what is kept waits no longer
    killed_and_started_again(owner, on_disk)
    field = title(owner, job_id)
    assert field.text() == "Older words"
    assert before in field.problem()
    assert "Newer words" in field.problem()
    owner.click(field)
    owner.press(Key.Key_Tab)
    assert kept(owner, job_id) == "Newer words"
    owner.click(field)
    owner.press(Key.Key_Escape)
    assert field.text() == "Newer words"
    assert "Older words" not in pause(owner)


def test_a_form_with_a_refused_choice_comes_back_as_refused(owner: Person) -> None:
    owner.desk.go(CUSTOMERS)
    owner.settle()
    owner.ctrl(Key.Key_N)
    form = owner.page.form
    owner.click(form.name)
    owner.type("Wren Hall", Key.Key_Tab)
    owner.ctrl(Key.Key_A)
    owner.type("Trust", Key.Key_Tab)
    assert form.kind.problem()
    killed_and_started_again(owner, pause(owner))
    owner.desk.go(CUSTOMERS)
    owner.settle()
    owner.ctrl(Key.Key_N)
    form = owner.page.form
    assert (form.name.text(), form.kind.currentText()) == ("Wren Hall", "Trust")
    assert form.kind.problem()


def test_who_types_on_without_a_pause_is_written_too(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(draft_shelf, "PAUSE_MS", 400)
    monkeypatch.setattr(draft_shelf, "LATEST_MS", 600)
    path = tmp_path / "drafts.json"
    shelf = DraftShelf(path, "firm")
    for turn in range(12):
        shelf.keep("form", {"name": "x" * turn})
        shelf.soon()
        qtbot.wait(100)
    assert len(json.loads(path.read_text("utf-8"))["firm"]["form"]["name"]) >= 4


def job_of(owner: Person, number: str) -> int:
    with owner.desk.read() as conn:
        return int(conn.exec_driver_sql(f"SELECT id FROM job WHERE number = '{number}'").scalar_one())


@pytest.mark.parametrize(
    ("section", "table", "column", "row", "typed"),
    [("log", "Hours by task", "day", 0, "2h15"), ("log", "Hours by task", "what", -1, "Seal"),
     ("quote", "Work", "override", 0, "3h05")],
)  # fmt: skip
def test_a_cell_that_was_not_left_is_offered_back(
    owner: Person, section: str, table: str, column: str, row: int, typed: str
) -> None:
    job_id = job_of(owner, "26-050" if section == "quote" else "26-043")
    owner.desk.go(JOBS, job_id, section)
    owner.settle()
    cells = owner.table(table)
    before = [cells.rows_model().text(one, column) for one in cells.rows_model().rows]
    row %= len(before)
    assert cells.edit_cell(cells.rows_model().id_at(row), column)
    owner.ctrl(Key.Key_A)
    owner.type(typed)
    on_disk = pause(owner)
    assert typed in on_disk
    owner.press(Key.Key_Escape, Key.Key_Escape)
    assert typed not in pause(owner)
    killed_and_started_again(owner, on_disk)
    owner.desk.go(JOBS, job_id, section)
    owner.settle()
    cells = owner.table(table)
    model = cells.rows_model()
    assert [(cell.text, cell.message) for cell in model.refused_cells()] == [(typed, TYPED_BEFORE)]
    assert owner.window.saved.text().startswith("Not kept yet")
    owner.press(Key.Key_F8)
    owner.press(Key.Key_Return, Key.Key_Return)
    left = [cell.message for cell in model.refused_cells()]
    assert TYPED_BEFORE not in left
    assert bool(left) == (typed == "Seal")  # two tasks begin so
    assert left or [model.text(one, column) for one in model.rows] != before
