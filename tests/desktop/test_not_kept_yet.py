"""While words stand in a field that saves by itself and are not saved, the head does not say that they are."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def test_several_lines_and_one_line_until_they_are_kept(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT min(id) FROM job WHERE closed_on IS NULL").scalar_one()
    owner.desk.go("jobs", job_id, "survey")
    owner.settle()
    findings = owner.section.notes["findings"]
    owner.click(findings)
    owner.type("Crock open")
    owner.settle()
    assert owner.window.saved.text().startswith("Not kept yet: ")
    assert "indings" in owner.window.saved.text()
    owner.type("", Key.Key_Tab)
    owner.settle()
    assert owner.window.saved.text().startswith("Saved")
    day = owner.section.day
    was = day.text()
    owner.click(day)
    owner.type("5/6")
    owner.settle()
    assert owner.window.saved.text().startswith("Not kept yet: ")
    day.reset(day.value())
    owner.settle()
    assert owner.window.saved.text().startswith("Saved")
    assert day.text() == was
