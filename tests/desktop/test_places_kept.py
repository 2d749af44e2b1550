"""Undo and redo leave the page where it was; words at the foot cover nothing of it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.queries.tour import telling_jobs
from desktop.desk import JOBS
from desktop.local_settings import LocalSettings
from desktop.pages.job_sections.quote import QuoteSection
from desktop.window import Window

Key, CONTROL = Qt.Key, Qt.KeyboardModifier.ControlModifier


def test_undo_in_a_quote_keeps_the_place_and_words_at_the_foot_cover_nothing(
    qtbot: QtBot, sample_file: Path, tmp_path: Path
) -> None:
    window = Window(LocalSettings(tmp_path / "settings"))
    qtbot.addWidget(window)
    window.resize(1024, 700)
    window.show()
    window.open_file(sample_file)
    assert window.desk is not None
    with window.desk.read() as conn:
        draft = telling_jobs(conn).draft
    window.go(JOBS, draft, "quote")
    qtbot.wait(2500)  # what finished jobs say has come
    section = window.findChild(QuoteSection)
    assert section is not None
    table, bar = section.lines.work.table, section.lines._area.verticalScrollBar()
    rows = len(section.lines.work.model.rows)
    table.setFocus()
    table.select_id(section.lines.work.model.id_at(rows - 3))
    qtbot.wait(100)
    before = bar.value()
    assert before > 200

    qtbot.keyClick(table, Key.Key_Delete)
    qtbot.waitUntil(lambda: len(section.lines.work.model.rows) == rows - 1)
    assert window.toast.isVisible()
    assert window.toast.geometry().top() >= window.stack.geometry().bottom() - 1, "it covers nothing of the page"
    qtbot.keyClick(QApplication.focusWidget() or window, Key.Key_Z, CONTROL)
    qtbot.waitUntil(lambda: len(section.lines.work.model.rows) == rows)
    qtbot.wait(100)
    assert abs(bar.value() - before) < 32, "less than a row: the one beneath is brought wholly into sight"
    assert table.currentIndex().row() in (rows - 3, rows - 2)
    window.let_go()
