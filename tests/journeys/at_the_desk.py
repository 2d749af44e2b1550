"""A person at the window: keys go where the focus is, clicks only to what can be seen, words are read as shown."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtGui import QInputMethodEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QComboBox,
    QFileDialog,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from desktop.desk import Desk
from desktop.local_settings import LocalSettings
from desktop.look.theme import apply_theme
from desktop.widgets.notices import Toast
from desktop.widgets.table import RowsTable
from desktop.window import Window

Key = Qt.Key
NONE_HELD = Qt.KeyboardModifier.NoModifier
CTRL, ALT, SHIFT = (
    Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier,
)  # fmt: skip

quiet_qt = [
    pytest.mark.qt_log_level_fail("WARNING"),
    pytest.mark.qt_log_ignore("This plugin does not support"),  # what a window without a screen cannot do
]
"""Marks for a module: any warning of Qt fails the test."""


class Person:
    """Someone with a keyboard, a mouse and eyes. `keys` counts every key pressed; held keys do not count."""

    def __init__(self, qtbot: QtBot, settings_folder: Path) -> None:
        self.bot, self.folder = qtbot, settings_folder
        self.keys = 0
        self.window = self._open_window()

    def _open_window(self) -> Window:
        settings = LocalSettings(self.folder)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        apply_theme(app, settings.appearance)  # type: ignore[arg-type]
        window = Window(settings)
        with self.bot.waitExposed(window):
            window.show()
        window.activateWindow()
        self.bot.waitUntil(window.isActiveWindow)
        return window

    # The program.

    def open(self, path: Path) -> None:
        """Open a company file."""
        self.window.open_file(path)
        self.settle()

    def leave(self) -> None:
        """Close the program."""
        self.window.close()
        self.window.let_go()
        self.window.deleteLater()
        self.settle()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def start_again(self) -> None:
        """Start the program anew with the settings it left: the last company opens."""
        self.window = self._open_window()
        self.open(self.window.settings.recent[0])

    @property
    def desk(self) -> Desk:
        """The open company's desk."""
        assert self.window.desk is not None
        return self.window.desk

    @property
    def company(self) -> Company:
        """The open company."""
        assert self.window.company is not None
        return self.window.company

    def company_hours(self) -> list[int]:
        """Ids of all hour entries of the open company."""
        with self.desk.read() as conn:
            return list(conn.exec_driver_sql("SELECT id FROM hours_entry").scalars())

    @property
    def place(self) -> str:
        """The place that is marked in the window's head."""
        marked = [one.text() for one in self.window.masthead.findChildren(QAbstractButton) if one.isChecked()]
        return marked[0] if self.window.masthead.isVisible() else ""

    @property
    def page(self) -> Any:
        """The page that is shown."""
        return self.window.stack.currentWidget()

    @property
    def section(self) -> Any:
        """The section of the job that is shown."""
        return self.page.job.stack.currentWidget()

    def settle(self) -> None:
        """Let everything that was asked for happen."""
        for _ in range(3):
            QApplication.processEvents()
        if QApplication.activePopupWidget() is None and QApplication.activeWindow() is None:
            self.window.activateWindow()  # without a screen, a list that has closed keeps the window's place
            QApplication.processEvents()

    # Keys.

    @property
    def focus(self) -> QWidget:
        """The widget that gets the next key."""
        found = QApplication.focusWidget()
        assert found is not None, "nothing has the focus"
        return found

    @property
    def here(self) -> str:
        """What is read out of the place where the next key goes: its name."""
        return self.focus.accessibleName()

    def press(self, *keys: Qt.Key, held: Qt.KeyboardModifier = NONE_HELD) -> None:
        """Press keys one after the other."""
        for key in keys:
            self._send(key, held)

    def _send(self, key: Qt.Key | str, held: Qt.KeyboardModifier = NONE_HELD) -> None:
        self.keys += 1
        target = QApplication.activePopupWidget() or QApplication.focusWidget() or self.window
        if isinstance(key, str) and not key.isascii():
            QApplication.sendEvent(target, _composed(key))
        else:
            QTest.keyClick(target, key, held)
        self.settle()

    def type(self, text: str, *then: Qt.Key) -> None:
        """Type a text where the cursor is, then press keys."""
        for letter in text:
            self._send(letter)
        self.press(*then)

    def ctrl(self, key: Qt.Key, held: Qt.KeyboardModifier = NONE_HELD) -> None:
        """Press a key with Ctrl, and more held if given."""
        self.press(key, held=CTRL | held)

    def alt(self, key: Qt.Key) -> None:
        """Press a key with Alt."""
        self.press(key, held=ALT)

    def to_section(self, title: str) -> None:
        """Go to a section of the job with its key: Alt and its place in the strip."""
        titles = [plain(one.text()) for one in self.page.job.strip.findChildren(QAbstractButton)]
        self.alt(Key(Key.Key_1 + titles.index(title)))
        assert self.button(f"Section: {title}").isChecked()

    def open_facts(self) -> None:
        """Open the facts of the job with their key: Alt+0, behind however many sections there are."""
        self.alt(Key.Key_0)
        assert self.sees("Facts of the job")

    def tab_to(self, name: str, most: int = 40) -> QWidget:
        """Press Tab until the cursor is at the thing of this name."""
        for _ in range(most):
            if self.here == name:
                return self.focus
            self.press(Key.Key_Tab)
        raise AssertionError(f"{most} times Tab and not at {name!r}; now at {self.here!r}")

    # Eyes.

    def visible(self, kind: type[QWidget] = QWidget) -> Iterable[Any]:
        """Widgets of a kind that are shown, in the dialogue that is open or else in the window."""
        top = QApplication.activeModalWidget() or self.window
        return [widget for widget in top.findChildren(kind) if widget.isVisible()]

    def words(self) -> str:
        """All words of labels, fields, pills and buttons on the screen."""
        parts: list[str] = []
        for widget in self.visible():
            for name in ("text", "toPlainText", "currentText"):
                if callable(read := getattr(widget, name, None)):
                    parts.append(plain(read()) if isinstance(widget, QAbstractButton) else str(read()))
                    break
        return "\n".join(part for part in parts if part)

    def sees(self, *words: str) -> bool:
        """True when all these words stand on the screen."""
        shown = self.words()
        return all(one in shown for one in words)

    def field(self, name: str) -> Any:
        """The one field or table on the screen with this name."""
        kinds = (QLineEdit, QPlainTextEdit, QComboBox, QAbstractScrollArea)
        found = [
            one for one in self.visible()
            if isinstance(one, kinds) and not isinstance(one, QScrollArea) and one.accessibleName() == name
            and not isinstance(one.parent(), QComboBox)
        ]  # fmt: skip
        assert len(found) == 1, f"{len(found)} fields named {name!r}"
        return found[0]

    def button(self, words: str) -> QAbstractButton:
        """The one button, tick or segment on the screen with these words or this name."""
        shown = list(self.visible(QAbstractButton))
        named = [one for one in shown if words in (plain(one.text()), one.accessibleName())]
        assert len(named) == 1, f"{len(named)} buttons {words!r} among {[plain(one.text()) for one in shown]}"
        return named[0]  # type: ignore[no-any-return]

    def table(self, name: str) -> RowsTable:
        """The one table on the screen with this name."""
        found = self.field(name)
        assert isinstance(found, RowsTable)
        return found

    def cell(self, table: str, row: str, column: str) -> str:
        """A cell of a table: `row` is the beginning of the row's first words, `column` the key of the column."""
        model = self.table(table).rows_model()
        rows = [one for one in model.rows if model.text(one, model.columns[0].key).startswith(row)]
        assert rows, f"no row {row!r}"
        return model.text(rows[0], column)

    # Hands.

    def click(self, what: str | QWidget) -> None:
        """Click something that can be seen, scrolling to it when it is out of sight."""
        widget = self.button(what) if isinstance(what, str) else what
        widget = widget.viewport() if isinstance(widget, QAbstractScrollArea) else widget
        assert widget.isEnabled(), f"{what!r} is grayed out"
        self._bring_in_sight(widget)
        spot = QPoint(min(12, widget.width() // 2), widget.height() // 2)
        at = self._front(widget, spot)
        for toast in [one for one in (at, at.parent()) if isinstance(one, Toast)]:
            toast.hide()  # as anybody would send away a word that lies over what is wanted
            at = self._front(widget, spot)
        assert at is widget or widget.isAncestorOf(at), f"{what!r} lies behind {at!r}"
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton, NONE_HELD, spot)
        self.settle()

    def fill(self, name: str, text: str, *then: Qt.Key) -> None:
        """Click into a field, type over what stands there, and press keys."""
        field = self.field(name)
        self.click(field.lineEdit() if isinstance(field, QComboBox) else field)
        self.ctrl(Key.Key_A)
        self.type(text, *then)

    def _bring_in_sight(self, widget: QWidget) -> None:
        area = widget.parent()
        while area is not None and not isinstance(area, QScrollArea):
            area = area.parent()
        for _ in range(5 if isinstance(area, QScrollArea) else 0):  # a long page takes a few turns to find its height
            middle = widget.mapTo(area.widget(), widget.rect().center())
            area.ensureVisible(middle.x(), middle.y(), 30, 30)
            self.settle()
            if widget.visibleRegion().contains(widget.rect().center()):
                break

    def _front(self, widget: QWidget, spot: QPoint) -> QWidget:
        top = widget.window()
        found = top.childAt(widget.mapTo(top, spot))
        return found if found is not None else top

    def picture(self, path: Path) -> None:
        """Draw the window, or the dialogue that is open, to a file, for looking at it."""
        self.settle()
        (QApplication.activeModalWidget() or self.window).grab().save(str(path))


class FileDialogs:
    """Answers for the system's file dialogues; what they proposed is kept in `proposed`."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.answer: Path | None = None
        self.proposed: list[str] = []
        for name in ("getSaveFileName", "getOpenFileName"):
            monkeypatch.setattr(QFileDialog, name, self._choose)

    def _choose(self, _parent: Any, _title: str, proposed: str = "", *_more: Any) -> tuple[str, str]:
        self.proposed.append(proposed)
        return (str(self.answer) if self.answer else ""), ""


def plain(text: str) -> str:
    """A button's text as it is shown."""
    return text.replace("&&", "&")


def _composed(letter: str) -> QInputMethodEvent:
    """A letter that takes more than one key comes from the keyboard as text."""
    event = QInputMethodEvent()
    event.setCommitString(letter)
    return event
