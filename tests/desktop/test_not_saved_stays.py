"""What the file or the disk would not take stays where it was typed, is tried again by one key, and outlives all."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from desktop.desk import CUSTOMERS, JOBS
from tests.desktop.full_disk import no_room
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def two_jobs(owner: Person) -> list[int]:
    with owner.desk.read() as conn:
        return list(
            conn.exec_driver_sql("SELECT id FROM job WHERE closed_on IS NULL ORDER BY id LIMIT 2").scalars()
        )


def facts(owner: Person, job_id: int):
    owner.desk.go(JOBS, job_id, "facts")
    owner.settle()
    return owner.page.job.facts


def retype(owner: Person, field, text: str, *then: Qt.Key) -> None:
    owner.click(field.lineEdit() if hasattr(field, "lineEdit") else field)
    owner.ctrl(Key.Key_A)
    owner.type(text, *then)


def stands(field) -> str:
    for name in ("toPlainText", "currentText", "text"):
        if hasattr(field, name):
            return getattr(field, name)()
    raise AssertionError(field)


def kept(owner: Person, column: str, job_id: int):
    with owner.desk.read() as conn:
        return conn.exec_driver_sql(f"SELECT {column} FROM job WHERE id = {job_id}").scalar_one()


FIELDS = [("title", "Damp crawl"), ("lead_source_id", None), ("note", "Dog bites"), ("opened_on", "11/2/2026")]


@pytest.mark.parametrize(("name", "typed"), FIELDS)
def test_on_a_full_disk_every_kind_of_field_keeps_its_words_and_one_key_keeps_them(
    owner: Person, name: str, typed: str | None
) -> None:
    job_id, other = two_jobs(owner)
    field = facts(owner, job_id).field(name)
    typed = typed or next(field.itemText(n) for n in range(field.count()) if field.itemText(n) != stands(field))
    before = kept(owner, name, job_id)
    with no_room(owner.company):
        retype(owner, field, typed, Key.Key_Tab)
        said = stands(field)
        assert "full" in owner.window.toast.text()
        assert "full" in field.problem()
        assert owner.window.saved.text().startswith("Not kept yet")
        field = facts(owner, other).field(name)
        assert stands(field) != said
        owner.desk.go(CUSTOMERS)
        owner.settle()
        field = facts(owner, job_id).field(name)
        assert stands(field) == said
        assert "full" in field.problem()
        assert not owner.window.close()  # asks
        assert "F8" in owner.window.toast.text()
    assert kept(owner, name, job_id) == before
    owner.ctrl(Key.Key_S)
    assert kept(owner, name, job_id) != before
    assert field.problem() == ""
    assert owner.window.saved.text().startswith("Saved")
    owner.ctrl(Key.Key_Z)
    owner.settle()
    assert kept(owner, name, job_id) == before
    assert stands(field) != said


def test_try_again_stands_beside_the_word_and_everything_is_kept(owner: Person) -> None:
    job_id, _ = two_jobs(owner)
    panel = facts(owner, job_id)
    with no_room(owner.company):
        retype(owner, panel.field("title"), "Damp crawl", Key.Key_Tab)
        retype(owner, panel.field("note"), "Dog bites", Key.Key_Tab)
        again = owner.window.toast.action_button()
        assert again is not None
        assert again.text() == "Try again"
        again.click()
        assert stands(panel.field("title")) == "Damp crawl"
    owner.window.toast.action_button().click()
    assert kept(owner, "title", job_id) == "Damp crawl"
    assert kept(owner, "note", job_id) == "Dog bites"
    assert owner.window.toast.text() == "Kept: all 2 entries."


def test_a_refused_text_outlives_the_program_and_is_still_not_kept(owner: Person) -> None:
    job_id, _ = two_jobs(owner)
    before = kept(owner, "title", job_id)
    with no_room(owner.company):
        retype(owner, facts(owner, job_id).field("title"), "Damp crawl", Key.Key_Tab)
    owner.leave()
    owner.start_again()
    field = facts(owner, job_id).field("title")
    assert stands(field) == "Damp crawl"
    assert field.problem()
    assert kept(owner, "title", job_id) == before
    owner.click(field)
    owner.press(Key.Key_Tab)  # passing through is no answer
    assert kept(owner, "title", job_id) == before
    owner.click(field)
    owner.press(Key.Key_Return)
    assert kept(owner, "title", job_id) == "Damp crawl"
    assert field.problem() == ""
    owner.leave()
    owner.start_again()
    assert stands(facts(owner, job_id).field("title")) == "Damp crawl"
    assert facts(owner, job_id).field("title").problem() == ""


def test_escape_lets_a_refused_text_go_for_good(owner: Person) -> None:
    job_id, _ = two_jobs(owner)
    before = kept(owner, "title", job_id)
    field = facts(owner, job_id).field("title")
    with no_room(owner.company):
        retype(owner, field, "Damp crawl", Key.Key_Return)
        owner.click(field)
        owner.press(Key.Key_Escape)
    assert stands(field) == before
    owner.leave()
    owner.start_again()
    assert stands(facts(owner, job_id).field("title")) == before


def test_what_was_not_saved_and_a_new_day_are_said_until_somebody_looks(owner: Person) -> None:
    job_id, _ = two_jobs(owner)
    toast = owner.window.toast
    with no_room(owner.company):
        retype(owner, facts(owner, job_id).field("title"), "Damp crawl", Key.Key_Tab)
    assert not toast._timer.isActive()
    owner.ctrl(Key.Key_S)
    assert toast._timer.isActive()
    day = owner.desk.today()
    owner.desk._today = lambda: day.replace(year=day.year + 1)
    owner.window.new_day.look()
    assert "A new day" in toast.text()
    assert not toast._timer.isActive()
