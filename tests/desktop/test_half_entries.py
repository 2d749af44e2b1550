"""Half an entry is named, waits as a draft, and never looks saved."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from desktop.widgets.half import half_entries
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def jobs_of(owner: Person) -> list[int]:
    with owner.desk.read() as conn:
        return list(conn.exec_driver_sql(
            "SELECT id FROM job WHERE closed_on IS NULL AND cancelled_on IS NULL ORDER BY id"
        ).scalars())  # fmt: skip


def count_of_tests(owner: Person) -> int:
    with owner.desk.read() as conn:
        return int(conn.exec_driver_sql("SELECT count(*) FROM radon_test").scalar_one())


def begin_a_test(owner: Person, job_id: int) -> None:
    owner.desk.go("jobs", job_id, "survey")
    owner.settle()
    tests = owner.section.tests
    if not tests.form.isVisible():
        owner.click(tests.another)
    owner.click(tests.result)
    owner.type("7.1", Key.Key_Tab)
    owner.settle()


def test_a_radon_level_not_added_is_named_and_not_called_saved(owner: Person) -> None:
    one, other = jobs_of(owner)[:2]
    before = count_of_tests(owner)
    begin_a_test(owner, one)
    owner.settle()
    assert owner.window.saved.text().startswith("Not added yet: radon test")
    owner.to_section("Quote")
    owner.settle()
    assert "Not added yet: radon test" in owner.window.toast.text()
    owner.desk.go("jobs", other, "survey")
    owner.settle()
    assert owner.section.tests.result.text() == ""
    owner.desk.go("jobs", one, "survey")
    owner.settle()
    assert owner.section.tests.form.isVisible()
    assert owner.section.tests.result.text().startswith("7.1")
    assert count_of_tests(owner) == before


def test_a_draft_outlives_the_program_and_goes_when_it_is_added_or_given_up(owner: Person) -> None:
    (one, *_) = jobs_of(owner)
    begin_a_test(owner, one)
    owner.leave()
    kept = owner.folder / "drafts.json"
    assert kept.stat().st_mode & 0o077 == 0
    owner.start_again()
    owner.desk.go("jobs", one, "survey")
    owner.settle()
    field = owner.section.tests.result
    assert field.text().startswith("7.1")
    assert [one.property("entry_name") for one in half_entries() if one.isVisible()] == ["radon test"]
    owner.click(field)
    owner.ctrl(Key.Key_A)
    owner.press(Key.Key_Delete, Key.Key_Tab)
    owner.settle()
    assert half_entries() == []
    assert not owner.window.saved.isVisible()  # nothing was saved on this evening
    assert owner.desk.drafts.words(f"radon test {one}") == {}


def test_a_field_that_saves_by_itself_is_never_half(owner: Person) -> None:
    owner.desk.go("company", None, "firm")
    owner.settle()
    field = next(one for one in owner.visible(QLineEdit) if one.accessibleName() == "Phone")
    owner.click(field)
    owner.ctrl(Key.Key_A)
    owner.type("207 555 0147", Key.Key_Tab)
    owner.settle()
    assert half_entries() == []
    assert owner.window.saved.text().startswith("Saved")
