"""A part of a page that has no place yet never flashes up as a window of its own."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from desktop.widgets.cards import Card, EmptyPage, Figure, Notice, PageHead, StatePill


class _Shown(QObject):
    def __init__(self) -> None:
        super().__init__()
        self.windows: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.windows.append(type(watched).__name__)
        return False


def _notice_later() -> QWidget:
    notice = Notice()
    notice.set_words("info", "Something to say")
    return notice


PARTS = {
    "card": lambda: Card("Title", "note"),
    "card without a title": Card,
    "head": lambda: PageHead("Title", "and a line beneath"),
    "notice": lambda: Notice("info", "Something to say", ("Do it", lambda: None)),
    "notice with words later": _notice_later,
    "pill": lambda: StatePill("paid", "good"),
    "figure": lambda: Figure("Hours", "3 h", "of 4 h"),
    "empty page": lambda: EmptyPage("Nothing yet", "Begin here.", "Begin", lambda: None),
}


@pytest.mark.parametrize("name", PARTS)
def test_a_part_waits_for_its_place(qtbot, name):
    watch = _Shown()
    QApplication.instance().installEventFilter(watch)
    part = PARTS[name]()
    QApplication.instance().removeEventFilter(watch)
    assert watch.windows == []
    page = QWidget()
    qtbot.addWidget(page)
    QVBoxLayout(page).addWidget(part)
    page.show()
    assert part.isVisible()


def test_words_taken_away_before_the_place_was_found_stay_away(qtbot):
    notice = Notice("info", "Something to say")
    notice.set_words("info", "")
    page = QWidget()
    qtbot.addWidget(page)
    QVBoxLayout(page).addWidget(notice)
    page.show()
    assert not notice.isVisible()
    notice.set_words("info", "Again")
    assert notice.isVisible()
