"""An error nobody expected becomes a report and a word, never a traceback on the screen."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from desktop import trouble


def _raise_and_catch() -> tuple[type[BaseException], BaseException, object]:
    try:
        raise ZeroDivisionError("the test's own")
    except ZeroDivisionError:
        return sys.exc_info()  # type: ignore[return-value]


def test_the_report_is_written_and_told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    told: list[Path | None] = []
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    trouble.catch_everything(told.append)
    sys.excepthook(*_raise_and_catch())  # type: ignore[arg-type]
    assert told[0] is not None
    assert "ZeroDivisionError: the test's own" in told[0].read_text("utf-8")
    assert capsys.readouterr().err == ""


def test_only_the_newest_reports_are_kept() -> None:
    paths = [trouble.write_report(*_raise_and_catch()) for _ in range(trouble.KEPT_REPORTS + 4)]  # type: ignore[arg-type]
    kept = [path for path in paths if path is not None and path.exists()]
    assert len(kept) == trouble.KEPT_REPORTS
    assert paths[-1] in kept
