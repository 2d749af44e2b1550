"""Starts the Qt program: theme, safety net, the right company, the window."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QMessageLogContext, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from desktop import log_file, terminal, trouble
from desktop.half_told import keep_what_is_typed
from desktop.local_settings import LocalSettings
from desktop.look.theme import apply_theme
from desktop.own_folders import room_for_caches
from desktop.polite_end import close_when_asked

if TYPE_CHECKING:
    from desktop.window import Window


def make_application() -> QApplication:
    """The one QApplication, named and themed as this computer remembers."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))  # as our own forms are
    app.setApplicationName("Riserbook")
    app.setOrganizationName("riserbook")
    app.setDesktopFileName("riserbook")
    return app


def run(
    *,
    company: Path | None = None,
    sample: bool = False,
    tour: Path | None = None,
    quit_when_shown: bool = False,
) -> int:
    """Open the window and run until it is closed; returns the exit status."""
    with room_for_caches():
        return _run(company, sample, tour, quit_when_shown)


def _run(company: Path | None, sample: bool, tour: Path | None, quit_when_shown: bool) -> int:
    qInstallMessageHandler(_hear_qt)
    app = make_application()
    if tour is not None:
        return _draw(app, tour)
    settings = LocalSettings()
    apply_theme(app, settings.appearance)  # type: ignore[arg-type]
    from desktop.window import Window

    window = Window(settings)
    trouble.catch_everything(window.show_trouble, window.file_to_report_beside)
    window.painted.connect(log_file.write_down)
    opened = True
    try:
        opened = _open_first(window, company, sample)
        stopped = close_when_asked(window)
        app.commitDataRequest.connect(lambda _session: keep_what_is_typed(window))
        window.show()
        _tell_what_is_not_kept(window)
        if quit_when_shown:
            window.painted.connect(lambda: QTimer.singleShot(0, window.close))
            if window.company is None:
                QTimer.singleShot(0, window.close)
        status = app.exec()
    finally:
        window.let_go()
    if quit_when_shown and not opened:
        return 1
    return stopped() or status


def _draw(app: QApplication, folder: Path) -> int:
    """The tour; an error in a page that is drawn is told on the terminal, and counts."""
    from desktop.tour import draw_tour

    faults: list[Path | None] = []
    trouble.catch_everything(faults.append)
    status = draw_tour(app, folder)
    if faults:
        where = f" The first report is in {faults[0]}." if faults[0] else ""
        terminal.complain(f"{len(faults)} of the pages could not be drawn as they should be.{where}")
    return 1 if faults else status


def _open_first(window: Window, company: Path | None, sample: bool) -> bool:
    """Open what was asked for, or the last one; False when that which was asked for could not be opened.

    The window stands in any case, with a word on why: here nobody would see an error that goes elsewhere.
    """
    from desktop.cli_answers import why

    try:
        if sample:
            window.open_sample()
        elif company is not None:
            window.open_file(company)
        elif window.settings.recent:
            window.open_file(window.settings.recent[0])
    except Exception as error:
        window.tell_at_start(why(error, company), "error")
    if window.company is not None or not (sample or company is not None):
        return True
    terminal.complain(window.welcome.problem.text())
    return False


def _tell_what_is_not_kept(window: Window) -> None:
    words = window.settings.why_not_kept()
    if not words:
        return
    terminal.complain(words)
    if window.company is not None or not window.welcome.problem.text():
        window.tell_at_start(words)


def _hear_qt(kind: QtMsgType, _context: QMessageLogContext, message: str) -> None:
    """Qt's own words are for the log. When it is about to end the program, one line says so, and there is no dump."""
    log_file.note_qt(kind.name, message)
    if kind == QtMsgType.QtFatalMsg:
        log_file.write_down()
        terminal.complain("the window cannot go on: the screen is gone or cannot be used. Your saved steps are safe.")
        os._exit(1)
