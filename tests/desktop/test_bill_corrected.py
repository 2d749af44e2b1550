"""A mistyped bill is put right in the window, as one step that can be undone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.commands.bills import enter_bill, pay_bill
from db.queries.books.bills import bill_rows, whole_bill
from desktop.widgets import young
from domain.bills import BillLineDraft
from tests.db.billing_company import BillingCompany
from tests.desktop.test_books_parts import TODAY, shown, type_cell


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


@pytest.fixture
def bill_id(shop: BillingCompany) -> int:
    lines = [BillLineDraft("overhead", 20_000, "Insurance"), BillLineDraft("overhead", 5_000, "Ladder")]
    made: int = shop.do(enter_bill, "Volt Works", "bill", date(2026, 5, 2), lines, number="4711", tax_cents=300)
    return made


def test_number_day_and_amount_are_put_right_and_undone(qtbot: QtBot, shop: BillingCompany, bill_id: int) -> None:
    part = shown(qtbot, shop, "bills")
    part.bills.select_id(bill_id)
    qtbot.mouseClick(part.correct, Qt.MouseButton.LeftButton)
    form = part.form
    assert part.pages.currentWidget() is form
    assert (form.number.text(), form.total.text(), form.kind.isEnabled()) == ("4711", "Total $253.00", False)
    form.number.setFocus()
    form.number.selectAll()
    qtbot.keyClicks(form.number, "4712")
    type_cell(qtbot, form.table, 0, "amount", "210")
    form.number.setFocus()
    qtbot.keyClick(form.number, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert not form.problem.text()
    whole = shop.ask(whole_bill, bill_id)
    assert (whole.bill.number, whole.bill.total_cents, whole.bill.billed_on) == ("4712", 26_300, date(2026, 5, 2))
    assert [line.net_cents for line in whole.lines] == [21_000, 5_000]
    assert part.pages.currentIndex() == 0
    assert len(shop.ask(bill_rows)) == 1
    part.desk.undo()
    assert shop.ask(whole_bill, bill_id).bill.total_cents == 25_300


def test_less_than_is_paid_is_refused_and_stays_typed(qtbot: QtBot, shop: BillingCompany, bill_id: int) -> None:
    shop.do(pay_bill, bill_id, TODAY, 24_000)
    part = shown(qtbot, shop, "bills")
    part.bills.select_id(bill_id)
    part.correct_current()
    type_cell(qtbot, part.form.table, 0, "amount", "2")
    part.form.enter_it()
    assert "Is that right?" in part.form.problem.text()
    qtbot.wait(young.READING_MS + 200)
    part.form.enter_it()
    assert "paid on it already" in part.form.problem.text()
    assert part.form.model.rows[0].net_cents == 200
    assert shop.ask(whole_bill, bill_id).bill.total_cents == 25_300


def test_a_new_bill_begun_is_not_mixed_with_a_correction(qtbot: QtBot, shop: BillingCompany, bill_id: int) -> None:
    part = shown(qtbot, shop, "bills")
    part.begin()
    type_cell(qtbot, part.form.table, 0, "description", "Circuit")
    part.show_list()
    part.bills.select_id(bill_id)
    part.correct_current()
    assert [row.description for row in part.form.model.rows][:2] == ["Insurance", "Ladder"]
    part.show_list()
    part.begin()
    assert part.form.model.rows[0].description == "Circuit"
    assert part.form.kind.isEnabled()
    part.form.start_anew()
    assert len(shop.ask(bill_rows)) == 1
