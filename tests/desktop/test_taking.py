"""A firm whose rows cannot be shown: the window says why, lives on, and does not keep the file locked."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from db.company_file import create_company, open_company
from desktop.local_settings import LocalSettings
from desktop.window import Window


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    made = Window(LocalSettings())
    qtbot.addWidget(made)
    made.show()
    return made


def a_firm(folder: Path, name: str, *statements: str) -> Path:
    path = folder / f"{name}.riserbook"
    create_company(path, name, "Ada Quill", date(2026, 3, 2)).close()
    with closing(sqlite3.connect(path)) as conn:
        for statement in statements:
            conn.execute(statement)
        conn.commit()
    return path


HARMS = {
    "no firm row": "DELETE FROM company",
    "a bad evening": "UPDATE company SET pinned_today = '2026-02-31'",
    "no text": "UPDATE company SET name = CAST(x'C328' AS TEXT)",
    "a number that is none": "UPDATE company SET margin_percent = 'twelve'",
    "a torn journal": "UPDATE action SET made_at = 'yesterday'",
}


@pytest.mark.parametrize("harm", HARMS)
def test_it_is_told_and_the_file_is_free_again(window: Window, tmp_path: Path, harm: str) -> None:
    path = a_firm(tmp_path, "Quarry Lane", HARMS[harm])
    window.open_file(path)
    if window.company is None:
        assert "Quarry Lane.riserbook" in window.welcome.problem.text()
        assert window.stack.currentWidget() is window.welcome
        assert window.welcome.problem.isVisible()
    if harm in ("no firm row", "a bad evening", "no text"):
        assert "cannot be shown whole" in window.welcome.problem.text()
    window.close_company()
    open_company(path, backup=False).close()  # nobody holds it


def test_what_was_open_stays_open(window: Window, tmp_path: Path) -> None:
    window.open_file(a_firm(tmp_path, "Good"))
    window.open_file(a_firm(tmp_path, "Bad", "DELETE FROM company"))
    assert window.company is not None
    assert window.company.path.stem == "Good"
    assert "Bad.riserbook" in window.toast.text()


def test_a_first_page_that_breaks_lets_go_of_the_file(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_firm(tmp_path, "Quarry Lane")

    def breaks(*_: object) -> None:
        raise ValueError("no")

    with monkeypatch.context() as patch:
        patch.setattr(window, "go", breaks)
        window.open_file(path)
    assert window.company is None
    assert "could not be shown" in window.welcome.problem.text()
    window.open_file(path)
    assert window.company is not None
