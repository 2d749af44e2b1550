"""A walk of clicks and keys over the whole window, by chance but the same again for the same seed.

Like a child at the desk: whatever can be seen is clicked, whatever takes keys is typed into. Nothing that happens may
end in an error nobody expected; afterwards the file is in order and the books tie.
"""

from __future__ import annotations

import random
import sys
import time
import traceback
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

import pytest
import shiboken6
from PySide6.QtCore import QPoint, QPointF, QRect, Qt, QTimer
from PySide6.QtGui import QDesktopServices, QKeyEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMenu,
    QMessageBox,
    QPlainTextEdit,
    QWidget,
)

from desktop.local_settings import LocalSettings
from desktop.window import Window

Key = Qt.Key
NONE, CTRL, ALT, SHIFT = (
    Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ShiftModifier,
)  # fmt: skip

WORDS = (
    "6h30", "2", "1h", "8:15-2:45", "12.5", "$1,250", "-3", "0", "999999999", "1e9", "3/14", "tomorrow", "+3", "-9999",
    "2/30", "12'6\"", "elec", "membr", "mi", "A & B", "<b>x</b>", "=1+1", "pipe 12 ft up", "down 3, elbow, 4 right",
    "100%", "4 pCi/L", "ž’ø", "a" * 300, " ", "\u202e", "26-014", "?", "x x x",
)  # fmt: skip
KEYS: tuple[tuple[Qt.Key, Qt.KeyboardModifier], ...] = (
    *((key, NONE) for key in (
        Key.Key_Tab, Key.Key_Tab, Key.Key_Return, Key.Key_Return, Key.Key_Escape, Key.Key_Up, Key.Key_Down,
        Key.Key_Left, Key.Key_Right, Key.Key_F2, Key.Key_F4, Key.Key_Delete, Key.Key_Backspace, Key.Key_Insert,
        Key.Key_Home, Key.Key_End, Key.Key_PageUp, Key.Key_PageDown, Key.Key_Space, Key.Key_A, Key.Key_F10, Key.Key_F11,
    )),
    (Key.Key_Backtab, SHIFT),
    (Key.Key_Z, CTRL), (Key.Key_Z, CTRL), (Key.Key_Z, CTRL | SHIFT), (Key.Key_Y, CTRL), (Key.Key_K, CTRL),
    (Key.Key_Down, ALT),
    *((getattr(Key, f"Key_{letter}"), CTRL) for letter in "NDTULPRBI"),
    *((getattr(Key, f"Key_{number}"), CTRL) for number in range(1, 6)),
    *((getattr(Key, f"Key_{number}"), ALT) for number in range(8)),
    (Key.Key_B, ALT), (Key.Key_T, CTRL | SHIFT), (Key.Key_O, CTRL | SHIFT), (Key.Key_PageUp, CTRL),
    (Key.Key_PageDown, CTRL),
)  # fmt: skip
LEAVING = ("Leave Riserbook",)
POPUP_MS = 15


class Walk:
    """One walk; `errors` has what was raised, `steps` how many steps were made."""

    def __init__(self, window: Window, path: Path, seed: int) -> None:
        self.window, self.path, self.chance = window, path, random.Random(seed)
        self.steps = 0
        self.last: deque[str] = deque(maxlen=14)
        self.errors: list[str] = []
        self._closer = QTimer()
        self._closer.timeout.connect(self._in_popup)

    def go(self, steps: int, seconds: float) -> None:
        """Walk so many steps, or so long."""
        begun = time.monotonic()
        with no_way_out(), self._noting_errors():
            self._closer.start(POPUP_MS)
            while self.steps < steps and time.monotonic() - begun < seconds and len(self.errors) < 20:
                self.steps += 1
                self._step()
            self._closer.stop()
            self._settle()

    def _settle(self) -> None:
        for _ in range(2):
            QApplication.processEvents()

    def _step(self) -> None:
        if self.window.company is None:
            self.window.open_file(self.path)
        if not self.window.isVisible():
            self.window.show()
        if QApplication.activeWindow() is None:
            self.window.activateWindow()
        kind = self.chance.choices(
            (self._click, self._type, self._press, self._wheel, self._double), (45, 18, 30, 4, 8)
        )[0]
        kind()
        QApplication.processEvents()

    # What is done. Each notes itself first, so that an error tells after what it came.

    def _note(self, words: str) -> None:
        self.last.append(f"{self.steps}: {words}")

    def _root(self) -> QWidget:
        """Where a click can go: an open dialogue lies over the rest."""
        modal = QApplication.activeModalWidget()
        open_ones = [one for one in QApplication.topLevelWidgets() if isinstance(one, QDialog) and one.isVisible()]
        return modal or next(iter(open_ones), self.window)

    def _seen(self, kinds: tuple[type[QWidget], ...]) -> QWidget | None:
        root = self._root()
        seen = [
            one for one in root.findChildren(QWidget)
            if isinstance(one, kinds) and one.isVisible() and one.isEnabled() and not one.visibleRegion().isEmpty()
        ]  # fmt: skip
        return self.chance.choice(seen) if seen else None

    def _point(self, one: QWidget) -> QPoint:
        rect: QRect = one.visibleRegion().boundingRect()
        return QPoint(
            rect.left() + self.chance.randrange(max(rect.width(), 1)),
            rect.top() + self.chance.randrange(max(rect.height(), 1)),
        )

    def _click(self) -> None:
        kinds: tuple[type[QWidget], ...] = self.chance.choice(
            ((QAbstractButton,), (QAbstractButton,), (QLineEdit, QPlainTextEdit), (QAbstractItemView,), (QWidget,))
        )
        one = self._seen(kinds)
        if one is None:
            return
        target = one.viewport() if isinstance(one, QAbstractItemView) else one
        at = self._point(target)
        self._note(f"click {named(one)} at {at.x()}, {at.y()}")
        _click_at(target, at)

    def _double(self) -> None:
        one = self._seen((QAbstractItemView,))
        if isinstance(one, QAbstractItemView):
            at = self._point(one.viewport())
            self._note(f"double click {named(one)} at {at.x()}, {at.y()}")
            _click_at(one.viewport(), at)
            if shiboken6.isValid(one) and one.isVisible():
                QTest.mouseDClick(one.viewport(), Qt.MouseButton.LeftButton, NONE, at)

    def _target(self) -> QWidget:
        return QApplication.activePopupWidget() or QApplication.focusWidget() or self._root()

    def _type(self) -> None:
        words, target = self.chance.choice(WORDS), self._target()
        self._note(f"type {words[:20]!r} into {named(target)}")
        for letter in words[:40]:
            target = self._target()
            if letter.isascii():
                QTest.keyClick(target, letter)  # type: ignore[call-overload]
            else:
                QApplication.sendEvent(target, QKeyEvent(QKeyEvent.Type.KeyPress, 0, NONE, letter))
        if self.chance.random() < 0.7:
            end = self.chance.choice((Key.Key_Return, Key.Key_Tab, Key.Key_Escape))
            QTest.keyClick(self._target(), end)

    def _press(self) -> None:
        key, held = self.chance.choice(KEYS)
        target = self._target()
        self._note(f"press {key.name} {held.name} in {named(target)}")
        QTest.keyClick(target, key, held)

    def _wheel(self) -> None:
        one = self._seen((QWidget,))
        if one is None:
            return
        self._note(f"wheel over {named(one)}")
        at = QPointF(self._point(one))
        turn = QPoint(0, self.chance.choice((-240, 240)))
        event = QWheelEvent(
            at, QPointF(one.mapToGlobal(at.toPoint())), QPoint(), turn, Qt.MouseButton.NoButton, NONE,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(one, event)

    def _in_popup(self) -> None:
        """A menu or list that waits for an answer gets one; so no step waits for ever."""
        popup = QApplication.activePopupWidget()
        if popup is None:
            return
        self._note(f"in {named(popup)}")
        if isinstance(popup, QMenu):
            chosen = popup.activeAction()
            leaving = chosen is not None and chosen.text() in LEAVING
            keys = (Key.Key_Down, Key.Key_Up, Key.Key_Right, Key.Key_Left, Key.Key_Escape)
            keys = keys if leaving else (*keys, Key.Key_Return)
        else:
            keys = (Key.Key_Down, Key.Key_Up, Key.Key_PageDown, Key.Key_PageUp, Key.Key_Escape, Key.Key_Return)
        QTest.keyClick(popup, self.chance.choice(keys))

    # What went wrong.

    @contextmanager
    def _noting_errors(self) -> Iterator[None]:
        before = sys.excepthook

        def note(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
            told = "".join(traceback.format_exception(kind, error, trace))
            self.errors.append(f"{told}after\n  " + "\n  ".join(self.last))

        sys.excepthook = note
        try:
            yield
        finally:
            sys.excepthook = before


def _click_at(target: QWidget, at: QPoint) -> None:
    """Press and let go; what the press took away, the button is not let go over."""
    QTest.mousePress(target, Qt.MouseButton.LeftButton, NONE, at)
    if shiboken6.isValid(target):
        QTest.mouseRelease(target, Qt.MouseButton.LeftButton, NONE, at)


def named(one: QWidget) -> str:
    """A widget as a person would find it again."""
    words = one.accessibleName() or one.objectName() or (one.text() if isinstance(one, QAbstractButton) else "")
    return f"{type(one).__name__} “{' '.join(words.split())[:40]}”"


@contextmanager
def no_way_out() -> Iterator[None]:
    """No dialogue of the system, nothing outside the window: they would wait for a person."""

    def answer(result: Any) -> Callable[..., Any]:
        return lambda *_args, **_named: result

    with pytest.MonkeyPatch.context() as patch:
        for name in ("getSaveFileName", "getOpenFileName"):
            patch.setattr(QFileDialog, name, answer(("", "")))
        patch.setattr(QFileDialog, "getExistingDirectory", answer(""))
        patch.setattr(QFileDialog, "getOpenFileNames", answer(([], "")))
        for name in ("information", "about", "warning", "critical"):
            patch.setattr(QMessageBox, name, answer(QMessageBox.StandardButton.Ok))
        patch.setattr(QMessageBox, "question", answer(QMessageBox.StandardButton.No))
        patch.setattr(QDesktopServices, "openUrl", answer(True))
        yield


def begin(path: Path, settings: Path) -> Window:
    """The window with this company, as the program opens it."""
    window = Window(LocalSettings(settings))
    window.open_file(path)
    window.show()
    window.activateWindow()
    QApplication.processEvents()
    return window
