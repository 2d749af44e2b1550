"""What the evenings share: a person at a fresh window, file dialogues that answer."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from tests.journeys.at_the_desk import FileDialogs, Person


@pytest.fixture
def owner(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Person]:
    """Someone at the welcome page, with settings of their own, who has read what a button asks before pressing it."""
    monkeypatch.setattr("desktop.widgets.young.READING_MS", 0)
    person = Person(qtbot, tmp_path / "settings")
    yield person
    person.leave()


@pytest.fixture
def dialogs(monkeypatch: pytest.MonkeyPatch) -> FileDialogs:
    """File dialogues answer with what was put in `answer`."""
    return FileDialogs(monkeypatch)


@pytest.fixture
def look(request: pytest.FixtureRequest, owner: Person) -> Callable[[str], Any]:
    """Draw the window, where JOURNEY_PICTURES names a folder; else do nothing."""
    folder = os.environ.get("JOURNEY_PICTURES")

    def draw(name: str) -> None:
        if folder:
            owner.picture(Path(folder) / f"{request.node.name}-{name}.png")

    return draw
