"""A form that the program took away is not said to be half typed; what was typed comes back where the form does."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from db.commands.jobs import close_job
from db.queries.tour import telling_jobs
from desktop.desk import JOBS, TONIGHT
from desktop.widgets.half import half_entries
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def test_a_fan_half_typed_is_named_on_another_page_not_when_folded_away_and_comes_back(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = telling_jobs(conn).takeoff
    owner.desk.go(JOBS, job_id, "takeoff")
    owner.settle()
    owner.section.show_view("air")
    air = owner.section.stack.currentWidget()
    if air.library.isHidden():
        air._toggle_library()
    owner.settle()
    owner.click(air.library.name)
    owner.press(Key.Key_A, held=Qt.KeyboardModifier.ControlModifier)
    owner.type("Loud old one")
    assert half_entries() == [air.library.name]
    owner.desk.go(TONIGHT)
    owner.settle()
    assert half_entries() == [air.library.name]
    owner.desk.go(JOBS, job_id, "takeoff")
    owner.settle()
    air._toggle_library()
    owner.settle()
    assert half_entries() == []
    assert "Not added yet" not in owner.window.saved.text() or owner.window.saved.isHidden()
    air._toggle_library()
    owner.settle()
    assert air.library.name.text() == "Loud old one"


def test_the_reason_to_cancel_a_job_is_no_half_entry_of_a_job_that_ended(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = telling_jobs(conn).running
    owner.desk.go(JOBS, job_id, "facts")
    owner.settle()
    reason = next(one for one in owner.page.job.findChildren(object) if hasattr(one, "_cancelling")).reason
    owner.click(reason)
    owner.type("They sold the house")
    assert half_entries() == [reason]
    owner.desk.do("Close it", lambda edit: close_job(edit, job_id, owner.desk.today()))
    owner.settle()
    assert half_entries() == []
