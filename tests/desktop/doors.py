"""Whatever opens something when it is pressed, found by walking the window: the doors of `test_every_cell`."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QFileDialog, QInputDialog

from desktop.window import Window
from tests.desktop import every_cell as hand

_LEAVES_THE_PLACE = re.compile(
    r"(?i)\b(firm menu|find|tonight|customers|jobs|margins|dismiss|section|back|print|pdf|save|export|restore|"
    r"back up|choose|open the job|send|sent|mark|issue|delete|remove|archive|close|merge$|keep|undo|redo|void|"
    r"hand over|timer|start|stop|photo|logo|file|folder|picture|calendar|write|accept|declin|call off|take|price it|"
    r"usual lines|report|workbook|csv|copy|previous|next|up|down)\b"
)
"""What goes elsewhere, asks the system for a file, or ends something; what it opens has a stop of its own."""


def answer_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system asks is called off at once: those windows wait for a person and are not the program's own."""
    for name in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, name, lambda *_, **__: ("", ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_, **__: ([], ""))
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_, **__: "")
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("", False))


def _name(button: QAbstractButton) -> str:
    return (button.accessibleName() or button.text()).replace("&", "")


def _seen(window: Window) -> list[QAbstractButton]:
    page = window.stack.currentWidget()
    found = [one for one in page.findChildren(QAbstractButton) if one.isVisible() and one.isEnabled()]
    return [one for one in found if _name(one) and not _LEAVES_THE_PLACE.search(_name(one))]


def doors_on(window: Window) -> list[str]:
    """The names of all that may open something here."""
    return list(dict.fromkeys(_name(one) for one in _seen(window)))


def press(window: Window, words: str) -> bool:
    """Press it; False when it is gone."""
    button = next((one for one in _seen(window) if _name(one) == words), None)
    if button is None:
        return False
    print(f"  presses {words}", flush=True)  # where a walk stands that does not go on
    hand.bring_in_sight(button)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(button.width() // 2, button.height() // 2))
    hand.settle()
    if (popup := QApplication.activePopupWidget()) is not None:
        popup.close()
    return True


def shut(window: Window) -> None:
    """Leave what was opened over the window."""
    for dialog in window.findChildren(QDialog):
        if dialog.isVisible():
            dialog.reject()
    hand.press(hand.Key.Key_Escape)
    hand.settle()
