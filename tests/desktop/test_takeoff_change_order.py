"""Once the proposal is accepted, the takeoff's key puts what is different on a change order."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from db import tables
from db.commands import quotes, takeoff
from desktop.desk import Desk
from desktop.pages.job_sections.takeoff import TakeoffSection
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.db.test_takeoff_change_order import LONG, SHORT

Key = Qt.Key
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def shop() -> QuoteCompany:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    return shop


def accept(shop: QuoteCompany) -> None:
    quote_id = shop.do(takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm).quote_id
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)


def retype(shop: QuoteCompany, words: str) -> None:
    shop.do(takeoff.change_route, shop.first_id(tables.route), words=words)


@pytest.fixture
def section(qtbot: QtBot, shop: QuoteCompany) -> TakeoffSection:
    desk = Desk(shop.company, lambda: TODAY)
    made = TakeoffSection(desk)
    qtbot.addWidget(made)
    made.resize(1200, 900)
    desk.changed.connect(made.refresh)
    made.show_job(shop.job_id)
    with qtbot.waitExposed(made):
        made.show()
    return made


def order_lines(shop: QuoteCompany) -> set[str]:
    order = shop.first_id(tables.quote, tables.quote.c.kind == "change_order")
    return {line.takeoff_key for line in shop.document(order).materials} if order is not None else set()


def test_before_it_is_accepted_the_key_takes_it_into_the_quote(shop: QuoteCompany, section: TakeoffSection) -> None:
    assert section.take.text() == "Take into the quote"
    assert not section.against.isVisible()
    section.take_chosen()
    assert order_lines(shop) == set()


def test_one_key_puts_what_is_different_on_a_change_order(shop: QuoteCompany, section: TakeoffSection) -> None:
    accept(shop)
    retype(shop, LONG)
    section.refresh()
    assert section.take.text() == "Into a change order"
    assert section.against.isVisible()
    QTest.keyClick(section, Key.Key_T, CTRL)
    view = section.order_rows.view
    assert view is not None
    assert section.order_rows.are_open, "what differs is read first"
    assert order_lines(shop) == set()
    assert view.apply.text() == "Take into the change order"
    assert {row.words for row in view.made.rows} <= {"more", "added"}  # type: ignore[union-attr]
    QTest.keyClick(view.table, Key.Key_Return)
    assert "pipe:3" in order_lines(shop)
    assert "fan:3" not in order_lines(shop)
    assert section.notice.isVisible()
    section.desk.undo()
    assert order_lines(shop) == set()


def test_chosen_lines_alone(shop: QuoteCompany, section: TakeoffSection) -> None:
    accept(shop)
    retype(shop, LONG)
    section.refresh()
    QTest.keyClick(section, Key.Key_T, CTRL | SHIFT)
    assert order_lines(shop) == set(), "nothing was chosen yet"
    view = section._built["list"]
    view.list.select_id("pipe:3")
    QTest.keyClick(view.list, Key.Key_T, CTRL | SHIFT)
    assert order_lines(shop) == {"pipe:3"}


def test_another_route_or_the_whole_list_can_be_chosen(shop: QuoteCompany, section: TakeoffSection) -> None:
    accept(shop)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "long way", LONG)
    section.refresh()
    assert len(section.against.values()) == 4, "accepted, two routes, all of it"
    section.against.set_value(takeoff.NOTHING)
    section.take_list()
    assert section.order_rows.view is not None
    QTest.keyClick(section.order_rows.view.table, Key.Key_Return)
    assert "fan:3" in order_lines(shop)
