"""The Customers page as a person uses it: search, enter, be warned of a duplicate, change, undo, put away."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot
from sqlalchemy import event

from db.company_file.company import Company
from db.queries.people import customer_list, customer_page
from tests.desktop.pages_at_work import focused, show, type_into
from tests.small_company import TODAY, OneJob, add_one_job, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def names(company: Company, archived: bool = False) -> list[str]:
    with company.read() as conn:
        return [row.name for row in customer_list(conn, archived=archived)]


def press(pages: QWidget, text: str) -> None:
    """Click the one button with this text that can be seen."""
    (found,) = [one for one in pages.findChildren(QPushButton) if one.text() == text and one.isVisible()]
    found.click()


def test_an_empty_company_says_what_customers_are_and_begins_with_one(qtbot: QtBot, company: Company) -> None:
    pages = show(qtbot, company, "customers")
    page = pages.customers
    assert page.right.currentWidget() is page.first
    assert page.first.action is not None
    page.first.action.click()
    assert focused(pages) is page.form.name
    qtbot.keyClicks(page.form.name, "Mara Stillwell")
    for words in ("", "207 555 0177", "mara@example.org", "3 Quarry Lane"):
        qtbot.keyClick(focused(pages), Qt.Key.Key_Tab)
        qtbot.keyClicks(focused(pages), words)
    qtbot.keyClick(focused(pages), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert names(company) == ["Mara Stillwell"]
    assert page.right.currentWidget() is page.view
    with company.read() as conn:
        kept = customer_page(conn, page.view.customer_id, TODAY)
    assert [contact.value for contact in kept.contacts] == ["207 555 0177", "mara@example.org"]
    assert [house.street for house in kept.properties] == ["3 Quarry Lane"]
    pages.desk.undo()
    assert names(company) == []
    assert page.right.currentWidget() is page.first


def test_typing_finds_and_enter_shows(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    add_one_job(company, "Mara Stillwell")
    pages = show(qtbot, company, "customers")
    page = pages.customers
    type_into(qtbot, page.search, "wren 99 nobody")
    assert page.table.model().rowCount() == 0
    type_into(qtbot, page.search, "wren")
    assert [row.name for row in page.table.rows_model().rows] == ["Wren Halloway"]
    assert page.view.customer_id == kept.customer_id
    qtbot.keyClick(page.search, Qt.Key.Key_Escape)
    assert page.table.model().rowCount() == 2


def test_the_page_comes_up_ready_to_search(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "jobs")
    assert focused(pages) is pages.jobs.list.table
    pages.go("customers")
    assert focused(pages) is pages.customers.search
    qtbot.keyClicks(focused(pages), "wren")
    qtbot.keyClick(focused(pages), Qt.Key.Key_Return)
    assert pages.customers.view.customer_id == kept.customer_id


def test_a_likely_duplicate_is_pointed_out_while_typing_and_can_be_opened(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    pages = show(qtbot, company, "customers")
    page = pages.customers
    page.begin_new()
    qtbot.keyClicks(page.form.name, "Somebody Else")
    type_into(qtbot, page.form.phone, "207.555.0143", end=None)
    qtbot.waitUntil(lambda: page.form.hints.isVisible())
    assert [one.name for one in page.form.hints.found] == ["Wren Halloway"]
    press(page.form, "Open that one")
    assert page.view.customer_id == kept.customer_id
    assert names(company) == ["Wren Halloway"]


def test_what_cannot_be_used_is_said_and_nothing_typed_is_lost(qtbot: QtBot, company: Company) -> None:
    pages = show(qtbot, company, "customers")
    form = pages.customers.form
    pages.customers.begin_new()
    press(form, "Add customer")
    assert "needs a name" in form.form.error_of(form.name)
    qtbot.keyClicks(form.name, "Mara Stillwell")
    type_into(qtbot, form.phone, "555", end=None)
    press(form, "Add customer")
    assert "too short" in form.problem.text()
    assert (form.name.text(), form.phone.text(), names(company)) == ("Mara Stillwell", "555", [])
    type_into(qtbot, form.phone, "207 555 0177", end=None)
    press(form, "Add customer")
    assert names(company) == ["Mara Stillwell"]


def test_each_field_saves_itself_and_undo_names_it(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    view = pages.customers.view
    type_into(qtbot, view.form.findChild(QWidget, "name"), "Wren Halloway-Pike")
    assert names(company) == ["Wren Halloway-Pike"]
    assert company.undo_label == "Change name of customer"
    (line,) = view.houses.lines.lines
    year = line.form.field("year_built")  # type: ignore[attr-defined]
    type_into(qtbot, year, "19")
    assert "four digits" in year.problem()
    assert year.text() == "19"
    type_into(qtbot, year, "1948")
    line.form.foundation.ticks["slab"].click()  # type: ignore[attr-defined]
    with company.read() as conn:
        (house,) = customer_page(conn, kept.customer_id, TODAY).properties
    assert (house.year_built, house.foundation) == (1948, "slab + crawl space")
    for _ in range(3):
        pages.desk.undo()
    assert names(company) == ["Wren Halloway"]
    assert year.text() == "1962"


def test_a_refused_change_stays_in_its_field_with_the_reason(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    line = pages.customers.view.contacts.lines.lines[0]
    type_into(qtbot, line.value, "555")  # type: ignore[attr-defined]
    assert line.value.text() == "555"  # type: ignore[attr-defined]
    assert "too short" in line.problem.text()  # type: ignore[attr-defined]
    pages.customers.refresh()
    assert line.value.text() == "555"  # type: ignore[attr-defined]
    with company.read() as conn:
        assert customer_page(conn, kept.customer_id, TODAY).contacts[0].value == "(207) 555-0143"


def test_phones_mails_and_houses_are_added_where_they_stand(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    view = pages.customers.view
    type_into(qtbot, view.contacts.entry, "w.halloway@example.com")
    type_into(qtbot, view.contacts.entry, "12")
    assert view.contacts.entry.text() == "12"
    assert view.contacts.problem.isVisible()
    type_into(qtbot, view.houses.street, "14 Mill Road")
    with company.read() as conn:
        page = customer_page(conn, kept.customer_id, TODAY)
    assert [(one.kind, one.value) for one in page.contacts][-1] == ("mail", "w.halloway@example.com")
    assert [house.street for house in page.properties] == ["12 Mill Road", "14 Mill Road"]


def test_deleting_with_history_is_refused_with_the_reason_and_archiving_offered(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    view = pages.customers.view
    view.delete.click()
    assert "has 1 job" in view.refused.text()
    press(view.refused, "Archive instead")
    assert (names(company), names(company, archived=True)) == ([], ["Wren Halloway"])
    assert "Archived on May 14, 2026" in view.archived.text()
    press(view.archived, "Bring back")
    assert names(company) == ["Wren Halloway"]


def test_half_typed_words_survive_a_refresh(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    entry = pages.customers.view.contacts.entry
    type_into(qtbot, entry, "207 555", end=None)
    name = pages.customers.view.form.findChild(QWidget, "name")
    type_into(qtbot, name, "Wren H", end=None)
    pages.customers.refresh()
    assert (entry.text(), name.text()) == ("207 555", "Wren H")


def test_a_new_job_is_one_key_away(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    qtbot.keyClick(focused(pages), Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: pages.currentWidget() is pages.jobs)
    assert pages.jobs.form.customer.value() == kept.customer_id
    assert pages.jobs.form.house.value() == kept.property_id


def test_the_page_takes_the_same_statements_whatever_the_size(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)

    def counted() -> int:
        seen: list[object] = []
        note = lambda *args: seen.append(args[2])  # noqa: E731
        event.listen(company.engine, "before_cursor_execute", note)
        pages.go("customers", kept.customer_id)
        event.remove(company.engine, "before_cursor_execute", note)
        return len(seen)

    small = counted()
    for number in range(15):
        add_one_job(company, f"Customer {number}")
    assert counted() == small


def test_every_field_and_button_has_a_spoken_name(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.go("customers", kept.customer_id)
    pages.customers.begin_new()
    assert unnamed(pages.customers) == []


def unnamed(pages: QWidget) -> list[str]:
    """Widgets that can have the focus but say nothing to a screen reader."""
    silent = []
    for widget in pages.findChildren(QWidget):
        inside_combo = widget.parent() is not None and widget.parent().inherits("QComboBox")
        if widget.window() is not pages.window():
            continue  # the list a choice opens
        if widget.isHidden():
            continue
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not inside_combo and not widget.inherits("QScrollArea"):
            text = widget.text() if hasattr(widget, "text") else ""
            if not (widget.accessibleName() or text):
                silent.append(f"{type(widget).__name__} {widget.objectName()} in {type(widget.parent()).__name__}")
    return silent


def test_a_customer_kept_twice_becomes_one_after_it_was_said_what_moves(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    add_one_job(company, "Wren Haloway", "26-050")
    pages = show(qtbot, company, "customers")
    pages.customers.show_key(kept.customer_id)
    view = pages.customers.view
    press(pages, "Merge")
    card = view.merging
    assert card.isVisible()
    assert "Wren Haloway" in card.other.currentText(), "the likeliest is offered"
    assert "1 property and 1 job" in card.words.text()
    card.do.click()
    assert not card.isVisible()
    assert names(company) == ["Wren Halloway"]
    pages.desk.undo()
    assert names(company) == ["Wren Halloway", "Wren Haloway"]


def test_no_two_fields_of_a_customer_have_the_same_name(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages = show(qtbot, company, "customers")
    pages.customers.show_key(kept.customer_id)
    for house in pages.findChildren(QPushButton):
        if house.isVisible() and "12 Mill Road" in house.text():
            house.click()
    titles = [one.text().replace("&", "") for one in pages.customers.view.findChildren(QLabel) if one.buddy()]
    assert len(titles) == len(set(titles)), titles
