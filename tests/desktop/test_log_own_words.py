"""Other work in one's own words waits for its hours in a row of its own, which no other words share."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.desk import Desk
from desktop.draft_shelf import DraftShelf
from desktop.widgets.half import unkept_cells
from tests.desktop.evening import TODAY, evening_company
from tests.desktop.test_log_section import Evening

Key = Qt.Key


@pytest.fixture
def company(tmp_path: Path) -> Iterator[tuple]:
    made = evening_company(tmp_path)
    yield made
    made[0].close()


@pytest.fixture
def evening(qtbot: QtBot, company: tuple) -> Evening:
    return Evening(qtbot, company[0], company[1], company[1].today)


def again(
    evening: Evening, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Evening:
    """The same evening after the program was killed: what is on the disk is all there is."""
    path = tmp_path / "drafts.json"
    evening.desk.drafts._path = path
    evening.desk.drafts.write()
    before = Desk.__init__

    def read_from_disk(desk: Desk, *given: object, **named: object) -> None:
        before(desk, *given, **named)  # type: ignore[arg-type]
        desk.drafts = DraftShelf(path, evening.desk.drafts._firm)

    monkeypatch.setattr(Desk, "__init__", read_from_disk)
    evening.desk.drafts._path = None
    evening.press(Key.Key_Escape)  # a killed program takes nothing on its way out
    evening.section.hide()
    return Evening(qtbot, evening.company, evening.ids, evening.job_id)


def told(evening: Evening) -> list[tuple[str, int]]:
    return [(one.note or "", one.minutes) for one in evening.log().hours]


def refused(evening: Evening) -> list[tuple[object, str, str]]:
    return [(one.row_id[-1], one.key, one.text) for one in evening.section.hours.table.rows_model().refused_cells()]


def unkept(evening: Evening) -> list[str]:
    return [cell.text for table, cell in unkept_cells() if table.window() is evening.section.window()]


def begin(evening: Evening, words: str) -> None:
    evening.section.hours.table.setFocus()
    evening.press(Key.Key_End)
    evening.type(words)


def test_hours_for_new_words_never_land_on_older_ones(evening, qtbot, tmp_path, monkeypatch) -> None:
    begin(evening, "haul rubble 1h")
    begin(evening, "patch joist")
    evening.type("2:30-4", None)  # and the program is killed
    evening = again(evening, qtbot, tmp_path, monkeypatch)
    assert refused(evening) == [("patch joist", "what", "patch joist"), ("patch joist", "day", "2:30-4")]
    evening.section.not_sure.go_to_refused()
    assert evening.row(evening.section.hours.table).startswith("Other work: “patch joist”")
    evening.press(Key.Key_Return, Key.Key_Return)
    assert told(evening) == [("haul rubble", 60), ("patch joist", 90)]
    assert refused(evening) == []
    assert not evening.desk.drafts.under("not kept in hours")


def test_words_and_hours_come_back_where_nothing_was_logged(evening, qtbot, tmp_path, monkeypatch) -> None:
    begin(evening, "break wall open")
    evening.type("40m", None)
    evening = again(evening, qtbot, tmp_path, monkeypatch)
    assert ("break wall open", "day", "40m") in refused(evening)


def test_a_task_begun_beside_the_quote_comes_back_with_its_hours(evening, qtbot, tmp_path, monkeypatch) -> None:
    evening.type("u")
    evening.type("35m", None)
    evening = again(evening, qtbot, tmp_path, monkeypatch)
    assert refused(evening) == [(True, "day", "35m")], "in the row of the task, not where a task is asked for"


def test_words_without_hours_wait_on_their_day_and_are_counted(evening: Evening) -> None:
    begin(evening, "move piano")
    assert unkept(evening) == ["move piano"]
    evening.section.materials.table.setFocus()
    evening.section.show_day(TODAY - timedelta(days=1))
    assert "move piano" in evening.said[-1]
    assert refused(evening) == []
    evening.section.show_day(TODAY)
    assert refused(evening) == [("move piano", "what", "move piano")]
    evening.section.not_sure.go_to_refused()
    evening.type("20m")
    assert told(evening) == [("move piano", 20)]
    assert unkept(evening) == []


def test_words_are_let_go_by_delete(evening: Evening) -> None:
    begin(evening, "move piano")
    evening.press(Key.Key_Escape)
    assert refused(evening) == [("move piano", "what", "move piano")]
    evening.press(Key.Key_Delete)
    assert refused(evening) == []
    assert not any("piano" in str(row.key) for row in evening.section.hours.table.rows_model().rows)
    assert told(evening) == []


def test_none_of_a_material_is_answered_in_words(evening: Evening) -> None:
    table = evening.section.materials.table
    table.setFocus()
    evening.press(Key.Key_Home)
    evening.type("0")
    assert "nothing is logged" in evening.said[-1]
    assert "close the job" in evening.said[-1]


def test_after_an_arrow_the_keyboard_goes_to_the_hours(evening: Evening) -> None:
    QTest.mouseClick(evening.section.days.earlier, Qt.MouseButton.LeftButton)
    assert evening.section.hours.table.hasFocus()
    evening.type("8-12")
    yesterday = TODAY - timedelta(days=1)
    assert evening.section.day == yesterday
    assert [(one.day, one.minutes) for one in evening.log().hours] == [(yesterday, 240)]
