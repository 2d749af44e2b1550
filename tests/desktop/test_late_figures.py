"""Figures that arrive while somebody types move nothing, and are shown once the word is done."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.company_file import Company
from desktop.desk import Desk
from desktop.pages.margins import MarginsPage
from desktop.pages.margins.page import QUOTING
from desktop.record_shelf import shelf_of
from tests.desktop.test_track_record_pages import LEARNING, SAMPLE_DAY, sample

__all__ = ["sample"]


def test_a_record_learned_while_a_job_type_is_typed_moves_nothing(qtbot: QtBot, sample: Company) -> None:
    desk = Desk(sample, lambda: SAMPLE_DAY)
    page = MarginsPage(desk)
    qtbot.addWidget(page)
    page.resize(1280, 760)
    page.show()
    page.activateWindow()
    page.show_key(QUOTING)
    kind = page.quoting.over_time.kind
    word = kind._labels.stringList()[-1]
    kind.setFocus()
    kind.lineEdit().selectAll()
    qtbot.keyClicks(kind, word[:3])
    assert shelf_of(desk).learned is None, "still being read"
    QApplication.processEvents()
    stood = kind.mapTo(page, QPoint(0, 0))
    qtbot.waitUntil(lambda: shelf_of(desk).learned is not None, timeout=LEARNING)
    qtbot.wait(400)
    assert page.quoting._reading
    assert kind.mapTo(page, QPoint(0, 0)) == stood
    assert kind.hasFocus()
    qtbot.keyClicks(kind, word[3:])
    qtbot.keyClick(kind, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not page.quoting._reading)
    assert kind.value() == word
