"""Booking and sending name what stands refused in the table, and ask, before anything goes out without it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from db.queries.books.bills import bill_rows
from desktop.pages.job_sections.outcome.not_kept import not_kept
from desktop.widgets import young
from tests.db.billing_company import BillingCompany
from tests.db.quote_company import QuoteCompany
from tests.desktop.test_books_parts import shown, type_cell
from tests.desktop.test_receipt_form import bought, open_form, part, shop, type_lines
from tests.desktop.test_refused_at_the_foot import _at_the_foot, _machine, owner, two_drafts
from tests.journeys.at_the_desk import Key, Person

__all__ = ["owner", "part", "shop", "two_drafts"]


def test_a_receipt_is_not_booked_over_a_red_row(part, shop: QuoteCompany, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    form = open_form(part)
    type_lines(form)
    assert form.model.attempt(form.model.index(1, form.model.column_of("quantity")), "a box")
    form.book.click()
    form.book.click()
    assert bought(shop) == [], "a double click has read nothing"
    assert "“a box” in “How many”" in form.problem.text()
    monkeypatch.setattr(young, "READING_MS", 0)
    assert form.model.attempt(form.model.index(0, form.model.column_of("quantity")), "some")
    form.book_it()
    assert bought(shop) == [], "that was not told before"
    assert "“some”" in form.problem.text()
    form.book_it()
    assert len(bought(shop)) == 2


@pytest.fixture
def firm() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def test_a_bill_is_not_entered_over_a_red_row(
    qtbot: QtBot, firm: BillingCompany, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(young, "READING_MS", 0)
    books = shown(qtbot, firm, "bills")
    books.begin()
    form = books.form
    form.supplier.setFocus()
    qtbot.keyClicks(form.supplier, "Volt Works")
    form.supplier.commit()
    form.day.set_value(date(2026, 5, 2))
    type_cell(qtbot, form.table, 0, "description", "Insurance")
    type_cell(qtbot, form.table, 0, "amount", "210")
    type_cell(qtbot, form.table, 0, "amount", "two hundred")
    form.enter_it()
    assert firm.ask(bill_rows) == []
    assert "“two hundred” in “Amount before tax”" in form.problem.text()
    form.enter_it()
    assert [row.total_cents for row in firm.ask(bill_rows)] == [21_000]


def test_a_quote_is_not_sent_over_a_red_row_and_closing_names_it(
    owner: Person, two_drafts: tuple[Path, list[int]]
) -> None:
    job_id = two_drafts[1][0]
    _at_the_foot(owner, job_id, "quote", "Work")
    _machine("zzq\n")
    owner.press(Key.Key_Return)
    section = owner.window.stack.currentWidget().job.stack.currentWidget()  # type: ignore[attr-defined]
    section.actions.send.click()
    assert "Typed and not kept, so in no figure: “zzq” in Work." in section.actions.follows.text()
    assert [one.words for one in not_kept(owner.desk, job_id, section)] == ["“zzq” in Work"], "closing names it too"
    assert not_kept(owner.desk, two_drafts[1][1], section) == []
