"""Every key the program binds stands in its sheet (F1), and says where it works where it does nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractButton, QLabel

from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT
from desktop.keys import KEYS, KeySheet
from tests.journeys.at_the_desk import Key, Person


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def _bound(owner: Person) -> set[str]:
    """The keys of every shortcut, action and button that was built."""
    keys = [one.key() for one in owner.window.findChildren(QShortcut)]
    keys += [one.shortcut() for kind in (QAction, QAbstractButton) for one in owner.window.findChildren(kind)]
    return {_portable(one) for one in keys if not one.isEmpty()}


def _portable(keys: QKeySequence) -> str:
    return keys.toString(QKeySequence.SequenceFormat.PortableText)


def test_every_key_that_is_bound_stands_in_the_sheet(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT max(id) FROM job").scalar_one()
    for place, key, section in (
        (TONIGHT, None, ""), (CUSTOMERS, None, ""), (MARGINS, None, ""), (COMPANY, None, "bills"),
        *((JOBS, job_id, one) for one in ("survey", "takeoff", "quote", "log", "closeout", "money", "outcome")),
    ):  # fmt: skip
        owner.window.go(place, key, section)
        owner.settle()
    listed = {_portable(QKeySequence(one)) for line in KEYS for one in line.keys}
    assert len(_bound(owner)) > 25
    assert sorted(_bound(owner) - listed) == []


def test_the_sheet_fits_a_small_window_and_can_be_scrolled(owner: Person) -> None:
    owner.window.resize(1024, 700)
    owner.press(Key.Key_F1)
    sheet = owner.window.findChild(KeySheet)
    assert sheet.isVisible()
    assert sheet.height() <= 700
    assert sheet.scrolled.verticalScrollBar().maximum() > 0
    shown = {one.text() for one in sheet.findChildren(QLabel)}
    assert all(line.words in shown for line in KEYS)
    sheet.reject()


def test_a_key_that_works_elsewhere_says_where(owner: Person) -> None:
    owner.window.go(MARGINS)
    owner.settle()
    for key in (Key.Key_J, Key.Key_N, Key.Key_U):
        owner.window.toast.hide()
        owner.press(key, held=Qt.KeyboardModifier.ControlModifier)
        assert "works in" in owner.window.toast.text()
        assert owner.window.toast.isVisible()


def test_ctrl_n_on_a_job_begins_a_new_one(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT max(id) FROM job").scalar_one()
    owner.window.go(JOBS, job_id, "log")
    owner.settle()
    owner.press(Key.Key_N, held=Qt.KeyboardModifier.ControlModifier)
    assert owner.page.form.isVisible()
