"""A receipt typed in the window: by keys, for the truck and a job, kept when it is refused, booked as one step."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from db.commands import quotes
from db.queries.buying.purchases import PurchaseRow, purchases_since
from db.queries.log import job_log
from desktop.desk import Desk
from desktop.pages.company.receipt_form import ReceiptForm
from desktop.pages.company.shopping_part import ShoppingPart
from desktop.widgets import young
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def shop() -> QuoteCompany:
    shop = make_quote_company()
    quote_id = shop.start()
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    return shop


@pytest.fixture
def part(qtbot: QtBot, shop: QuoteCompany) -> ShoppingPart:
    desk = Desk(shop.company, lambda: TODAY)
    made = ShoppingPart(desk)
    qtbot.addWidget(made)
    made.resize(1100, 800)
    desk.changed.connect(made.refresh)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    made.refresh()
    return made


def open_form(part: ShoppingPart) -> ReceiptForm:
    part.view.set_value("receipt")
    part._turn()
    assert part.receipt is not None
    return part.receipt


def keys(text: str, *then: Qt.Key) -> None:
    """Type where the cursor is."""
    for key in (*text, *then):
        QTest.keyClick(QApplication.activePopupWidget() or QApplication.focusWidget(), key)
        QApplication.processEvents()


def tab_to(widget: QWidget) -> None:
    for _ in range(12):
        if QApplication.focusWidget() is widget:
            return
        keys("", Key.Key_Tab)
    raise AssertionError(f"12 times Tab, now at {QApplication.focusWidget().accessibleName()}")


def bought(shop: QuoteCompany) -> list[PurchaseRow]:
    with shop.company.read() as conn:
        return list(reversed(purchases_since(conn, TODAY)))


def type_lines(form: ReceiptForm) -> None:
    for row, cells in enumerate(((("item", "C3"), ("quantity", "4"), ("unit_cost", "2.50")),
                                 (("item", "odd bolts"), ("amount", "5")))):  # fmt: skip
        for key, text in cells:
            at = form.model.index(row, form.model.column_of(key))
            assert form.model.attempt(at, text) is None


def test_a_receipt_is_typed_with_keys_alone(part: ShoppingPart, shop: QuoteCompany) -> None:
    form = open_form(part)
    assert form.supplier.lineEdit().hasFocus() or form.supplier.hasFocus()
    keys("Corner Hardware", Key.Key_Tab)
    tab_to(form.receipt)
    keys("A-17", Key.Key_Tab)
    tab_to(form.table)
    keys("C3", Key.Key_Return)
    assert [line.description for line in form._lines] == ["Coupling, 3 in"]
    keys("4", Key.Key_Return)
    assert form._lines[0].quantity == 4
    QTest.keyClick(form, Key.Key_Return, CTRL)
    (row,) = bought(shop)
    assert (row.supplier, row.purchase.receipt, row.purchase.quantity) == ("Corner Hardware", "A-17", 4)
    assert form._lines == []


def test_it_is_booked_for_a_job_and_into_its_log(part: ShoppingPart, shop: QuoteCompany) -> None:
    form = open_form(part)
    form.where.set_value(shop.job_id)
    type_lines(form)
    assert form.used.isVisible()
    form.used.set_value(True)
    form.receipt.setText("B-1")
    QTest.keyClicks(form.tax, "1.20")
    form.tax.commit()
    assert form.total.text() == "Total $16.20"
    form.book.click()
    assert {row.job_number for row in bought(shop)} != {""}
    assert sum(row.purchase.tax_cents for row in bought(shop)) == 120
    with shop.company.read() as conn:
        assert len(job_log(conn, shop.job_id).materials) == 2
    part.desk.undo()
    assert bought(shop) == []
    with shop.company.read() as conn:
        assert not job_log(conn, shop.job_id).materials


def test_what_is_refused_stays_as_it_was_typed(
    part: ShoppingPart, shop: QuoteCompany, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(young, "READING_MS", 0)
    form = open_form(part)
    type_lines(form)
    assert form.model.attempt(form.model.index(0, form.model.column_of("where")), "26-999") is not None
    assert form.model.attempt(form.model.index(2, 0), "no price known") is None
    form.book.click()
    assert "“26-999” in “For”" in form.problem.text()
    form.book.click()
    assert "“26-999”" not in form.problem.text()
    assert form.problem.isVisible()
    assert len(form._lines) == 3
    assert bought(shop) == []
    form.table.selectRow(2)
    form._remove(form._lines[2])
    form.book.click()
    assert len(bought(shop)) == 2


def test_the_supplier_and_the_place_of_a_purchase_are_changed_in_the_list(
    part: ShoppingPart, shop: QuoteCompany
) -> None:
    form = open_form(part)
    type_lines(form)
    form.book.click()
    part.view.set_value("bought")
    part._turn()
    model = part.bought.model
    row = next(n for n, one in enumerate(model.rows) if one.code == "C3")

    def typed(key: str, text: str) -> str | None:
        return model.attempt(model.index(row, model.column_of(key)), text)

    assert "no supplier" in (typed("supplier", "nobody at all") or "")
    name = next(iter(part.bought._sellers))
    assert typed("supplier", name.lower()) is None
    assert next(one for one in bought(shop) if one.code == "C3").supplier == name
    number = next(iter(part.bought._jobs.values())).split()[0]
    assert typed("where", number) is None
    assert next(one for one in bought(shop) if one.code == "C3").job_number == number
    assert typed("where", "truck") is None
    assert next(one for one in bought(shop) if one.code == "C3").purchase.onto_truck
