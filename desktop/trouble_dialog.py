"""Tells the owner about an error nobody expected: what is safe, what to do, and where the report lies."""

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
    box.setInformativeText(f"{_SAFE} {_DO} {_report_words(report)}".strip())
    if report is not None:
        see = box.addButton("Show the report", QMessageBox.ButtonRole.ActionRole)
        see.clicked.connect(lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(str(report))))
    go_on = box.addButton("Go on", QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(go_on)
    box.setEscapeButton(go_on)
    box.finished.connect(lambda _result: _shown.clear())
    _shown.append(box)
    box.open()


_SAFE = "Every step saved before this one is in the firm's file."
_DO = (
    "Look whether this step is there, and do it again if not. If it goes wrong again, close Riserbook and open it "
    "once more, then have the file looked over under Safe keeping."
)


def _report_words(report: Path | None) -> str:
    if report is None:
        return ""
    return (
        f"A report was written, without any customer's data: “{report.name}” in the folder “{report.parent.name}”. "
        "Nothing is sent by itself; “Report a problem” in the menu shows what you could hand over."
    )
