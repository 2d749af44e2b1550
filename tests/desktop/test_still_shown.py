"""A field that says which data stands below tells what is still shown while its own words cannot be read."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from desktop.widgets.choice_field import ChoiceField
from desktop.widgets.date_field import DateField
from desktop.widgets.half import only_asks

DAY = date(2026, 11, 12)


@pytest.mark.parametrize(
    ("field", "value", "shown"),
    [
        (lambda: DateField(lambda: DAY, required=True), DAY, "Thu, Nov 12, 2026"),
        (lambda: ChoiceField([(2026, "2026"), (2025, "2025")], required=True), 2026, "2026"),
    ],
)
def test_what_is_still_shown_is_told_until_the_words_are_right_again(
    qtbot: QtBot, field: object, value: object, shown: str
) -> None:
    page, made = QWidget(), field()  # type: ignore[operator]
    only_asks(made)
    column = QVBoxLayout(page)
    column.addWidget(made)
    column.addStretch(1)
    qtbot.addWidget(page)
    page.resize(500, 200)
    made.set_value(value)
    page.show()
    line = made.lineEdit() if hasattr(made, "lineEdit") else made
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "zzz")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert made.still_shown.text().endswith(f"Shown is still {shown}.")
    assert made.still_shown.isVisible()
    made.hide()
    assert not made.still_shown.isVisible(), "it goes with its field"
    made.show()
    assert made.still_shown.isVisible()
    QTest.keyClick(made, Qt.Key.Key_Escape)
    assert not made.still_shown.isVisible()
    assert line.text() == shown
