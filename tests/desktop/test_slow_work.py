"""Backup, copy and restore take their time: the window lives on, tells how far they are, and stops them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.company_file import back_up, kept, list_backups
from desktop.slow_dialog import SlowDialog
from tests.db.company_files import add_customer, content, customer_names
from tests.db.whole_firm import WholeFirm, papers_of, whole_firm
from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt

Key = Qt.Key
pytestmark = quiet_qt


class SlowDisk:
    """Every photo and paper waits at its first byte until the test lets it go on; a stop is heard while it waits."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.go_on, real = Event(), kept.copy_whole

        def slowly(source: Path, target: Path, wanted: str = "", told: Callable[[int], None] | None = None) -> str:
            target.write_bytes(source.read_bytes()[:20])  # half of it is there already
            try:
                while not self.go_on.wait(0.01):
                    if told is not None:
                        told(0)
            except BaseException:
                target.unlink()
                raise
            return real(source, target, wanted, told)

        monkeypatch.setattr(kept, "copy_whole", slowly)


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Iterator[SlowDisk]:
    made = SlowDisk(monkeypatch)
    yield made
    made.go_on.set()


@pytest.fixture
def owner(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Person]:
    monkeypatch.setattr("desktop.window.BACKUP_AFTER_MS", 3_600_000)  # the evening's own backup is not what is tried
    person = Person(qtbot, tmp_path / "settings")
    yield person
    person.leave()


@pytest.fixture
def dialogs(monkeypatch: pytest.MonkeyPatch) -> FileDialogs:
    return FileDialogs(monkeypatch)


@pytest.fixture
def firm(tmp_path: Path) -> WholeFirm:
    for name in ("desk", "stick"):
        (tmp_path / name).mkdir()
    return whole_firm(tmp_path / "desk")


def type_in_a_customer(owner: Person, name: str) -> None:
    owner.ctrl(Key.Key_2)
    owner.ctrl(Key.Key_N)
    owner.type(name)
    owner.ctrl(Key.Key_Return)


def at_safe_keeping(owner: Person, firm: WholeFirm) -> None:
    owner.open(firm.path)
    owner.window.go("company", None, "safe")
    owner.settle()


def test_one_works_on_while_a_backup_is_made(owner: Person, firm: WholeFirm, disk: SlowDisk) -> None:
    at_safe_keeping(owner, firm)
    owner.click(owner.page.part("safe").back_up_now)
    assert owner.sees("Backing up: 0%. You can go on working meanwhile.")
    assert not owner.page.part("safe").copy.isEnabled()
    type_in_a_customer(owner, "Wren Halloway")  # the window does not hang
    assert "Wren Halloway" in customer_names(owner.company)
    assert owner.window.slow_line.isVisible()
    disk.go_on.set()
    owner.bot.waitUntil(lambda: owner.desk.slow is None, timeout=20_000)
    assert not owner.window.slow_line.isVisible()
    assert owner.sees("Backed up, and the backup was checked.")
    (made,) = list_backups(firm.path)
    assert (made.papers, made.missing) == (4, ())
    assert "Wren Halloway" in customer_names(owner.company)


def test_a_backup_is_stopped_where_it_was_begun(owner: Person, firm: WholeFirm, disk: SlowDisk) -> None:
    at_safe_keeping(owner, firm)
    owner.click(owner.page.part("safe").back_up_now)
    owner.click("Stop")
    owner.bot.waitUntil(lambda: owner.desk.slow is None, timeout=20_000)
    assert owner.sees("Stopped. Nothing half done was left behind, and the firm is as it was.")
    assert list_backups(firm.path) == []
    assert owner.page.part("safe").back_up_now.isEnabled()


def test_the_menu_begins_a_backup_and_stops_it(owner: Person, firm: WholeFirm, disk: SlowDisk) -> None:
    owner.open(firm.path)
    owner.window.menu.back_up()
    owner.bot.waitUntil(lambda: owner.sees("Backing up. You can go on working meanwhile."), timeout=5_000)
    menu = owner.window.menu
    menu._bring_up_to_date()
    assert menu._backup.text().startswith("Stop: Backing up: 0%")
    assert not menu._copy.isEnabled()
    menu.back_up()
    owner.bot.waitUntil(lambda: owner.desk.slow is None, timeout=20_000)
    menu._bring_up_to_date()
    assert menu._backup.text() == "Back up now"
    assert list_backups(firm.path) == []


def test_a_copy_is_stopped_and_nothing_of_it_is_left(
    owner: Person, firm: WholeFirm, disk: SlowDisk, dialogs: FileDialogs, tmp_path: Path
) -> None:
    at_safe_keeping(owner, firm)
    dialogs.answer = tmp_path / "stick" / "A copy"
    owner.click("Save a copy as")
    type_in_a_customer(owner, "Wren Halloway")
    owner.ctrl(Key.Key_5)
    owner.click(owner.page.part("safe").said._button)
    owner.bot.waitUntil(lambda: owner.desk.slow is None, timeout=20_000)
    assert list((tmp_path / "stick").iterdir()) == []
    assert "Wren Halloway" in customer_names(owner.company)


def test_a_firm_that_is_closed_meanwhile_waits_for_its_backup(owner: Person, firm: WholeFirm, disk: SlowDisk) -> None:
    owner.open(firm.path)
    owner.window.menu.back_up()
    seen: list[str] = []

    def look() -> None:
        if (dialog := owner.window.findChild(SlowDialog)) is None:
            QTimer.singleShot(50, look)
            return
        seen.append(dialog.words.text())
        disk.go_on.set()

    QTimer.singleShot(50, look)
    owner.window.close_company()
    assert seen == ["Backing up: this is finished first, then the firm is closed."]
    assert len(list_backups(firm.path)) == 1


@pytest.mark.parametrize("stop", [True, False])
def test_a_restore_shows_how_far_it_is_and_is_stopped(
    owner: Person, firm: WholeFirm, disk: SlowDisk, dialogs: FileDialogs, tmp_path: Path, stop: bool
) -> None:
    disk.go_on.set()
    made = back_up(firm.path, tmp_path / "stick")
    disk.go_on.clear()
    owner.open(firm.path)
    add_customer(owner.company, "Bo Newer")
    owner.window.go("company", None, "safe")
    owner.settle()
    dialogs.answer = made
    owner.click("Restore another file")
    seen: list[bool] = []

    def look() -> None:
        (dialog,) = [one for one in QApplication.topLevelWidgets() if isinstance(one, SlowDialog) and one.isVisible()]
        seen.append(dialog.stop.isVisible())
        if stop:
            dialog.stop.click()
            seen.append(dialog.isVisible())  # until what was begun is cleared away
        else:
            disk.go_on.set()

    QTimer.singleShot(600, look)
    owner.click("Restore it")
    assert seen == ([True, True] if stop else [True])
    assert ("Bo Newer" in customer_names(owner.company)) is stop
    assert papers_of(firm.path) == firm.papers
    words = "Stopped. Nothing half done was left" if stop else "Restored. What was there before is among the backups."
    assert owner.sees(words)
    owner.window.close_company()
    assert len(content(firm.path)["customer"]) == (2 if stop else 1)
