"""Visits among the facts of a job: booked with Alt+B, opened with Enter, the steps back from a closing beneath."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.commands.jobs import add_deadline, mark_installed
from db.commands.visits import book_visit
from db.company_file.company import Company
from db.queries.calendar import visits_of_job
from desktop.pages.visits.dialog import VisitDialog
from tests.desktop.pages_at_work import focused, show
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

Alt, Ctrl = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def dialog_of(pages: object) -> VisitDialog:
    found = [one for one in pages.findChildren(VisitDialog) if one.isVisible()]  # type: ignore[attr-defined]
    assert len(found) == 1
    return found[0]


def test_alt_b_books_what_comes_next_and_the_facts_show_it(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.jobs.show_job(kept.job_id)
    for kind in ("survey", "work"):
        pages.activateWindow()  # as a window system does when a dialog goes
        QApplication.processEvents()
        QTest.keyClick(focused(pages), Qt.Key.Key_B, Alt)
        QApplication.processEvents()
        dialog = dialog_of(pages)
        assert dialog.fields["kind"].value() == kind
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return, Ctrl)
        QApplication.processEvents()
    visits = pages.jobs.job.facts.visits
    shown = [row.accessibleName() for row in visits.rows if not row.isHidden()]
    assert shown == ["Survey, Thu, May 14, any time, today", "Work, Thu, May 14, any time, today"]
    assert pages.jobs.job.facts.field("scheduled_on").value() == TODAY


def test_enter_on_a_visit_opens_it_and_removing_can_be_undone(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Book") as edit:
        book_visit(edit, kept.job_id, "survey", TODAY, starts_at=540)
    pages = show(qtbot, company, "jobs")
    pages.jobs.show_job(kept.job_id, "facts")
    row = pages.jobs.job.facts.visits.rows[0]
    row.setFocus()
    QTest.keyClick(row, Qt.Key.Key_Return)
    QApplication.processEvents()
    dialog_of(pages).delete.click()
    QApplication.processEvents()
    with company.read() as conn:
        assert visits_of_job(conn, kept.job_id) == []
    assert row.isHidden()
    pages.desk.undo()
    assert not row.isHidden()


def test_the_steps_back_from_a_closing_stand_beneath_and_change_with_the_work(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    with company.action("Sale") as edit:
        add_deadline(edit, kept.job_id, TODAY + timedelta(days=14), "closing date")
    pages = show(qtbot, company, "jobs")
    pages.jobs.show_job(kept.job_id, "facts")
    steps = pages.jobs.job.facts.visits.steps
    assert "the work has to begin by" in steps.text()
    pages.desk.do("Install", lambda edit: mark_installed(edit, kept.job_id, TODAY))
    assert "Work begins: done" in steps.text()
    assert "the test has to start by Fri, May 22, 9 am" in steps.text()
    pages.desk.do("Place", lambda edit: book_visit(edit, kept.job_id, "test_placed", TODAY, starts_at=600))
    assert "but the fan has not run long enough before" in steps.text()


def test_an_emptied_work_day_calls_the_visit_off(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Book") as edit:
        book_visit(edit, kept.job_id, "work", TODAY)
    pages = show(qtbot, company, "jobs")
    pages.jobs.show_job(kept.job_id, "facts")
    field = pages.jobs.job.facts.field("scheduled_on")
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    QTest.keyClick(field, Qt.Key.Key_Return)
    with company.read() as conn:
        assert [one.visit.cancelled_on for one in visits_of_job(conn, kept.job_id)] == [TODAY]
