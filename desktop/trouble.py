"""The one place where an unexpected error ends: it is written down, and the owner is told in plain words."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType

KEPT_REPORTS = 20


def write_report(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> Path | None:
    """Write an error report the owner can send; returns its path, or None when even that failed."""
    from platformdirs import user_log_path

    folder = user_log_path("riserbook", appauthor=False)
    now = datetime.now().astimezone()
    path = folder / f"report-{now:%Y%m%d-%H%M%S-%f}.txt"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        text = "".join(traceback.format_exception(kind, error, trace))
        path.write_text(f"Riserbook report, {now.isoformat()}\nPython {sys.version}\n\n{text}", "utf-8")
        for old in sorted(folder.glob("report-*.txt"))[:-KEPT_REPORTS]:
            old.unlink(missing_ok=True)
    except OSError:
        return None
    return path


def catch_everything(tell: Callable[[Path | None], None]) -> None:
    """From now on, every error nobody expected is written to a report and `tell` is called with its path."""

    def handle(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        tell(write_report(kind, error, trace))

    sys.excepthook = handle
