"""Keys typed in a hurry into the lines of a quote: none is lost while a row is being added."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.db.quote_company import make_quote_company
from tests.desktop.test_quote_section import Evening

Key = Qt.Key


@pytest.fixture
def evening(qtbot: QtBot) -> Iterator[Evening]:
    shop = make_quote_company()
    shop.start()
    yield Evening(qtbot, shop)
    shop.company.close()


def send(text: str) -> None:
    """Immediate keys, each to whatever has the keyboard then, no event in between but those the key makes."""
    keys = {"\t": Key.Key_Tab, "\n": Key.Key_Return}
    for one in text:
        widget = QApplication.activePopupWidget() or QApplication.focusWidget()
        assert widget is not None
        if one in keys:
            QTest.keyClick(widget, keys[one])
        else:
            QTest.keyClick(widget, one)


@pytest.mark.parametrize("after", ["\t", "\n"])
def test_a_task_and_its_quantity(evening: Evening, after: str) -> None:
    before = {line.id for line in evening.document.labour}
    name = evening.section.editing.page.picks.task_names[3]
    evening.section.lines.work.table.begin_new()
    send(f"{name[:6].lower()}{after}2\t")
    QApplication.processEvents()
    new = [line for line in evening.document.labour if line.id not in before]
    print(name, new)
    assert [line.quantity for line in new] == [Decimal(2)]
