"""What cannot be used says why, an unlikely level is asked about, a click takes a figure whole, a place leads to its
list, and a quote is not sent over half an entry without a word."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desktop.widgets.fields import MoneyField, PercentField, RadonField, TextField
from domain.units import unlikely_radon
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot: QtBot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


@pytest.fixture
def room(qtbot: QtBot) -> QWidget:
    room = QWidget()
    qtbot.addWidget(room)
    column = QVBoxLayout(room)
    column.addWidget(QLineEdit())
    room.show()
    room.activateWindow()
    qtbot.waitUntil(room.isActiveWindow)
    return room


def put(room: QWidget, field: QLineEdit) -> QLineEdit:
    layout = room.layout()
    assert layout is not None
    layout.addWidget(field)
    field.show()
    return field


def click(field: QLineEdit) -> None:
    QTest.mouseClick(field, Qt.MouseButton.LeftButton)


@pytest.mark.parametrize(("made", "value", "typed"), [(MoneyField, 4000, "38"), (PercentField, Decimal(15), "20")])
def test_a_click_into_a_figure_takes_it_whole_and_the_next_places_the_cursor(
    room: QWidget, made: type, value: object, typed: str
) -> None:
    field = put(room, made())
    field.reset(value)
    click(field)
    QTest.keyClicks(field, typed)
    assert field.text() == typed
    field.reset(value)
    click(field)
    assert not field.hasSelectedText()


def test_a_click_into_words_places_the_cursor(room: QWidget) -> None:
    field = put(room, TextField())
    field.reset("Mill Road")
    click(field)
    assert not field.hasSelectedText()


def test_an_unlikely_level_is_asked_about_and_kept_when_confirmed(room: QWidget) -> None:
    field = put(room, RadonField())
    field.setFocus()
    QTest.keyClicks(field, "84000")
    QTest.keyClick(field, Key.Key_Tab)
    assert "far above" in field.problem()
    assert field.value() is None
    field.setFocus()
    QTest.keyClick(field, Key.Key_Return)
    assert field.value() == 84000
    assert not field.problem()
    assert not unlikely_radon(Decimal(1000))
    assert unlikely_radon(Decimal("1000.1"))


def test_a_place_clicked_again_leads_to_its_list(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT max(id) FROM job").scalar_one()
    owner.desk.go("jobs", job_id)
    owner.desk.go("tonight")
    owner.window.masthead._buttons["jobs"].click()
    assert owner.page.job.isVisible()  # from elsewhere: to where one was
    owner.window.masthead._buttons["jobs"].click()
    assert owner.page.list.isVisible()
    owner.desk.go("customers", "new")
    owner.window.masthead._buttons["customers"].click()
    assert not owner.page.form.isVisible()
    for place in ("margins", "company", "tonight"):
        for _ in range(2):
            owner.window.masthead._buttons[place].click()
        assert owner.page is owner.window._pages[place]


def test_a_quote_names_what_is_typed_for_its_job_and_not_added(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql(
            "SELECT job_id FROM quote WHERE kind = 'proposal' AND sent_on IS NULL ORDER BY id DESC"
        ).scalar()
    owner.desk.go("jobs", job_id, "survey")
    owner.settle()
    tests = owner.section.tests
    if not tests.form.isVisible():
        owner.click(tests.another)
    owner.click(tests.result)
    owner.type("7.1", Key.Key_Tab)
    owner.desk.go("jobs", job_id, "quote")
    owner.settle()
    actions = owner.section.actions
    actions.send.click()
    assert "not added yet: radon test" in actions.follows.text()
    with owner.desk.read() as conn:
        assert conn.exec_driver_sql("SELECT count(*) FROM quote WHERE sent_on IS NULL").scalar_one()


def test_enter_takes_the_one_kept_customer_who_begins_so(owner: Person) -> None:
    with owner.desk.read() as conn:
        name = str(conn.exec_driver_sql("SELECT name FROM customer WHERE archived_on IS NULL ORDER BY id").scalar())
    owner.desk.go("jobs", "new")
    owner.settle()
    form = owner.page.form
    owner.click(form.customer.lineEdit())
    begun = next(name[:n] for n in range(3, len(name) + 1) if len(form.customer.beginning_with(name[:n])) == 1)
    owner.type(begun.lower(), Key.Key_Return)
    owner.settle()
    assert isinstance(form.customer.value(), int)
    assert form.customer.currentText().startswith(name[:3])
    form.leave()


def test_a_new_customer_beside_a_kept_one_is_told(owner: Person) -> None:
    with owner.desk.read() as conn:
        name = str(conn.exec_driver_sql("SELECT name FROM customer WHERE archived_on IS NULL ORDER BY id").scalar())
    owner.desk.go("jobs", "new")
    owner.settle()
    form = owner.page.form
    owner.click(form.customer.lineEdit())
    owner.type(name[:3], Key.Key_Tab)
    owner.settle()
    assert form.customer.value() is None, "a beginning of a kept name makes nothing new by itself"
    assert "kept already" in form.customer.problem()
    owner.click(form.customer.lineEdit())
    owner.press(Key.Key_Tab)
    owner.settle()
    assert form.customer.value() == name[:3]
    assert "NEW customer" in form.new_name.text()
    assert form.new_name.isVisible()
    form.leave()


def test_the_last_day_of_a_quote_is_a_named_action_with_its_reason(owner: Person) -> None:
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql(
            "SELECT job_id FROM quote WHERE kind = 'proposal' AND sent_on IS NULL ORDER BY id DESC"
        ).scalar()
    owner.desk.go("jobs", job_id, "quote")
    owner.settle()
    actions = owner.section.actions
    actions._until = [(10, "valid until A, the last day", "Until A"), (30, "valid until B, as usual", "30 days: B")]
    actions._show_until()
    assert (actions.until_words.text(), actions.until.text()) == ("valid until A, the last day", "30 days: B")
    actions._turn_until()
    assert (actions.until_words.text(), actions.until.text()) == ("valid until B, as usual", "Until A")
