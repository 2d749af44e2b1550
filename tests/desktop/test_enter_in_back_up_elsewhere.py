"""Enter in a field of the backup's dialog never opens the chooser of folders."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from desktop.back_up_elsewhere import BackUpElsewhere
from desktop.desk import Desk
from tests.small_company import empty_company


def test_enter_presses_the_forms_own_button(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: asked.append(_) or "")
    company = empty_company(tmp_path / "Heron Hill.riserbook")
    dialog = BackUpElsewhere(Desk(company))
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.keyClicks(dialog.password, "correct horse")
    qtbot.keyClick(dialog.again, Qt.Key.Key_Return)
    assert asked == []
    assert "Choose the folder" in dialog.said.text()
    company.close()
