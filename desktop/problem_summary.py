"""What the owner could hand over with a problem: versions, the end of the log, the newest reports, and nothing else."""

from __future__ import annotations

from pathlib import Path

from desktop.fault_report import report_folders, versions
from desktop.log_file import newest_lines

NEWEST_REPORTS = 3
LOG_LINES = 120
_LONGEST = 20_000


def problem_summary(firm: Path | None) -> str:
    """All of it as one text, to be read before it goes anywhere.

    Args:
        firm: the file of the open firm, beside which its reports lie.
    """
    parts = ["What I did, and what happened:", "", "", "What runs here", *versions(), *_drawn_by(), ""]
    reports = newest_reports(firm)
    for report in reports:
        parts += [f"Report {report.name}", _text(report), ""]
    if not reports:
        parts += ["There is no report of an error.", ""]
    parts += ["The end of the log", *(newest_lines(LOG_LINES) or ["There is no log."]), ""]
    return "\n".join(parts)


def newest_reports(firm: Path | None) -> list[Path]:
    """The newest reports wherever they lie, newest first."""
    found: list[Path] = []
    for folder in report_folders(firm):
        try:
            found += folder.glob("report-*.txt")
        except OSError:
            continue
    return sorted(found, key=lambda path: path.name, reverse=True)[:NEWEST_REPORTS]


def _text(report: Path) -> str:
    try:
        return report.read_text("utf-8", errors="replace")[:_LONGEST].rstrip()
    except OSError:
        return "(cannot be read)"


def _drawn_by() -> list[str]:
    from PySide6.QtCore import qVersion
    from PySide6.QtGui import QGuiApplication

    screens = [
        f"{screen.size().width()} x {screen.size().height()} at {screen.devicePixelRatio():g}"
        for screen in QGuiApplication.screens()
    ]
    return [f"Qt {qVersion()} on {QGuiApplication.platformName()}, screens: {', '.join(screens)}"]
