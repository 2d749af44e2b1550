"""Slow work off the window's thread: told of its end and let go of in the window's thread, whatever becomes of it."""

from __future__ import annotations

import gc
import threading
import weakref
from typing import ClassVar

from PySide6.QtCore import QObject, QThreadPool
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from desktop.errands import Errand


class Page(QWidget):
    """Holds itself, so that only Python's search for what may go ends it; notes on which thread that was."""

    ended_on: ClassVar[list[int]] = []

    def __init__(self) -> None:
        super().__init__()
        self.itself = self
        weakref.finalize(self, lambda: Page.ended_on.append(threading.get_ident()))


def make_much() -> int:
    return len([{"number": number} for number in range(50_000)])


def test_the_end_is_told_in_the_windows_thread(qtbot: QtBot) -> None:
    owner, told = QObject(), list[object]()
    Errand(owner, make_much, lambda made: told.append((made, threading.get_ident())), told.append).begin()
    Errand(owner, lambda: 1 // 0, told.append, lambda error: told.append((type(error), threading.get_ident()))).begin()
    qtbot.waitUntil(lambda: len(told) == 2)
    assert set(told) == {(50_000, threading.get_ident()), (ZeroDivisionError, threading.get_ident())}
    qtbot.waitUntil(lambda: not owner.children())


def test_pages_thrown_away_meanwhile_end_in_the_windows_thread(qtbot: QtBot) -> None:
    Page.ended_on.clear()
    owner, told = QObject(), list[object]()
    for _ in range(10):
        page = Page()
        page.deleteLater()
        Errand(owner, make_much, lambda made, page=page: told.append(made), told.append).begin()
        del page
        assert not gc.isenabled()
    qtbot.waitUntil(lambda: len(told) == 10, timeout=20_000)
    qtbot.waitUntil(gc.isenabled)
    gc.collect()
    assert set(Page.ended_on) == {threading.get_ident()}


def test_an_owner_that_goes_first_is_not_told(qtbot: QtBot) -> None:
    owner, told = QObject(), list[object]()
    Errand(owner, make_much, told.append, told.append).begin()
    QThreadPool.globalInstance().waitForDone()
    del owner
    qtbot.waitUntil(gc.isenabled)
    assert told == []
