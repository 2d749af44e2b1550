"""The first evening: a quote, from the call to the customer's yes."""

from __future__ import annotations

import shutil
from pathlib import Path

from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt
from tests.journeys.first_quote import Look, first_quote

Key = Qt.Key
pytestmark = quiet_qt


def test_from_an_empty_company_to_an_accepted_quote(
    owner: Person, dialogs: FileDialogs, tmp_path: Path, shelf: Path, look: Look
) -> None:
    first_quote(owner, dialogs, tmp_path, look)
    path = owner.company.path
    owner.window.close_company()
    shutil.copy2(path, shelf / "Juniper Ridge Radon.riserbook")
