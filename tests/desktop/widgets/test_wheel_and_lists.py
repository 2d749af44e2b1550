"""A list opens by a click anywhere on it; the wheel changes no value and is never kept by a field."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from desktop.widgets.form import (
    ChoiceField,
    DateField,
    DurationField,
    Form,
    MoneyField,
    NotesField,
    PercentField,
    QuantityField,
    RadonField,
    SwitchField,
    TextField,
)
from desktop.widgets.word_list import WordList

MAKERS = (
    lambda: ChoiceField([(1, "one"), (2, "two")]), DateField, DurationField, MoneyField, NotesField, PercentField,
    QuantityField, RadonField, SwitchField, TextField,
)  # fmt: skip


def shown(qtbot, widget: QWidget) -> QWidget:
    window = QWidget()
    widget.held_by = window  # or it would go with the end of this function
    QVBoxLayout(window).addWidget(widget)
    qtbot.addWidget(window)
    window.resize(500, 300)
    window.show()
    qtbot.waitExposed(window)
    window.activateWindow()
    QApplication.processEvents()
    return window


def turn(widget: QWidget, steps: int = -120) -> bool:
    """Turn the wheel over a widget; True when the widget kept it for itself."""
    event = QWheelEvent(
        QPointF(5, 5), widget.mapToGlobal(QPointF(5, 5)), QPoint(), QPoint(0, steps), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(widget.viewport() if isinstance(widget, NotesField) else widget, event)
    return event.isAccepted()


@pytest.mark.parametrize("make", MAKERS)
def test_the_wheel_changes_nothing_and_goes_on_to_the_page(qtbot, make) -> None:
    field = make()
    shown(qtbot, field)
    before = field.value()
    for focused in (False, True):
        if focused:
            field.setFocus()
        for steps in (-120, 120):
            assert not turn(field, steps)
            assert field.value() == before


def test_a_long_note_scrolls_only_while_one_types_in_it_and_then_lets_go(qtbot) -> None:
    notes = NotesField()
    notes.reset("\n".join(str(n) for n in range(40)))
    other = TextField()
    window = shown(qtbot, notes)
    window.layout().addWidget(other)
    QApplication.processEvents()
    other.setFocus()
    assert not turn(notes)
    notes.setFocus()
    assert turn(notes) or notes.verticalScrollBar().maximum() == 0
    notes.verticalScrollBar().setValue(notes.verticalScrollBar().maximum())
    assert not turn(notes)


def test_a_click_on_the_words_opens_the_list_and_typing_goes_on(qtbot) -> None:
    field = ChoiceField([(1, "Subcontractor"), (2, "Travel"), (3, "Permit")])
    shown(qtbot, field)
    QTest.mouseClick(field.lineEdit(), Qt.MouseButton.LeftButton, pos=QPoint(20, 8))
    words = field.lineEdit().findChild(WordList)
    assert words.is_open
    assert words.view.model().rowCount() == 3
    QTest.keyClicks(field, "tra")
    assert field.lineEdit().text() == "tra"
    assert words.view.model().index(0, 0).data() == "Travel"
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.value() == 2


def test_ten_thousand_letters_are_not_repeated(qtbot) -> None:
    field = ChoiceField([(1, "one")])
    shown(qtbot, field)
    field.retype("x" * 10_000)
    assert 0 < len(field.problem()) < 120


def test_what_is_wrong_with_a_field_moves_nothing(qtbot) -> None:
    form = Form()
    first, second = form.add("Amount", MoneyField()), form.add("Percent", PercentField())
    shown(qtbot, form)
    before = (second.geometry(), form.sizeHint().height())
    first.setFocus()
    QTest.keyClicks(first, "zzz")
    QTest.keyClick(first, Qt.Key.Key_Tab)
    QApplication.processEvents()
    assert form.error_of(first)
    assert (second.geometry(), form.sizeHint().height()) == before
