"""Tells how far the sample company is, the one time it is written on this computer."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QProgressDialog, QWidget


def told_while_writing(parent: QWidget | None) -> Callable[[int, int], None]:
    """A progress callback (done, of) that shows a small window and keeps it painted."""
    dialog = QProgressDialog("Writing the sample firm: three years of made-up work.", "", 0, 0, parent)
    dialog.setCancelButton(None)
    dialog.setWindowTitle("Riserbook")
    dialog.setWindowModality(Qt.WindowModality.ApplicationModal)
    dialog.setMinimumWidth(420)
    dialog.setMinimumDuration(0)
    dialog.show()
    QApplication.processEvents()

    def progress(done: int, of: int) -> None:
        dialog.setMaximum(of)
        dialog.setValue(done)
        QApplication.processEvents()
        if done >= of:
            dialog.close()

    return progress
