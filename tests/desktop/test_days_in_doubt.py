"""A day far from today is asked about where it is typed; an entry waits for the answer, what saves itself is kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from desktop.widgets.form import DateField
from tests.desktop.pages_at_work import focused, type_into
from tests.desktop.test_customers_page import press
from tests.desktop.test_survey_section import opened, stored
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

ENTER, TAB = Qt.Key.Key_Return, Qt.Key.Key_Tab


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def survey_day(company: Company, kept: OneJob) -> date | None:
    made = stored(company, kept).survey
    return made.surveyed_on if made else None


def test_a_survey_far_away_is_kept_and_asked_about_until_enter_says_yes(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    _, section = opened(qtbot, company, kept)
    type_into(qtbot, section.day, "5/14/2062")
    assert survey_day(company, kept) == date(2062, 5, 14)
    assert section.visit.error_of(section.day) == "36 years ahead. Is that right? Enter says yes."
    assert section.day.is_asking
    qtbot.keyClick(section.day, ENTER)
    assert section.visit.error_of(section.day) == ""
    section.refresh()
    type_into(qtbot, section.day, "5/14/2062")
    assert section.visit.error_of(section.day) == "", "answered once it stays answered"
    type_into(qtbot, section.day, "yesterday")
    assert survey_day(company, kept) == date(2026, 5, 13)


@pytest.mark.parametrize("end", [TAB, ENTER])
def test_leaving_the_field_is_no_answer(qtbot: QtBot, company: Company, kept: OneJob, end: Qt.Key) -> None:
    _, section = opened(qtbot, company, kept)
    type_into(qtbot, section.day, "5/14/2062", end)
    section.notes["findings"].setFocus()
    section.day.setFocus()
    section.notes["findings"].setFocus()
    section.refresh()
    assert section.day.is_asking
    type_into(qtbot, section.day, "5/14/2063")  # another day is asked about anew
    assert section.visit.error_of(section.day).startswith("37 years ahead.")
    type_into(qtbot, section.day, "5/4")
    assert survey_day(company, kept) == date(2026, 5, 4)
    assert section.visit.error_of(section.day) == ""


def test_a_test_of_long_ago_is_asked_about_before_it_is_added(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)
    tests = section.tests
    type_into(qtbot, tests.result, "8.1", end=None)
    type_into(qtbot, tests.ended, "4/30/2016", TAB)
    press(tests, "Add test")
    assert stored(company, kept).tests == []
    assert "10 years back" in tests.form.error_of(tests.ended)
    assert focused(tests) is tests.ended
    qtbot.keyClick(tests.ended, ENTER)
    press(tests, "Add test")
    (made,) = stored(company, kept).tests
    assert (made.result, made.ended_on) == (Decimal("8.1"), date(2016, 4, 30))


def test_the_device_of_a_test_may_be_unknown(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)
    tests = section.tests
    type_into(qtbot, tests.result, "8.1", end=None)
    type_into(qtbot, tests.ended, "4/30", end=TAB)
    press(tests, "Add test")
    (made,) = stored(company, kept).tests
    assert made.device == ""
    (line,) = tests.lines.lines
    line.opener.click()  # type: ignore[attr-defined]
    device = line.fields["device"]  # type: ignore[attr-defined]
    type_into(qtbot, device, "charcoal canister", ENTER)
    assert stored(company, kept).tests[0].device == "charcoal canister"
    device.lineEdit().selectAll()
    qtbot.keyClick(device.lineEdit(), Qt.Key.Key_Backspace)
    qtbot.keyClick(device.lineEdit(), ENTER)
    assert stored(company, kept).tests[0].device == ""
    assert line.device.text() == ""  # type: ignore[attr-defined]


def test_an_ordinary_day_is_never_asked_about(qtbot: QtBot) -> None:
    field = DateField(lambda: TODAY)
    qtbot.addWidget(field)
    field.show()
    type_into(qtbot, field, "5/14/2062")
    assert field.value() == date(2062, 5, 14)
