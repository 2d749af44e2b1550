"""A double click sends nothing over a warning nobody has read, and begins no second version."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from db.commands.jobs import add_deadline
from desktop.widgets import young
from tests.db.quote_company import TODAY, make_quote_company
from tests.desktop.test_quote_section import Evening

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def evening(qtbot: QtBot) -> Iterator[Evening]:
    shop = make_quote_company()  # no radon result: the question comes
    shop.start()
    made = Evening(qtbot, shop)
    yield made
    shop.company.close()


def go_on(evening: Evening) -> QPushButton:
    words = evening.section.actions.follows.findChildren(QPushButton)
    return next(one for one in words if one.text() == "Send it all the same")


def test_a_double_click_asks_and_does_not_send(evening: Evening, monkeypatch: pytest.MonkeyPatch) -> None:
    send = evening.section.actions.send
    QTest.mouseClick(send, LEFT)
    QTest.mouseDClick(send, LEFT)
    QTest.mouseClick(send, LEFT)
    assert "No radon result" in evening.section.actions.follows.text()
    assert evening.document.quote.sent_on is None
    QTest.mouseClick(go_on(evening), LEFT)
    assert evening.document.quote.sent_on is None, "nobody reads that fast"
    monkeypatch.setattr(young, "READING_MS", 0)
    QTest.mouseClick(go_on(evening), LEFT)
    assert evening.document.quote.sent_on == TODAY
    monkeypatch.undo()
    QTest.mouseClick(evening.section.actions.revise, LEFT)
    assert evening.document.quote.version == 1, "a stray press begins no version"


def test_valid_beyond_the_closing_is_named_before_it_is_sent(evening: Evening) -> None:
    soon = TODAY + timedelta(days=1)
    evening.shop.do(add_deadline, evening.shop.job_id, soon, "closing date")
    evening.section.refresh()
    evening.press(evening.section.actions.send)
    QApplication.processEvents()
    assert "after closing date on Mar 4, 2026" in evening.section.actions.follows.text()
    assert evening.document.quote.sent_on is None
