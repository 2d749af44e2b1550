"""The survey as a person fills it in at the kitchen table: each field saves itself, and undo takes each back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from db.photo_folder import photo_folder
from db.queries.jobs import SurveyPage, survey_page
from desktop.pages.job_sections.survey import SurveySection
from tests.desktop.pages_at_work import PagesAtWork, focused, show, type_into
from tests.desktop.test_customers_page import press, unnamed
from tests.small_company import TODAY, OneJob, add_one_job, empty_company


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def opened(qtbot: QtBot, company: Company, kept: OneJob) -> tuple[PagesAtWork, SurveySection]:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "survey")
    section = pages.jobs.job.stack.currentWidget()
    assert isinstance(section, SurveySection)
    return pages, section


def stored(company: Company, kept: OneJob) -> SurveyPage:
    with company.read() as conn:
        return survey_page(conn, kept.job_id)


def test_the_first_note_makes_the_survey_of_today(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    findings = section.notes["findings"]
    findings.setFocus()
    qtbot.keyClicks(findings, "Sump crock open")
    qtbot.keyClick(findings, Qt.Key.Key_Tab)
    made = stored(company, kept).survey
    assert made is not None
    assert (made.surveyed_on, made.findings) == (TODAY, "Sump crock open")
    assert pages.jobs.job.state.text() == "surveyed"
    type_into(qtbot, section.day, "5/6")
    changed = stored(company, kept).survey
    assert changed is not None
    assert (changed.surveyed_on, changed.findings) == (date(2026, 5, 6), "Sump crock open")
    pages.desk.undo()
    pages.desk.undo()
    assert stored(company, kept).survey is None
    assert findings.toPlainText() == ""


def test_surveyed_today_is_one_click(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    section.today_button.click()
    assert pages.jobs.job.state.text() == "surveyed"
    assert not section.today_button.isVisible()


def test_a_radon_test_is_added_said_and_changed(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)
    tests = section.tests
    press(tests, "Add test")
    assert "needed" in tests.form.error_of(tests.result)
    type_into(qtbot, tests.result, "300 Bq", end=None)
    type_into(qtbot, tests.device, "charcoal canister", end=Qt.Key.Key_Tab)
    type_into(qtbot, tests.ended, "4/30", end=None)
    type_into(qtbot, tests.started, "5/1", end=None)
    press(tests, "Add test")
    assert "before it began" in tests.problem.text()
    assert stored(company, kept).tests == []
    type_into(qtbot, tests.started, "4/28", end=None)
    press(tests, "Add test")
    (made,) = stored(company, kept).tests
    assert (made.result, made.purpose, made.ended_on) == (Decimal("8.108"), "before", date(2026, 4, 30))
    (line,) = tests.lines.lines
    assert line.words.text() == "before the work, Apr 28 to Apr 30, 2026"  # type: ignore[attr-defined]
    assert line.device.text() == "charcoal canister"  # type: ignore[attr-defined]
    line.opener.click()  # type: ignore[attr-defined]
    result = line.fields["result"]  # type: ignore[attr-defined]
    type_into(qtbot, result, "0")
    assert "more than nothing" in result.problem()
    assert result.text() != ""
    type_into(qtbot, result, "7.9")
    assert stored(company, kept).tests[0].result == Decimal("7.9")


def test_ticks_drive_the_conditions_and_show_their_caution(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    first, second = list(section.access.ticks)[:2]
    caution = section.access.cautions[first]
    assert caution.property("tone") == "faint"
    below = section.access.ticks[second].mapTo(section, section.access.ticks[second].rect().topLeft())
    section.access.ticks[first].click()
    section.access.ticks[second].click()
    assert stored(company, kept).ticked == {first, second}
    assert caution.property("tone") == "over"
    assert section.access.ticks[second].mapTo(section, section.access.ticks[second].rect().topLeft()) == below
    assert caution.text() == stored(company, kept).conditions[0].caution
    pages.desk.undo()
    assert stored(company, kept).ticked == {first}
    assert not section.access.ticks[second].isChecked()


def test_the_cautions_follow_the_house(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)

    def words() -> str:
        return "\n".join(notice.text() for notice in section.cautions)

    assert all(word in words() for word in ("confined space", "lead", "asbestos", "flue gas"))
    type_into(qtbot, section.house.field("year_built"), "2004")
    section.house.foundation.ticks["crawl_space"].click()
    assert "flue gas" in words()
    assert not any(word in words() for word in ("confined space", "lead", "asbestos"))
    assert stored(company, kept).house.year_built == 2004


def test_who_put_the_old_system_in_is_asked_only_when_there_is_one(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    _, section = opened(qtbot, company, kept)
    assert section.house.field("existing_by").isVisible()
    section.house.field("existing_system").click()
    assert not section.house.field("existing_by").isVisible()
    assert not stored(company, kept).house.existing_system


def picture(path: Path) -> Path:
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(QColor("#7a8b99"))
    assert image.save(str(path))
    return path


def test_photos_come_in_by_file_with_a_caption_and_refusals_are_named(
    qtbot: QtBot, company: Company, kept: OneJob, tmp_path: Path
) -> None:
    pages, section = opened(qtbot, company, kept)
    notes = tmp_path / "notes.txt"
    notes.write_text("north wall")
    section.photos.add_files([str(picture(tmp_path / "a.png")), str(notes), str(tmp_path / "gone.jpg")])
    (photo,) = stored(company, kept).photos
    assert (photo_folder(company.path) / photo.file_name).is_file()
    assert "notes.txt" in section.photos.refused.text()
    assert "gone.jpg" in section.photos.refused.text()
    tile = section.photos.tiles[photo.id]
    qtbot.waitUntil(lambda: not tile.picture.icon().isNull())
    type_into(qtbot, tile.caption, "north wall")
    assert stored(company, kept).photos[0].caption == "north wall"
    pages.desk.undo()
    pages.desk.undo()
    assert stored(company, kept).photos == []
    assert section.photos.none_yet.isVisible()


def test_turning_to_another_job_leaves_nothing_of_the_first(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    qtbot.keyClicks(section.notes["findings"], "Sump crock open")
    section.notes["findings"].commit()
    type_into(qtbot, section.tests.place, "family room", end=None)
    other = add_one_job(company, "Mara Stillwell")
    pages.go("jobs", other.job_id, "survey")
    assert section.notes["findings"].toPlainText() == ""
    assert section.tests.place.text() == ""
    assert section.day.value() is None


def test_tab_follows_the_eye(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    section.day.setFocus()
    reached = []
    for _ in range(6):
        qtbot.keyClick(focused(pages), Qt.Key.Key_Tab)
        widget = focused(pages)
        reached.append(widget.accessibleName() or widget.text())  # type: ignore[attr-defined]
    assert reached == [
        "Surveyed today", "Findings", "Getting in and about", "Year built", "Stories", "Foundation: slab",
    ]  # fmt: skip


def test_a_narrow_page_puts_the_cards_in_one_column(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    visit, house, tests, _ = section._cards
    assert tests.mapTo(section, tests.rect().topLeft()).y() == visit.mapTo(section, visit.rect().topLeft()).y()
    pages.resize(660, 700)
    qtbot.waitUntil(lambda: tests.mapTo(section, tests.rect().topLeft()).y() > visit.height())
    assert house.mapTo(section, house.rect().topLeft()).y() > tests.mapTo(section, tests.rect().topLeft()).y()


def test_every_field_and_button_has_a_spoken_name(
    qtbot: QtBot, company: Company, kept: OneJob, tmp_path: Path
) -> None:
    _, section = opened(qtbot, company, kept)
    section.photos.add_files([str(picture(tmp_path / "a.png"))])
    assert unnamed(section) == []
