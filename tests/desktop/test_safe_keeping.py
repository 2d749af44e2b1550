"""Back up to another place, the evening's reminder, and a restore on a machine that has no firm yet, in the window."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QInputDialog, QPushButton
from pytestqt.qtbot import QtBot

from db.company_file import back_up, create_company, open_company
from db.company_file.elsewhere import last_elsewhere, put_reminder_off, reminder_due
from desktop.back_up_elsewhere import FORGOTTEN, BackUpElsewhere
from desktop.desk import Desk
from desktop.local_settings import LocalSettings
from desktop.pages.company import CompanyPage
from desktop.pages.tonight import TonightPage
from desktop.restoring_backup import restore_shown
from desktop.welcome import WelcomePage
from tests.db.company_files import add_customer
from tests.db.whole_firm import WholeFirm, papers_of, quick_passwords, whole_firm

TODAY = date(2026, 11, 30)
PASSWORD = "four gray slate crows"


@pytest.fixture
def firm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> WholeFirm:
    quick_passwords(monkeypatch)
    for name in ("desk", "stick", "other"):
        (tmp_path / name).mkdir()
    return whole_firm(tmp_path / "desk")


def begun_on(path: Path, day: str) -> None:
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("UPDATE action SET made_at = ?", (f"{day}T20:00:00+00:00",))
        conn.commit()


def test_a_backup_to_another_place_is_made_and_said(qtbot: QtBot, firm: WholeFirm, tmp_path: Path) -> None:
    with open_company(firm.path, backup=False) as company:
        page = CompanyPage(Desk(company, lambda: TODAY))
        qtbot.addWidget(page)
        page.show()
        page.show_key(None, "safe")
        part = page.part("safe")
        assert "No backup has been made to another place yet." in part.elsewhere.text()
        part.back_up_to.click()
        dialog = page.window().findChild(BackUpElsewhere)
        assert dialog is not None
        dialog.begin.click()
        assert "Choose the folder" in dialog.said.text()
        dialog.folder.setText(str(tmp_path / "stick"))
        dialog.password.setText(PASSWORD)
        assert dialog.word.text() == FORGOTTEN
        dialog.again.setText("another one")
        dialog.begin.click()
        assert "not the same" in dialog.said.text()
        assert dialog.password.text() == PASSWORD
        dialog.again.setText(PASSWORD)
        with qtbot.waitSignal(dialog.made, timeout=20_000):
            dialog.begin.click()
        assert "4 photos and papers, read again and found whole" in part.said.text()
        (made,) = (tmp_path / "stick").iterdir()
        assert str(made) in part.elsewhere.text()
        assert "under a password" in part.elsewhere.text()


def test_cancel_stops_it_and_leaves_nothing_behind(qtbot: QtBot, firm: WholeFirm, tmp_path: Path) -> None:
    with open_company(firm.path, backup=False) as company:
        dialog = BackUpElsewhere(Desk(company, lambda: TODAY))
        qtbot.addWidget(dialog)
        dialog.folder.setText(str(tmp_path / "stick"))
        dialog.begin.click()
        dialog.cancel.click()
        qtbot.waitUntil(lambda: not dialog._running, timeout=20_000)
        assert list((tmp_path / "stick").iterdir()) == []
        assert last_elsewhere(firm.path) is None


def test_a_folder_that_is_not_there_is_said_and_what_was_typed_stays(qtbot: QtBot, firm: WholeFirm) -> None:
    with open_company(firm.path, backup=False) as company:
        dialog = BackUpElsewhere(Desk(company, lambda: TODAY))
        qtbot.addWidget(dialog)
        dialog.folder.setText(str(firm.path.parent / "no stick"))
        dialog.begin.click()
        qtbot.waitUntil(lambda: "is not there" in dialog.said.text(), timeout=20_000)
        assert dialog.folder.text().endswith("no stick")
        assert dialog.begin.isEnabled()


def test_tonight_reminds_after_a_week_can_be_put_off_and_is_done_right_there(
    qtbot: QtBot, firm: WholeFirm, tmp_path: Path
) -> None:
    begun_on(firm.path, "2026-11-20")
    with open_company(firm.path, backup=False) as company:
        page = TonightPage(Desk(company, lambda: TODAY))
        qtbot.addWidget(page)
        page.resize(1280, 744)
        with qtbot.waitExposed(page):
            page.show()
        page.refresh()
        page.read_dates()
        assert page.backup.isVisible()
        assert page.backup.words.text().startswith("None has been made yet.")
        page.backup.later.click()
        assert page.backup.isHidden()
        put_reminder_off(firm.path, date(2026, 11, 1))  # that week is over
        page.read_dates()
        page.backup.back_up.click()
        dialog = page.window().findChild(BackUpElsewhere)
        assert dialog is not None
        dialog.folder.setText(str(tmp_path / "stick"))
        with qtbot.waitSignal(dialog.made, timeout=20_000):
            dialog.begin.click()
        assert len(list((tmp_path / "stick").iterdir())) == 1


def test_a_new_firm_is_not_nagged_and_neither_is_a_made_up_one(
    qtbot: QtBot, tmp_path: Path, firm: WholeFirm, sample_file: Path
) -> None:
    from db.queries.journal import first_work_on

    new = tmp_path / "New.riserbook"
    with create_company(new, "New Radon", "Ada Quill", TODAY) as company:
        begun_on(new, "2026-10-01")
        with company.read() as conn:
            assert first_work_on(conn) is None  # begun long ago, but nothing was ever done
        add_customer(company, "Bo")
        with company.read() as conn:
            assert first_work_on(conn) is not None
    with open_company(sample_file, backup=False) as sample, sample.read() as conn:
        assert first_work_on(conn) is None


@pytest.mark.parametrize(
    ("first", "due"),
    [(None, False), (date(2026, 11, 30), False), (date(2026, 11, 24), False), (date(2026, 11, 23), True)],
)
def test_a_week_of_work_is_worth_a_word(firm: WholeFirm, first: date | None, due: bool) -> None:
    assert reminder_due(firm.path, first, TODAY) is due


def test_the_welcome_page_restores_a_backup_on_a_new_machine(
    qtbot: QtBot, firm: WholeFirm, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = back_up(firm.path, tmp_path / "stick", PASSWORD)
    shutil.rmtree(tmp_path / "desk")
    there = tmp_path / "other" / "Quarry Lane.riserbook"
    asked: list[str] = []
    answers = iter([("wrong password", True), (PASSWORD, True)])

    def password(_parent: object, _title: str, words: str, *_: object) -> tuple[str, bool]:
        asked.append(words)
        return next(answers)

    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(made), ""))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(there), ""))
    monkeypatch.setattr(QInputDialog, "getText", password)
    page = WelcomePage(LocalSettings(tmp_path / "settings"))
    qtbot.addWidget(page)
    page.show()
    with qtbot.waitSignal(page.open_asked) as opened:
        page.restore_button.click()
    assert opened.args == [there]
    assert "is under a password" in asked[0]
    assert "is not the password" in asked[1]
    assert papers_of(there) == firm.papers
    monkeypatch.setattr(QInputDialog, "getText", lambda *_: (PASSWORD, True))
    page.restore_button.click()
    assert "is already there" in page.problem.text()


def test_the_page_shows_what_both_hold_and_restores_after_a_second_press(
    qtbot: QtBot, firm: WholeFirm, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = back_up(firm.path, tmp_path / "stick")
    company = open_company(firm.path, backup=False)
    add_customer(company, "Bo Newer")
    page = CompanyPage(Desk(company, lambda: TODAY))
    qtbot.addWidget(page)
    page.show()
    page.show_key(None, "safe")
    part = page.part("safe")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(made), ""))
    part.restore_other.click()
    assert "holds 4 photos and papers. Quarry Lane Radon: 1 job, 1 customer" in part.asked.text()
    assert "Here now: Quarry Lane Radon: 1 job, 2 customers" in part.asked.text()
    assert "1 step, the last: Add Bo Newer." in part.asked.text()
    with qtbot.waitSignal(page.restore_asked) as asked:
        part.asked.findChild(QPushButton).click()
    (wish,) = asked.args
    company.close()
    restore_shown(page, wish.path, wish.backup, wish.password)
    with open_company(firm.path, backup=False) as again, again.read() as conn:
        assert conn.exec_driver_sql("SELECT count(*) FROM customer").scalar_one() == 1
