"""Leftover pipe in the window: one key from the takeoff onto the truck, typed, corrected and thrown away there."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from db.commands import takeoff
from db.queries.buying.offcuts import offcuts_on_truck, shortest_offcut
from desktop.desk import Desk
from desktop.pages.company.stock_part import StockPart
from desktop.pages.job_sections.takeoff import TakeoffSection
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

Key = Qt.Key


@pytest.fixture
def shop() -> QuoteCompany:
    return make_quote_company()


@pytest.fixture
def desk(shop: QuoteCompany) -> Desk:
    return Desk(shop.company, lambda: TODAY)


def feet(desk: Desk) -> list[Decimal]:
    with desk.read() as conn:
        return [row.offcut.feet for row in offcuts_on_truck(conn)]


@pytest.fixture
def stock(qtbot: QtBot, desk: Desk) -> Callable[[], StockPart]:
    def show() -> StockPart:
        part = StockPart(desk)
        qtbot.addWidget(part)
        part.resize(1000, 700)
        desk.changed.connect(part.refresh)
        part.show()
        part.refresh()
        part.view.set_value("offcuts")
        part.refresh()
        return part

    return show


def test_one_key_in_the_takeoff_keeps_what_is_left(qtbot: QtBot, shop: QuoteCompany, desk: Desk) -> None:
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", "A: pit at -6', crawl 3in along 4', out")
    section = TakeoffSection(desk)
    qtbot.addWidget(section)
    said: list[str] = []
    desk.spoke.connect(lambda text, *_: said.append(text))
    section.show_job(shop.job_id)
    with qtbot.waitExposed(section):
        section.show()
    section.route_view.words.setFocus()
    held = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(section.route_view.words, Key.Key_O, held)
    assert len(feet(desk)) == 1
    assert said[-1].startswith("1 offcut onto the truck, 5' 11")


def test_the_truck_takes_a_piece_typed_and_a_length_corrected(
    desk: Desk, stock: Callable[[], StockPart]
) -> None:
    part = stock()
    pieces = part.offcuts
    assert pieces is not None
    assert not part.counted_on.isVisible()
    pieces.size.set_value(Decimal(4))
    QTest.keyClicks(pieces.length, "4'6\"")
    pieces.add_row.try_to_add()
    assert feet(desk) == [Decimal("4.5")]
    assert pieces.model.text(pieces.model.rows[0], "from") == "typed here"
    assert pieces.model.attempt(pieces.model.index(0, 1), "nothing")
    assert feet(desk) == [Decimal("4.5")]
    assert pieces.model.attempt(pieces.model.index(0, 1), "3'") is None
    assert feet(desk) == [Decimal(3)]
    pieces.table.selectRow(0)
    pieces.away.click()
    assert feet(desk) == []
    desk.undo()
    assert feet(desk) == [Decimal(3)]


def test_a_piece_that_cannot_be_is_refused_where_it_was_typed(desk: Desk, stock: Callable[[], StockPart]) -> None:
    pieces = stock().offcuts
    assert pieces is not None
    pieces.size.set_value(Decimal(4))
    QTest.keyClicks(pieces.length, "40'")
    pieces.add_row.try_to_add()
    assert "20 ft long" in pieces.length.problem()
    assert pieces.length.text() == "40'"
    assert feet(desk) == []


def test_the_shortest_worth_keeping_is_the_owners(desk: Desk, stock: Callable[[], StockPart]) -> None:
    pieces = stock().offcuts
    assert pieces is not None
    pieces.shortest.setFocus()
    pieces.shortest.selectAll()
    QTest.keyClicks(pieces.shortest, "3'")
    QTest.keyClick(pieces.shortest, Key.Key_Return)
    with desk.read() as conn:
        assert shortest_offcut(conn) == 3
