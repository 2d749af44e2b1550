"""Places are readied while nobody waits: a first visit then builds nothing and loads nothing."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.company_file import create_company
from desktop import readying
from desktop.desk import PLACES, TONIGHT
from desktop.local_settings import LocalSettings
from desktop.window import Window
from tests.small_company import add_one_job


@pytest.fixture
def window(qtbot: QtBot, qapp: QApplication, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Window]:
    path = tmp_path / "Firm.riserbook"
    with create_company(path, "Firm", "Ida Kvale", date(2026, 1, 5)) as company:
        if getattr(request, "param", True):
            add_one_job(company)
    made = Window(LocalSettings(tmp_path))
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    made.open_file(path, remembered=False)
    yield made
    made.let_go()


@pytest.mark.parametrize("window", [True, False], indirect=True, ids=["with a job", "empty"])
def test_a_first_visit_builds_and_loads_nothing(window: Window) -> None:
    assert window.readying is not None
    window.readying.finish()
    loaded, pages = set(sys.modules), window.stack.count()
    for place in PLACES:
        window.go(place)
    assert window.stack.count() == pages
    assert {name for name in set(sys.modules) - loaded if name.startswith(("desktop.pages", "db.queries"))} == set()


def test_it_goes_on_by_itself_a_step_at_a_time(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(readying, "PAUSE_MS", 0)
    assert window.readying is not None
    window.readying.begin()
    assert not window.readying.done
    qtbot.waitUntil(lambda: window.readying is not None and window.readying.done, timeout=20_000)
    assert window.masthead.isVisible()
    assert window.stack.currentWidget() is window._page(TONIGHT)


def test_a_company_closed_meanwhile_is_left_alone(qtbot: QtBot, window: Window) -> None:
    assert window.readying is not None
    window.readying.begin()
    window.close_company()
    assert window.readying is None
    qtbot.wait(readying.BEGIN_AFTER_MS + 100)
    assert window.stack.currentWidget() is window.welcome


def test_a_file_that_is_gone_is_not_spoken_of_before_the_owner_asks(window: Window) -> None:
    assert window.desk is not None
    assert window.company is not None
    assert window.readying is not None
    said: list[str] = []
    window.desk.spoke.connect(lambda text, *_: said.append(text))
    window.company.engine.dispose()
    window.company.path.unlink()
    window.readying.finish()
    assert said == []
