"""The command line: one clear line for wrong usage, no traceback, the right exit status."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from db.company_file import create_company
from desktop import cli, screen


@pytest.mark.parametrize(
    "words",
    [
        ["--smaple"],
        ["bakcup", "a", "b"],
        ["costing"],
        ["margins", "x.riserbook", "--by", "weather"],
        ["margins", "x.riserbook", "--from", "14/3/2026"],
        ["margins", "x.riserbook", "--from", "2026-03-14", "--to", "2026-01-01"],
        ["sample", "x.riserbook", "--jobs", "0"],
        ["--sample", "--company", "x.riserbook"],
    ],
)
def test_wrong_usage_is_one_line_and_status_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.strip().splitlines()) == 1
    assert said.err.startswith("riserbook: ")


def test_help_is_status_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--help"]) == 0
    assert "--quit-when-shown" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["costing", "margins", "check"])
def test_a_missing_file_is_named_without_a_traceback(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([command, str(tmp_path / "nowhere.riserbook")]) == 1
    said = capsys.readouterr().err
    assert "nowhere.riserbook" in said
    assert "Traceback" not in said


def test_a_workbook_must_be_named_xlsx(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["export", str(tmp_path / "a.riserbook"), str(tmp_path / "a.pdf")]) == 1
    assert ".xlsx" in capsys.readouterr().err


def test_a_calendar_must_be_named_ics_and_its_job_must_be_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    company = tmp_path / "a.riserbook"
    create_company(company, "Heron Hill Radon", "", date(2026, 5, 4)).close()
    assert cli.main(["calendar", str(company), str(tmp_path / "a.txt")]) == 1
    assert ".ics" in capsys.readouterr().err
    assert cli.main(["calendar", str(company), str(tmp_path / "a.ics"), "--job", "26-999"]) == 1
    assert "There is no job 26-999" in capsys.readouterr().err
    assert not (tmp_path / "a.ics").exists()
    assert cli.main(["calendar", str(company), str(tmp_path / "a.ics")]) == 0
    assert "Wrote 0 visits" in capsys.readouterr().out
    assert (tmp_path / "a.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")


def test_no_screen_is_said_plainly(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(screen, "there", lambda: False)
    assert cli.main([]) == 1
    assert "no screen" in capsys.readouterr().err


def test_starting_the_command_line_imports_nothing_heavy() -> None:
    heavy = "PySide6", "sqlalchemy", "openpyxl", "reportlab", "alembic", "icalendar"
    told = subprocess.run(
        [sys.executable, "-c", f"import sys, desktop.cli; print([m for m in {heavy!r} if m in sys.modules])"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.strip() == "[]"
