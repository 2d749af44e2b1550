"""What a quote begins with is looked through from the top: no cell stands open, and nothing is scrolled away."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QApplication
from pytestqt.qtbot import QtBot

from tests.db.quote_company import make_quote_company
from tests.desktop.test_quote_section import Evening

Key = Qt.Key


@pytest.fixture
def evening(qtbot: QtBot) -> Iterator[Evening]:
    shop = make_quote_company()
    yield Evening(qtbot, shop)
    shop.company.close()


def stands_at_the_top(evening: Evening) -> None:
    lines = evening.section.lines
    table = lines.work.table
    evening.bot.wait(120)  # what is put off until the page has its place has happened
    assert len(evening.document.labour) > 3
    assert (table.currentIndex().row(), table.verticalScrollBar().value()) == (0, 0)
    assert lines._area.verticalScrollBar().value() == 0
    for card in (lines.work, lines.materials, lines.others):
        assert card.table.state() != QAbstractItemView.State.EditingState
    assert QApplication.focusWidget() is table
    evening.bot.keyClick(table, Key.Key_Down)  # the arrows look through the lines at once
    assert table.currentIndex().row() == 1


def test_a_quote_that_begins_with_its_usual_lines(evening: Evening) -> None:
    evening.press(evening.section.start.action)
    stands_at_the_top(evening)


def test_usual_lines_that_come_later(evening: Evening) -> None:
    evening.press(evening.section.start_bare)
    evening.section.lines.work.focus_first()
    evening.bot.keyClick(evening.section, Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    stands_at_the_top(evening)
