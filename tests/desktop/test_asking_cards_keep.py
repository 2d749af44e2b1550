"""What was typed into a card that asks, or an open deadline or visit, waits there over leaving and over the end."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt

from desktop.desk import COMPANY, JOBS, TONIGHT
from desktop.pages.drafts import Draft
from desktop.pages.visits.dialog import VisitDialog
from desktop.widgets.half import half_entries, words_in
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def running(owner: Person, number: int = 0) -> int:
    with owner.desk.read() as conn:
        found = conn.exec_driver_sql("SELECT id FROM job WHERE closed_on IS NULL ORDER BY id DESC").scalars().all()
    return int(found[number])


def hand_over(owner: Person) -> Any:
    owner.desk.go(JOBS, running(owner), "closeout")
    owner.settle()
    owner.section._ask_to_issue()
    return owner.section.asking


def close_month(owner: Person) -> Any:
    owner.desk.go(COMPANY, None, "close")
    owner.settle()
    part = owner.window.stack.currentWidget()._parts["close"]
    part.ask_close()
    return part.asking


def correct(owner: Person) -> Any:
    owner.desk.go(COMPANY, None, "close")
    owner.settle()
    card = owner.window.stack.currentWidget()._parts["close"].correct
    card.begin()
    model = card.table.rows_model()
    if not model.rowCount():
        with owner.desk.read() as conn:
            numbers = conn.exec_driver_sql("SELECT number FROM job WHERE closed_on IS NOT NULL ORDER BY id").scalars()
            known = list(numbers)
        for number in known:
            card.job.reset(number)
            card.look()
            if model.rowCount():
                break
    card.table.setCurrentIndex(model.index(0, 0))
    card.ask()
    return card.asking


def stands(card: Any) -> str:
    return str(card._fields[0].text()).replace(" ", "").removesuffix("mi")


@pytest.mark.parametrize("ask", [hand_over, close_month, correct])
def test_it_stands_there_again_and_is_said(owner: Person, ask: Callable[[Person], Any]) -> None:
    card = ask(owner)
    owner.settle()
    field = card._fields[0]
    owner.click(field)
    words = "1h15" if "Duration" in type(field).__name__ else "17"
    owner.press(Key.Key_A, held=Qt.KeyboardModifier.ControlModifier)
    owner.type(words)
    owner.desk.go(TONIGHT)
    owner.settle()
    assert "Not added yet" in owner.window.toast._text.text()
    owner.leave()
    owner.start_again()
    card = ask(owner)
    owner.settle()
    assert stands(card) == words
    card.close_up()
    owner.settle()
    assert not half_entries()
    card = ask(owner)
    assert stands(card) != words


def test_put_away_for_another_job_it_is_no_half_entry_there_and_waits_here(owner: Person) -> None:
    card = hand_over(owner)
    owner.settle()
    owner.click(card._fields[0])
    owner.press(Key.Key_A, held=Qt.KeyboardModifier.ControlModifier)
    owner.type("Their lawyer")
    owner.desk.go(JOBS, running(owner, 1), "closeout")
    owner.settle()
    assert not half_entries()
    assert owner.window.saved.isHidden() or "Not added yet" not in owner.window.saved.text()
    assert hand_over(owner)._fields[0].text() == "Their lawyer"


def new_deadline(owner: Person) -> Any:
    (draft,) = (one for one in owner.page.job.findChildren(Draft) if one._name == "deadline")
    return draft._fields["reason"]


def test_an_open_deadline_and_an_open_visit_outlive_the_end(owner: Person) -> None:
    job_id = running(owner)
    owner.desk.go(JOBS, job_id, "facts")
    owner.settle()
    reason = new_deadline(owner)
    owner.click(reason)
    owner.type("Closing of the house")
    owner.leave()
    owner.start_again()
    owner.desk.go(JOBS, job_id, "facts")
    owner.settle()
    reason = new_deadline(owner)
    assert words_in(reason) == "Closing of the house"
    dialog = VisitDialog(owner.desk, owner.window)
    dialog.book(job_id=job_id)
    owner.settle()
    dialog.fields["starts_at"].setFocus()
    owner.type("9:35")
    owner.leave()
    owner.start_again()
    dialog = VisitDialog(owner.desk, owner.window)
    dialog.book(job_id=job_id)
    owner.settle()
    assert dialog.fields["starts_at"].value() == 575
    dialog.reject()
