"""Slips of the hand are asked about where they are typed: the price of a quote, a bill put right, a payment."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.commands import billing
from db.commands.bills import enter_bill
from db.queries.books.bills import whole_bill
from desktop.pages.company.bill_form import BillForm
from desktop.widgets import young
from desktop.widgets.half import half_entries, named
from domain.bills import BillLineDraft
from domain.quoting.price import build_price
from tests.db.billing_company import BillingCompany
from tests.desktop.test_books_parts import shown as shown_part
from tests.desktop.test_books_parts import type_cell
from tests.desktop.test_money_section import TODAY, Shown, enter, issued_final
from tests.desktop.test_quote_section import Evening, draft, evening

__all__ = ["draft", "evening"]
Key = Qt.Key


def test_a_price_far_from_the_cost_is_asked_about_kept_and_named_at_sending(draft: Evening) -> None:
    price = draft.section.panel.list_price
    kept = build_price(draft.document).base.price_cents
    draft.fill(price, f"{kept / 100:.0f}00", Key.Key_Return)
    assert draft.document.quote.fixed_price_cents is not None
    assert draft.document.quote.fixed_price_cents > 90 * kept, "kept"
    assert "times the cost" in price.problem()
    assert price.is_asking
    draft.press(draft.section.actions.send)
    assert "times the cost" in draft.section.actions.follows.text()
    assert draft.document.quote.sent_on is None
    draft.fill(price, f"{kept / 100:.2f}", Key.Key_Return)
    assert price.problem() == "", "what puts a slip right is not asked about"
    draft.press(draft.section.actions.send)
    assert "times the cost" not in draft.section.actions.follows.text()


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


@pytest.fixture
def receipt(shop: BillingCompany) -> int:
    lines = [BillLineDraft("overhead", 6_380, "Drill bits"), BillLineDraft("overhead", 2_612, "Gloves")]
    made: int = shop.do(enter_bill, "Volt Works", "receipt", date(2026, 5, 2), lines, number="88", tax_cents=562)
    return made


def correcting(qtbot: QtBot, shop: BillingCompany, bill_id: int) -> tuple[object, BillForm]:
    part = shown_part(qtbot, shop, "bills")
    part.bills.select_id(bill_id)
    part.correct_current()
    return part, part.form


def paid(shop: BillingCompany, bill_id: int) -> list[int]:
    return [one.amount_cents for one in shop.ask(whole_bill, bill_id).payments]


def test_an_amount_far_from_the_former_one_is_asked_about_and_the_payment_told(
    qtbot: QtBot, shop: BillingCompany, receipt: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, form = correcting(qtbot, shop, receipt)
    type_cell(qtbot, form.table, 0, "amount", "6380")
    (cell,) = form.model.questions.cells
    assert "before it was $63.80" in form.model.questions.words(cell)
    assert form.pays.text() == "Its payment changes from $95.54 to $6,411.74."
    form.enter_it()
    form.enter_it()  # the second press of a double click has read nothing
    assert "before it was $63.80" in form.problem.text()
    assert "Its payment changes from $95.54 to $6,411.74." in form.problem.text()
    assert paid(shop, receipt) == [9_554]
    monkeypatch.setattr(young, "READING_MS", 0)
    form.enter_it()
    assert paid(shop, receipt) == [641_174]


def test_more_tax_than_any_is_asked_about_in_its_field(qtbot: QtBot, shop: BillingCompany, receipt: int) -> None:
    _, form = correcting(qtbot, shop, receipt)
    form.tax.setFocus()
    form.tax.selectAll()
    qtbot.keyClicks(form.tax, "9999")
    form.enter_it()
    assert form.tax.problem().startswith("$9,999.00 is a lot of sales tax on $89.92.")
    assert paid(shop, receipt) == [9_554]
    qtbot.keyClick(form.tax, Key.Key_Return)
    assert form.tax.value() == 999_900
    type_cell(qtbot, form.table, 0, "amount", "64")
    form.enter_it()
    assert "a lot of sales tax on $90.12" in form.problem.text(), "asked anew: what it is charged on has changed"


def test_a_change_in_the_table_is_not_kept_yet_and_comes_back(
    qtbot: QtBot, shop: BillingCompany, receipt: int
) -> None:
    part, form = correcting(qtbot, shop, receipt)
    assert half_entries() == []
    type_cell(qtbot, form.table, 0, "amount", "70")
    assert named(half_entries()) == "bill"
    part.show_list()  # type: ignore[attr-defined]
    assert named(half_entries()) == "bill", "the head goes on saying so on the list"
    part.begin()  # type: ignore[attr-defined]
    part.show_list()  # type: ignore[attr-defined]
    QApplication.processEvents()
    part.bills.select_id(receipt)  # type: ignore[attr-defined]
    assert "correction of it is begun" in part.details.text()  # type: ignore[attr-defined]
    part.correct_current()  # type: ignore[attr-defined]
    assert form.model.rows[0].net_cents == 7_000
    form.afresh.click()
    assert form.model.rows[0].net_cents == 6_380
    assert half_entries() == []
    assert paid(shop, receipt) == [9_554]


def test_a_question_about_a_payment_is_asked_anew_when_what_is_owed_changes(qtbot: QtBot) -> None:
    shown = Shown(qtbot)
    job_id, _ = issued_final(shown)
    customer_id = shown.firm.kept_job(job_id).customer_id
    owed = shown.money(job_id).open_cents
    first = shown.firm.do(billing.take_payment, customer_id, TODAY, owed, "check", job_id=job_id, today=TODAY)
    section = shown.section(job_id)
    amount = section.payment.amount
    shown.type(amount, f"{owed / 100 + 34:.2f}")
    enter(amount)
    assert amount.problem().startswith("Nothing is owed, and")
    shown.desk.do("Remove it", lambda edit: billing.remove_payment(edit, first))
    assert amount.problem().startswith("$34.00 more than the")
    section.payment._owed = ()  # owed changes once more and nobody has said so
    enter(amount)
    assert amount.problem().startswith("Nothing is owed, and"), "this Enter has not read the new question"
    assert shown.money(job_id).payments == ()
