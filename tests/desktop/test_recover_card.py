"""A damaged firm in the window: what can be had of it is shown, and nothing is lost without a second press."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from db.company_file import back_up, create_company, open_company
from desktop.desk import COMPANY
from desktop.local_settings import LocalSettings
from desktop.pages.company.safe_part import SafePart
from desktop.window import Window
from tests.db.company_files import customer_names
from tests.db.crash_lab import PAGE, one_step, steps_in
from tests.db.damage import root_page
from tests.db.test_row_sums import execute


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    made = Window(LocalSettings())
    qtbot.addWidget(made)
    made.show()
    return made


@pytest.fixture
def torn(tmp_path: Path) -> Path:
    """Ten steps, backed up after four, and the page where the customers begin is gone."""
    path = tmp_path / "Quarry Lane.riserbook"
    create_company(path, "Quarry Lane", "Ada Quill", date(2026, 3, 2), starter=False).close()
    with open_company(path, backup=False) as company:
        for number in range(1, 11):
            one_step(company, number)
            if number == 4:
                back_up(company)
    content = bytearray(path.read_bytes())
    begin = (root_page(path, "customer") - 1) * PAGE
    content[begin : begin + PAGE] = b"\xa5" * PAGE
    path.write_bytes(content)
    return path


def offered(window: Window, qtbot: QtBot) -> list[QPushButton]:
    card = window.welcome.recover_card
    assert card is not None
    assert card.isVisible()
    qtbot.mouseClick(card.start, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(card.uses) == 2, timeout=90_000)
    return card.uses  # type: ignore[return-value]


def words(window: Window) -> str:
    assert window.welcome.recover_card is not None
    return "\n".join(one.text() for one in window.welcome.recover_card.findChildren(QLabel))


def test_what_the_file_still_holds_is_put_in_place_and_opened(window: Window, torn: Path, qtbot: QtBot) -> None:
    window.open_file(torn)
    assert "is damaged" in window.welcome.problem.text()
    uses = offered(window, qtbot)
    said = words(window)
    assert "10 customers" in said
    assert "It lacks no step the other has." in said
    assert "It lacks 6 steps, the last: Add customer 10; Add customer 9; Add customer 8." in said
    qtbot.mouseClick(uses[0], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.company is not None, timeout=90_000)
    assert window.company is not None
    assert window.company.path == torn
    window.close_company()
    assert steps_in(torn) == 10
    assert len(list((torn.parent / "Quarry Lane backups").glob("* damaged.riserbook"))) == 1
    assert not list(torn.parent.glob(".riserbook-unfinished-*"))


def test_the_older_backup_is_taken_only_after_it_was_said_what_is_lost(
    window: Window, torn: Path, qtbot: QtBot
) -> None:
    window.open_file(torn)
    uses = offered(window, qtbot)
    qtbot.mouseClick(uses[1], Qt.MouseButton.LeftButton)
    card = window.welcome.recover_card
    assert card is not None
    assert "This would lose 6 steps" in card.say.text()
    assert window.company is None
    go_on = next(one for one in card.say.findChildren(QPushButton) if one.text() == "Lose them and go on")
    qtbot.mouseClick(go_on, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.company is not None, timeout=90_000)
    window.close_company()
    assert steps_in(torn) == 4


def test_while_another_firm_is_open_one_press_leads_there(window: Window, torn: Path, tmp_path: Path) -> None:
    other = tmp_path / "Other.riserbook"
    create_company(other, "Other", "Ada Quill", date(2026, 3, 2), starter=False).close()
    window.open_file(other)
    window.open_file(torn)
    assert window.company is not None
    press = window.toast.action_button()
    assert press is not None
    press.click()
    assert window.company is None
    assert window.welcome.recover_card is not None
    assert window.welcome.recover_card.isVisible()


def test_a_firm_that_is_gone_comes_back_from_its_backup(window: Window, torn: Path, qtbot: QtBot) -> None:
    torn.unlink()
    window.open_file(torn)
    said = window.welcome.problem.text()
    assert "1 backup of it lies in “Quarry Lane backups”, the newest “" in said
    assert "riserbook " not in said
    card = window.welcome.recover_card
    assert card is not None
    qtbot.mouseClick(card.start, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(card.uses) == 1, timeout=90_000)
    assert "The file is gone; this is what is left of it." in words(window)
    qtbot.mouseClick(card.uses[0], Qt.MouseButton.LeftButton)  # type: ignore[arg-type]
    qtbot.waitUntil(lambda: window.company is not None, timeout=90_000)
    window.close_company()
    assert steps_in(torn) == 4


def test_what_a_look_over_found_is_recovered_from_there(window: Window, torn: Path, qtbot: QtBot) -> None:
    (backup,) = (torn.parent / "Quarry Lane backups").glob("*.riserbook")
    torn.write_bytes(backup.read_bytes())
    execute(torn, "UPDATE customer SET name = 'Customer 7' WHERE id = 1")
    window.open_file(torn)
    window.go(COMPANY, section="safe")
    part = window.findChild(SafePart)
    assert part is not None
    qtbot.mouseClick(part.look_over, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: part.report_card.isVisible(), timeout=90_000)
    assert "Row 1 of the customers is not as it was last saved: name." in part.report.text()
    assert "riserbook " not in part.report.text()
    qtbot.mouseClick(part.recover, Qt.MouseButton.LeftButton)
    assert window.company is None
    qtbot.mouseClick(offered(window, qtbot)[0], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.company is not None, timeout=90_000)
    window.close_company()
    with open_company(torn, backup=False) as company:
        assert customer_names(company)[0] == "Customer 1"
