"""Tells the owner about an error nobody expected: what is safe, and where the report lies."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QMessageBox, QWidget

_shown: list[QMessageBox] = []


def show_trouble(parent: QWidget, report: Path | None) -> None:
    """Show the message once; a second error while it is open only adds its report."""
    if _shown:
        return
    box = QMessageBox(QMessageBox.Icon.Warning, "Something went wrong", "Riserbook could not finish that step.")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setParent(parent, box.windowFlags())
    kept = "Everything that was saved is safe in the company file; the step itself was not saved."
    if report is None:
        box.setInformativeText(f"{kept} Close the program and open it again, then repeat the step.")
    else:
        box.setInformativeText(f"{kept} A report to send was written: {report.name}.")
        folder = box.addButton("Show the report", QMessageBox.ButtonRole.ActionRole)
        folder.clicked.connect(lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(str(report))))
    go_on = box.addButton("Go on", QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(go_on)
    box.setEscapeButton(go_on)
    box.finished.connect(lambda _result: _shown.clear())
    _shown.append(box)
    box.open()
