"""Keys typed in a hurry into the lines of a quote: none is lost while a row is being added."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent, QWindow
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desktop.widgets.word_list import WordList
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
    assert [line.quantity for line in new] == [Decimal(2)]


def keyboard_window(evening: Evening) -> QWindow:
    """The window the system gives the keys to: a list in a window of its own would take them all."""
    holder = QApplication.activePopupWidget() or evening.section.window()
    handle = holder.windowHandle()
    assert handle is not None
    return handle


def type_ahead(window: QWindow, text: str) -> None:
    """All keys are there, addressed to the window that has the keyboard now, before any of them is looked at."""
    keys = {"\t": Key.Key_Tab, "\n": Key.Key_Return}
    for one in text:
        code = keys.get(one, Key(ord(one.upper())))
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            event = QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, one)
            QCoreApplication.postEvent(window, event)


def run_dry() -> None:
    for _ in range(5):
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


@pytest.mark.parametrize("begun", [0, 3])
@pytest.mark.parametrize("after", ["\t", "\n"])
def test_keys_that_wait_while_the_row_is_added_land_where_they_were_meant(
    evening: Evening, begun: int, after: str
) -> None:
    before = {line.id for line in evening.document.labour}
    name = evening.section.editing.page.picks.task_names[3]
    evening.section.lines.work.table.begin_new()
    send(name[:begun].lower())
    type_ahead(keyboard_window(evening), f"{name[begun:8].lower()}{after}2\t45m\t")
    run_dry()
    new = [line for line in evening.document.labour if line.id not in before]
    assert [(line.quantity, line.override_minutes) for line in new] == [(Decimal(2), 45)]


def test_the_list_beneath_a_cell_is_no_window_that_takes_the_keys(evening: Evening) -> None:
    evening.section.lines.work.table.begin_new()
    send(evening.section.editing.page.picks.task_names[3][:3].lower())
    words = QApplication.focusWidget().findChild(WordList)
    assert words.is_open
    assert not words.view.isWindow()
    assert QApplication.activePopupWidget() is None
