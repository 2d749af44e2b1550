"""Starts the Qt program: theme, safety net, the right company, the window."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from desktop import trouble
from desktop.local_settings import LocalSettings
from desktop.look.theme import apply_theme


def make_application() -> QApplication:
    """The one QApplication, named and themed as this computer remembers."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
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
    app = make_application()
    if tour is not None:
        from desktop.tour import draw_tour

        return draw_tour(app, tour)
    settings = LocalSettings()
    apply_theme(app, settings.appearance)  # type: ignore[arg-type]
    from desktop.window import Window

    window = Window(settings)
    trouble.catch_everything(window.show_trouble)
    try:
        if sample:
            window.open_sample()
        elif company is not None:
            window.open_file(company)
        elif settings.recent:
            window.open_file(settings.recent[0])
        window.show()
        if quit_when_shown:
            window.painted.connect(lambda: QTimer.singleShot(0, window.close))
            if window.company is None:
                QTimer.singleShot(0, window.close)
        status = app.exec()
    finally:
        window.let_go()
    return 1 if quit_when_shown and company is not None and not window.painted_once else status
