"""Report a problem: all that would be handed over is shown first, can be changed, and goes nowhere by itself."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox
from pytestqt.qtbot import QtBot

from desktop import log_file
from desktop.fault_report import write_report
from desktop.problem_dialog import ProblemDialog
from desktop.problem_summary import problem_summary


def test_it_holds_versions_the_newest_reports_and_the_end_of_the_log(qtbot: QtBot, tmp_path: Path) -> None:
    firm = tmp_path / "Heron Hill.riserbook"
    names = [report.name for n in range(5) if (report := write_report(ZeroDivisionError(f"no. {n}"), firm))]
    log_file.begin("window")
    log_file.note_opened(firm, 0.1)
    log_file.write_down()
    log_file.stop()
    said = problem_summary(firm)
    assert [name in said for name in names] == [False, False, True, True, True]
    for words in ("SQLite", "Qt 6", "opened Heron Hill.riserbook", "ZeroDivisionError"):
        assert words in said
    assert str(tmp_path) not in said
    assert "no. 4" not in said


def test_what_is_copied_and_saved_is_what_is_shown_with_the_owners_words(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = ProblemDialog(problem_summary(None))
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.text.setFocus()
    QTest.keyClicks(dialog.text, "The quote would not print.")
    shown = dialog.text.toPlainText()
    assert shown.splitlines()[1] == "The quote would not print."
    QTest.mouseClick(dialog.copy_button, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == shown
    dialog.save(tmp_path / "problem.txt")
    assert (tmp_path / "problem.txt").read_text("utf-8") == shown
    if os.name == "posix":
        assert (tmp_path / "problem.txt").stat().st_mode & 0o077 == 0
    assert "problem.txt" in dialog.said.text()


def test_a_folder_that_takes_no_file_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    dialog = ProblemDialog("words")
    qtbot.addWidget(dialog)
    dialog.save(tmp_path / "nowhere" / "problem.txt")
    assert "Choose another folder" in dialog.said.text()


@pytest.mark.parametrize("kept", [True, False])
def test_a_home_that_cannot_be_written_is_told_in_the_window(qtbot: QtBot, own_home: Path, kept: bool) -> None:
    from desktop.app import _tell_what_is_not_kept
    from desktop.local_settings import LocalSettings
    from desktop.window import Window

    if not kept:
        (own_home / "config").write_text("a file where the folder was to be", "utf-8")
    window = Window(LocalSettings())
    qtbot.addWidget(window)
    _tell_what_is_not_kept(window)
    said = window.welcome.problem.text()
    assert (said == "") is kept
    if not kept:
        assert "cannot be written" in said
        window.settings.appearance = "dark"  # and nothing stops for it
        assert window.settings.appearance == "dark"


def test_an_error_while_a_firm_is_open_is_reported_beside_it_and_the_window_lives_on(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    from desktop import trouble
    from desktop.local_settings import LocalSettings
    from desktop.window import Window

    firm = tmp_path / "Heron Hill.riserbook"
    window = Window(LocalSettings(tmp_path / "settings"))
    qtbot.addWidget(window)
    window.show()
    assert window.file_to_report_beside() is None
    window.create_file(firm, "Heron Hill Radon", "")
    for hooks, name in ((sys, "excepthook"), (sys, "unraisablehook"), (trouble.threading, "excepthook")):
        monkeypatch.setattr(hooks, name, getattr(hooks, name))
    trouble.catch_everything(window.show_trouble, window.file_to_report_beside)
    try:
        int("Petronella".lower())
    except ValueError as error:
        sys.excepthook(type(error), error, error.__traceback__)
    (report,) = (tmp_path / "Heron Hill reports").iterdir()
    box = window.findChild(QMessageBox)
    assert box is not None
    assert report.name in box.informativeText()
    QTest.keyClick(box, Qt.Key.Key_Escape)
    window.go("jobs")
    assert window.company is not None
    with window.company.read():
        pass
    window.let_go()
