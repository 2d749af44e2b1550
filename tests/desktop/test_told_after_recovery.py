"""After a recovery or restore: told once at the next opening, kept on Safe keeping until read; copies kept aside."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from db.commands.firm import change_firm
from db.company_file import back_up, open_company, restore
from db.company_file.aftermath import read_word
from db.company_file.keeping_aside import keep_aside, list_kept_aside
from db.queries.last_step import last_step_day
from desktop.back_up_elsewhere import BackUpElsewhere
from desktop.desk import COMPANY
from desktop.local_settings import LocalSettings
from desktop.opening_words import clock_in_doubt, tell_after_opening
from desktop.pages.company.safe_part import SafePart
from desktop.window import Window
from tests.db.company_files import add_customer, company_file


@pytest.fixture
def restored(tmp_path: Path) -> Path:
    path = company_file(tmp_path)
    made = back_up(path)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
    restore(path, made)
    return path


def opened(qtbot: QtBot, path: Path) -> Window:
    window = Window(LocalSettings())
    qtbot.addWidget(window)
    window.show()
    window.open_file(path)
    assert window.company is not None
    tell_after_opening(window, window.company)
    return window


def safe_part(window: Window) -> SafePart:
    window.go(COMPANY, section="safe")
    return window.findChild(SafePart)  # type: ignore[return-value]


def test_a_restore_is_told_once_and_stands_until_it_was_read(qtbot: QtBot, restored: Path) -> None:
    window = opened(qtbot, restored)
    assert window.toast.isVisible()
    assert window.toast.text().startswith("This firm was restored on ")
    button = window.toast.action_button()
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    part = safe_part(window)
    assert "What was there before is kept as “" in part.word.accessibleName()
    window.close_company()

    again = opened(qtbot, restored)
    assert not again.toast.isVisible()
    part = safe_part(again)
    assert part.word.isVisible()
    assert part.word._button is not None
    qtbot.mouseClick(part.word._button, Qt.MouseButton.LeftButton)
    assert not part.word.isVisible()
    assert read_word(restored) is None
    again.close_company()


def test_a_row_that_changed_by_itself_is_told_at_the_opening(qtbot: QtBot, tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("UPDATE customer SET name = 'Bn'")
        conn.commit()
    window = Window(LocalSettings())
    qtbot.addWidget(window)
    window.show()
    window.open_file(path)
    qtbot.waitUntil(lambda: "1 entry of this firm is not as last saved" in window.toast.text(), timeout=20_000)
    assert "Row 1 of the customers is not as it was last saved: name." in safe_part(window).word.accessibleName()
    window.close_company()


def test_copies_kept_aside_are_listed_with_their_size_and_go_by_a_second_press(qtbot: QtBot, tmp_path: Path) -> None:
    path = company_file(tmp_path)
    path.with_name(path.name + "-wal").write_bytes(b"a log that was left")
    keep_aside(path, datetime(2026, 3, 2, 21, 4).astimezone())
    path.with_name(path.name + "-wal").unlink()
    (one,) = list_kept_aside(path)
    assert one.size == path.stat().st_size + 19
    window = opened(qtbot, path)
    card = safe_part(window).kept_aside
    assert card.isVisible()
    assert "9:04 pm" in "\n".join(label.text() for label in card.findChildren(QLabel))
    qtbot.mouseClick(card.buttons[0], Qt.MouseButton.LeftButton)  # type: ignore[arg-type]
    assert list_kept_aside(path) == [one]
    assert "gone for good" in card.asked.text()
    assert card.gone.isVisible()
    qtbot.mouseClick(card.gone, Qt.MouseButton.LeftButton)
    assert list_kept_aside(path) == []
    assert not card.isVisible()
    assert not list((tmp_path / "Quarry Lane backups").glob("* damaged*"))
    window.close_company()


def test_nothing_moves_in_the_form_of_a_backup_elsewhere(qtbot: QtBot, restored: Path) -> None:
    window = opened(qtbot, restored)
    assert window.desk is not None
    dialog = BackUpElsewhere(window.desk, window)
    dialog.open()
    qtbot.waitExposed(dialog)

    def places() -> list[tuple[int, int]]:
        parts = (dialog.folder, dialog.password, dialog.again, dialog.word, dialog.begin)
        return [(part.mapTo(dialog, part.rect().topLeft()).y(), part.height()) for part in parts]

    before = places()
    qtbot.keyClicks(dialog.password, "four gray")
    assert places() == before
    dialog.begin.click()
    assert "Choose the folder" in dialog.said.accessibleName()
    qtbot.wait(20)
    assert places() == before
    dialog.reject()
    window.close_company()


@pytest.mark.parametrize(
    ("last", "today", "doubted"),
    [(date(2026, 3, 8), date(2026, 3, 8), False), (date(2026, 3, 8), date(2026, 3, 7), True),
     (date(2026, 3, 8), date(2026, 9, 7), False), (date(2026, 3, 8), date(2026, 9, 8), True),
     (date(2026, 3, 8), date(2031, 3, 8), True), (date(2028, 2, 29), date(2028, 3, 1), False),
     (None, date(2026, 3, 8), False)],
)  # fmt: skip
def test_a_clock_before_the_last_step_or_long_after_is_doubted(last: date | None, today: date, doubted: bool) -> None:
    words = clock_in_doubt(last, today)
    assert bool(words) == doubted
    assert not doubted or (str(last.year) in words and str(today.year) in words)


def test_the_day_of_the_last_step_is_read(sample_file: Path) -> None:
    with open_company(sample_file, backup=False) as company:
        with company.action("Rename") as edit:
            change_firm(edit, name="Other name")
        with company.read() as conn:
            assert last_step_day(conn) == datetime.now().astimezone().date()
