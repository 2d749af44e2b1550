"""Jobs as a person uses them: find one, open a new one from nothing, keep its facts in order, end it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot
from sqlalchemy import event

from db.commands.jobs import add_deadline
from db.company_file.company import Company
from db.queries.jobs import job_head, job_list
from desktop.pages.jobs.job_page import SECTIONS
from tests.desktop.pages_at_work import focused, show, type_into
from tests.desktop.test_customers_page import press, unnamed
from tests.small_company import TODAY, OneJob, add_one_job, add_proposal, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def texts(table: object) -> list[list[str]]:
    model = table.rows_model()  # type: ignore[attr-defined]
    return [[model.text(row, column.key) for column in model.columns] for row in model.rows]


def test_the_list_shows_state_deadline_and_price(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Facts") as edit:
        add_proposal(edit, kept.job_id, sent_on=TODAY, price_cents=214_500, goodwill_cents=4_500)
        add_deadline(edit, kept.job_id, date(2026, 5, 20), "closing date")
    pages = show(qtbot, company, "jobs")
    assert texts(pages.jobs.list.table) == [
        ["26-001", "Wren Halloway", "12 Mill Road, Alder Falls", "Rework of the crawl system", "quoted",
         "May 20 · in 6 days", "$2,100.00", "May 4, 2026"]
    ]  # fmt: skip


def test_filters_search_and_enter(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    second = add_one_job(company, "Mara Stillwell")
    with company.action("Send") as edit:
        add_proposal(edit, second.job_id, sent_on=TODAY)
    pages = show(qtbot, company, "jobs")
    page = pages.jobs.list

    def shown() -> list[str]:
        return [row.customer for row in page.table.rows_model().rows]

    assert shown() == ["Mara Stillwell", "Wren Halloway"]
    press(page, "Waiting for an answer")
    assert shown() == ["Mara Stillwell"]
    type_into(qtbot, page.search, "wren")
    assert shown() == []
    press(page.table, "Look through all jobs")
    assert shown() == ["Wren Halloway"]
    type_into(qtbot, page.search, "wren")
    assert pages.jobs.job.job_id == kept.job_id
    assert pages.jobs.job.isVisible()
    qtbot.keyClick(focused(pages), Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert page.isVisible()
    assert focused(pages) is page.table
    qtbot.keyClick(page.table, Qt.Key.Key_Return)
    assert pages.jobs.job.isVisible()
    assert focused(pages).accessibleName() == "Section: Survey"


def test_a_job_for_somebody_new_at_a_new_address_in_one_action(qtbot: QtBot, company: Company) -> None:
    pages = show(qtbot, company, "jobs")
    press(pages.jobs.list.table, "New job")
    form = pages.jobs.form
    assert focused(pages) is form.customer
    qtbot.keyClicks(form.customer.lineEdit(), "Ida Pell")
    qtbot.keyClick(form.customer.lineEdit(), Qt.Key.Key_Tab)
    assert focused(pages) is form.phone
    qtbot.keyClicks(form.phone, "207 555 0111")
    type_into(qtbot, form.street, "8 Ferry Street", end=None)
    type_into(qtbot, form.opened_on, "5/11", end=Qt.Key.Key_Tab)
    type_into(qtbot, form.closing, "6/12", end=Qt.Key.Key_Tab)
    type_into(qtbot, form.party, "buyer's", end=Qt.Key.Key_Tab)
    type_into(qtbot, form.party_name, "Rosa Finch", end=None)
    type_into(qtbot, form.job_type, "Rework", end=Qt.Key.Key_Tab)
    qtbot.keyClick(focused(pages), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    with company.read() as conn:
        (row,) = job_list(conn, TODAY)
        head = job_head(conn, row.id, TODAY)
    assert head.job.opened_on == date(2026, 5, 11), "it may have begun before it was written down"
    assert [(one.due_on, one.reason) for one in head.deadlines] == [(date(2026, 6, 12), "closing date")]
    assert [(one.role, one.name) for one in head.parties] == [("buyer's agent", "Rosa Finch")]
    assert head.house.existing_system, "a rework is done on what is there"
    assert (row.customer, row.place, row.number) == ("Ida Pell", "8 Ferry Street", "26-001")
    assert "ework" in row.job_type
    assert pages.jobs.job.isVisible()
    assert pages.jobs.job.section_key == "survey"
    assert focused(pages).accessibleName() == "Survey day"
    pages.desk.undo()
    assert pages.jobs.list.isVisible()
    with company.read() as conn:
        assert job_list(conn, TODAY, "all") == []


def test_a_new_job_says_what_is_missing_and_keeps_the_rest(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.jobs.begin_new()
    form = pages.jobs.form
    type_into(qtbot, form.title, "Quiet fan", end=None)
    form.save.click()
    assert "customer" in form.form.error_of(form.customer)
    assert "street" in form.form.error_of(form.street)
    assert "job type" in form.form.error_of(form.job_type)
    assert form.title.text() == "Quiet fan"
    type_into(qtbot, form.customer, "Wren Haloway", end=Qt.Key.Key_Tab)
    qtbot.waitUntil(lambda: form.hints.isVisible())
    press(form, "Take that one")
    assert form.customer.value() == kept.customer_id
    assert form.house.value() == kept.property_id
    assert not form.street.isVisible()
    type_into(qtbot, form.job_type, "Fan replacement", end=Qt.Key.Key_Tab)
    form.save.click()
    with company.read() as conn:
        assert [row.title for row in job_list(conn, TODAY)] == ["Quiet fan", "Rework of the crawl system"]


def test_escape_leaves_the_form_for_where_one_came_from(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    pages.customers.view.new_job.click()
    qtbot.keyClick(focused(pages), Qt.Key.Key_Escape)
    assert pages.currentWidget() is pages.customers
    with company.read() as conn:
        assert len(job_list(conn, TODAY, "all")) == 1


def test_the_head_names_the_job_and_leads_to_its_customer(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id)
    job = pages.jobs.job
    assert job.state.text() == "inquiry"
    assert "12 Mill Road" in job.about.text()
    job.customer.click()
    assert pages.currentWidget() is pages.customers
    assert pages.customers.view.customer_id == kept.customer_id


def test_sections_are_one_key_away_and_read_when_first_shown(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "survey")
    job = pages.jobs.job
    for number, place in enumerate(SECTIONS, 1):
        qtbot.keyClick(job, Qt.Key(ord(str(number))), Qt.KeyboardModifier.AltModifier)
        assert job.section_key == place.key
        section = job.stack.currentWidget()
        assert type(section).__name__ == place.class_name
        assert section.job_id == kept.job_id  # type: ignore[attr-defined]


def test_facts_save_one_by_one_in_order_and_the_head_follows(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "survey")
    job = pages.jobs.job
    qtbot.keyClick(job, Qt.Key.Key_0, Qt.KeyboardModifier.AltModifier)
    assert job.facts.isVisible()
    assert focused(pages) is job.facts.field("title")
    type_into(qtbot, job.facts.field("installed_on"), "5/12")
    assert job.state.text() == "installed"
    type_into(qtbot, job.facts.field("invoiced_on"), "5/11")
    assert "before the day the fan was on" in job.facts.field("invoiced_on").problem()
    assert job.facts.field("invoiced_on").text() != ""
    type_into(qtbot, job.facts.field("invoiced_on"), "5/13")
    type_into(qtbot, job.facts.field("title"), "Crawl rework")
    with company.read() as conn:
        kept_job = job_head(conn, kept.job_id, TODAY).job
    assert (kept_job.installed_on, kept_job.invoiced_on) == (date(2026, 5, 12), date(2026, 5, 13))
    assert kept_job.title == "Crawl rework"
    assert company.undo_label == "Change title of job"
    pages.desk.undo()
    assert job.facts.field("title").text() == "Rework of the crawl system"
    qtbot.keyClick(focused(pages), Qt.Key.Key_Escape)
    assert not job.facts.isVisible()


def test_deadlines_and_parties_are_added_ticked_and_removed(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "facts")
    facts = pages.jobs.job.facts
    type_into(qtbot, facts.deadlines.day, "5/20")
    press(facts.deadlines, "Add")
    assert "Say what happens" in facts.deadlines.problem.text()  # type: ignore[attr-defined]
    type_into(qtbot, facts.deadlines.reason, "closing date", end=Qt.Key.Key_Tab)
    press(facts.deadlines, "Add")
    assert pages.jobs.job.deadline.text() == "closing date: May 20 · in 6 days"
    type_into(qtbot, facts.parties.role, "buyer", end=Qt.Key.Key_Tab)
    type_into(qtbot, facts.parties.name, "Pia Lund")
    with company.read() as conn:
        head = job_head(conn, kept.job_id, TODAY)
    assert [(one.role, one.name) for one in head.parties] == [("buyer", "Pia Lund")]
    (line,) = facts.deadlines.lines.lines
    line.met.click()  # type: ignore[attr-defined]
    assert pages.jobs.job.deadline.text() == ""


def test_how_a_job_ends(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "facts")
    job, ending = pages.jobs.job, pages.jobs.job.facts.ending
    ending.cancel_button.click()
    assert "few words why" in ending.refused.text()
    type_into(qtbot, ending.reason, "house sold as it is")
    assert job.state.text() == "canceled"
    ending.reopen_button.click()
    assert job.state.text() == "inquiry"
    ending.close_button.click()
    assert job.state.text() == "inquiry, closed"
    assert "Job 26-001 is closed" in pages.said
    pages.desk.undo()
    assert job.state.text() == "inquiry"
    ending.delete_button.click()
    assert pages.jobs.list.isVisible()


def test_opening_a_job_takes_the_same_statements_whatever_the_size(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "survey")

    def counted(job_id: int) -> int:
        seen: list[object] = []
        note = lambda *args: seen.append(args[2])  # noqa: E731
        event.listen(company.engine, "before_cursor_execute", note)
        pages.go("jobs", job_id, "survey")
        event.remove(company.engine, "before_cursor_execute", note)
        return len(seen)

    small = counted(kept.job_id)
    ids = [add_one_job(company, f"Customer {number}").job_id for number in range(12)]
    assert counted(kept.job_id) == small
    assert counted(ids[-1]) <= small + 10


def test_every_field_and_button_has_a_spoken_name(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Deadline") as edit:
        add_deadline(edit, kept.job_id, TODAY, "closing date")
    pages = show(qtbot, company, "jobs")
    pages.jobs.begin_new()
    pages.go("jobs", kept.job_id, "facts")
    parts: list[QWidget] = [pages.jobs.list, pages.jobs.form, pages.jobs.job.facts]
    assert [word for part in parts for word in unnamed(part)] == []
    assert all(one.text() or one.accessibleName() for one in pages.jobs.job.findChildren(QPushButton))


def test_in_a_small_window_the_facts_make_room_for_another_section(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    pages = show(qtbot, company, "jobs")
    pages.jobs.show_job(kept.job_id, "facts")
    job = pages.jobs.job
    for width, shown in ((1600, True), (1280, False)):
        pages.resize(width, 800)
        qtbot.waitUntil(lambda width=width: job.width() == width, timeout=2000)
        before = job.section_key
        key = Qt.Key.Key_1 if before != "survey" else Qt.Key.Key_3
        QTest.keyClick(focused(pages), key, Qt.KeyboardModifier.AltModifier)
        assert job.section_key != before
        assert job.facts.isVisible() is shown
