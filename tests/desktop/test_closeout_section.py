"""The Closeout section by keyboard: a full test, one-key checklist, defects into a quote, exposure, the pack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.qtbot import QtBot

from db import tables
from db.commands.closeout import note_closeout
from db.commands.jobs import add_party, mark_installed
from db.commands.log_hours import log_hours
from db.commands.survey import add_photo, add_radon_test
from db.company_file.company import Company
from db.photo_folder import photo_folder
from db.queries.closeout import closeout_page
from db.queries.papers import issued_papers
from desktop.pages.job_sections.closeout import CloseoutSection
from desktop.pages.job_sections.survey_tests import TestLine
from domain.closeout.handover import Handover
from tests.desktop.pages_at_work import PagesAtWork, focused, show, type_into
from tests.desktop.test_customers_page import unnamed
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

Key = Qt.Key


def press(_qtbot: QtBot, one: QWidget) -> None:
    """Click a button that can be seen and used."""
    assert isinstance(one, QAbstractButton)
    assert one.isVisible()
    assert one.isEnabled()
    one.click()


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def opened(qtbot: QtBot, company: Company, kept: OneJob) -> tuple[PagesAtWork, CloseoutSection]:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "closeout")
    section = pages.jobs.job.stack.currentWidget()
    assert isinstance(section, CloseoutSection)
    return pages, section


def stored(company: Company, kept: OneJob) -> Handover:
    with company.read() as conn:
        return closeout_page(conn, kept.job_id, TODAY).facts


def fan_on(company: Company, kept: OneJob) -> None:
    with company.action("Fan on") as edit:
        mark_installed(edit, kept.job_id, date(2026, 5, 8))
        note_closeout(edit, kept.job_id, fan_on_minute=600)


def test_every_field_has_a_name(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)
    assert [one for one in unnamed(section) if "AskCard" not in one] == []  # hidden until something is asked


def test_a_full_test_is_typed_and_its_timing_is_said(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    fan_on(company, kept)
    _, section = opened(qtbot, company, kept)
    fields = section.tests.fields
    fields["purpose"].reset("after")
    for name, words in (
        ("result", "59 Bq"), ("device", "continuous monitor"), ("serial", "CM-7"), ("started_on", "5/9"),
        ("started_minute", "10:00"), ("ended_on", "5/12"), ("ended_minute", "10"), ("place", "family room"),
    ):  # fmt: skip
        type_into(qtbot, fields[name], words)
    fields["closed_house"].reset("yes")
    press(qtbot, section.tests.add)
    (seen,) = stored(company, kept).tests
    assert (seen.record.started_minute, seen.record.ended_minute, seen.record.serial) == (600, 600, "CM-7")
    line = section.tests.lines.lines[0]
    assert isinstance(line, TestLine)
    assert line.timing.text() == "The timing meets the rules."
    assert "MAH, s. 7.3.2" in line.timing.toolTip()


def test_a_test_before_the_fan_ran_is_refused_and_what_was_typed_stays(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    fan_on(company, kept)
    _, section = opened(qtbot, company, kept)
    fields = section.tests.fields
    fields["purpose"].reset("after")
    for name, words in (("result", "2.2"), ("device", "alpha track"), ("started_on", "5/7"), ("ended_on", "5/9")):
        type_into(qtbot, fields[name], words)
    press(qtbot, section.tests.add)
    assert "before the fan was on" in section.tests.problem.text()
    assert fields["result"].value() == Decimal("2.2")
    type_into(qtbot, fields["started_on"], "5/9")
    type_into(qtbot, fields["ended_on"], "5/20")
    press(qtbot, section.tests.add)
    assert "has not come yet" in section.tests.problem.text()
    assert stored(company, kept).tests == ()


def test_a_report_is_added_and_what_is_no_report_is_refused(
    qtbot: QtBot, company: Company, kept: OneJob, tmp_path: Path
) -> None:
    with company.action("Test") as edit:
        add_radon_test(edit, kept.job_id, "before", "charcoal canister", Decimal(9), date(2026, 5, 4))
    _, section = opened(qtbot, company, kept)
    line = section.tests.lines.lines[0]
    assert isinstance(line, TestLine)
    words = tmp_path / "words.pdf"
    words.write_text("only words")
    line.add_report(words)
    assert "PDF, JPEG, PNG and GIF" in line.refused.text()
    report = tmp_path / "report.pdf"
    report.write_bytes(b"%PDF-1.4 report")
    line.add_report(report)
    assert line.refused.isHidden()
    assert stored(company, kept).tests[0].report == "report.pdf"
    line.toggle()
    assert line.without.isVisible()
    press(qtbot, line.without)
    assert stored(company, kept).tests[0].report == ""


def test_readings_save_one_by_one_and_undo_takes_each_back(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    type_into(qtbot, section.system.installed, "5/8")
    for name, words in (("fan_on_minute", "10"), ("fan", "inline fan"), ("fan_watts", "62"), ("suction", "1.15")):
        type_into(qtbot, section.system.fields[name], words)
    system = stored(company, kept).kept
    assert (system.fan_on_minute, system.fan, system.fan_watts, system.suction) == (
        600, "inline fan", 62, Decimal("1.15"),
    )  # fmt: skip
    assert "can begin on May 9, 2026 at 10 am" in section.system.words.text()
    assert "0.92 or less" in section.system.words.text()
    type_into(qtbot, section.system.fields["suction"], "115")
    assert "decimal point" in section.system.fields["suction"].problem()
    assert stored(company, kept).kept.suction == Decimal("1.15")
    pages.desk.undo()
    assert stored(company, kept).kept.suction is None


def test_one_key_answers_a_point_and_goes_on(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    table = section.checklist.table
    table.setFocus()
    keys = [row.point.key for row in table.rows_model().rows]
    for key in (Key.Key_O, Key.Key_N, Key.Key_Minus):
        qtbot.keyClick(table, key)
    answers = {row.point.key: row.answer.answer for row in stored(company, kept).rows if row.answer}
    assert answers == {keys[0]: "ok", keys[1]: "not_ok", keys[2]: "not_applicable"}
    assert table.current_row().point.key == keys[3]
    qtbot.keyClick(table, Key.Key_Up)
    qtbot.keyClick(table, Key.Key_Backspace)
    assert len([row for row in stored(company, kept).rows if row.answer]) == 2
    qtbot.keyClick(table, Key.Key_Up)
    qtbot.keyClick(table, Key.Key_Return)
    assert focused(pages) is section.checklist.note
    type_into(qtbot, section.checklist.note, "wire tray in the way")
    assert stored(company, kept).rows[1].answer.note == "wire tray in the way"  # type: ignore[union-attr]
    press(qtbot, section.checklist.rest)
    assert all(row.answer for row in stored(company, kept).rows)
    assert not section.checklist.rest.isEnabled()
    pages.desk.undo()
    assert len([row for row in stored(company, kept).rows if row.answer]) == 2


def test_a_defect_is_noted_priced_offered_and_answered_for(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    card = section.defects
    press(qtbot, card.new)
    assert "Say what is wrong" in card.problem.text()
    for name, words in (("description", "Cap on the outlet"), ("place", "roof"), ("price_cents", "120")):
        type_into(qtbot, card.fields[name], words)
    press(qtbot, card.new)
    (one,) = stored(company, kept).defects
    assert (one.description, one.price_cents) == ("Cap on the outlet", 12000)
    card.table.select_id(one.id)
    card.table.selectRow(0)
    press(qtbot, card.verbs["left_by_customer"])
    press(qtbot, card.asking.go)
    assert stored(company, kept).defects[0].outcome == "open"  # no reason yet
    card.asking.close_up()
    press(qtbot, card.offer)
    assert pages.jobs.job.section_key == "quote"
    pages.go("jobs", kept.job_id, "closeout")
    assert stored(company, kept).defects[0].quote_id is not None
    card.table.selectRow(0)
    press(qtbot, card.verbs["put_right"])
    assert replace(stored(company, kept).defects[0], answer="").outcome == "put_right"


def test_logged_hours_are_offered_for_the_exposure_log(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Hours") as edit:
        tasks = {row.name: row.id for row in edit.conn.execute(tables.labour_task.select())}
        log_hours(edit, kept.job_id, date(2026, 5, 8), tasks["Run pipe in crawl space"], 1, 480)
        add_radon_test(edit, kept.job_id, "before", "charcoal canister", Decimal(20), date(2026, 5, 4))
    _, section = opened(qtbot, company, kept)
    card = section.exposure
    press(qtbot, card._offered.itemAt(0).widget())
    press(qtbot, card.new)
    assert "0.0094 WLM of 4 in 12 months" in card.sums.text()
    assert card.offers.isHidden()


def test_what_is_missing_leads_to_where_it_is_entered(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    links = {link.text(): link for link in section.handover._buttons}
    press(qtbot, links["The day the fan was started"])
    assert focused(pages) is section.system.installed
    press(qtbot, {link.text(): link for link in section.handover._buttons}["The fan's name"])
    assert section.system.isAncestorOf(focused(pages))


def test_the_pack_is_looked_at_handed_over_and_kept(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = opened(qtbot, company, kept)
    qtbot.keyClick(section.checklist.table, Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert section.stack.shows_paper
    section.stack.leave()
    press(qtbot, section.handover.labels[0])
    assert section.stack.shows_paper
    section.stack.leave()
    press(qtbot, section.handover.issue)
    press(qtbot, section.asking.go)
    assert section.stack.shows_paper
    with company.read() as conn:
        (row,) = issued_papers(conn, job_id=kept.job_id)
    assert (row.kind, row.sent_to) == ("closeout", "Wren Halloway")
    assert "Handed over to Wren Halloway" in section.handover.issued.text()


def test_a_firm_that_works_in_becquerels_types_and_reads_them(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Unit") as edit:
        edit.change(tables.company, 1, radon_unit="Bq/m3")
        add_radon_test(edit, kept.job_id, "before", "charcoal canister", Decimal(10), date(2026, 5, 4))
    _, section = opened(qtbot, company, kept)
    assert section.tests.lines.lines[0].level.text() == "370 Bq/m³"  # type: ignore[attr-defined]
    type_into(qtbot, section.exposure.fields["level"], "740")
    assert section.exposure.fields["level"].value() == 20


def test_a_pack_with_many_photos_is_drawn_while_the_window_goes_on(
    qtbot: QtBot, company: Company, kept: OneJob, tmp_path: Path
) -> None:
    with company.action("Photos") as edit:
        for n in range(5):
            image = QImage(40 + n, 30, QImage.Format.Format_RGB32)
            image.fill(QColor("#667788"))
            assert image.save(str(tmp_path / f"{n}.png"))
            add_photo(edit, kept.job_id, tmp_path / f"{n}.png", photo_folder(company.path), TODAY)
    pages, section = opened(qtbot, company, kept)
    section.look()
    assert any("Drawing the pack" in words for words in pages.said)
    qtbot.waitUntil(lambda: section.stack.shows_paper, timeout=10_000)


def test_a_letter_is_offered_for_the_buyer_and_kept_as_it_was_written(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    with company.action("Parties") as edit:
        add_party(edit, kept.job_id, "inspector", "Ada Fenn")
        buyer = add_party(edit, kept.job_id, "buyer", "Theo Brandt")
    _, section = opened(qtbot, company, kept)
    press(qtbot, section.handover.letter)
    (choice,) = section.asking._fields
    assert choice.value() == buyer
    press(qtbot, section.asking.go)
    assert section.stack.shows_paper
    press(qtbot, section.stack.back)
    press(qtbot, section.handover.letter)
    section.asking._fields[0].reset(0)  # whom it may concern
    press(qtbot, section.asking.go)
    with company.read() as conn:
        papers = sorted((one.kind, one.sent_to) for one in issued_papers(conn))
    assert papers == [("letter", ""), ("letter", "Theo Brandt")]
