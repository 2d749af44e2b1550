"""The review at closing, by keyboard: a key a line, tasks and materials left at once, never closed by accident."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from db.records import fetch_one
from db.tables import hours_entry, job
from desktop.desk import Desk
from desktop.pages.job_sections.outcome import OutcomeSection
from desktop.pages.jobs.ending import EndingPart
from domain.jobs import Job
from tests.desktop.evening import TODAY, evening_company

Key = Qt.Key
REST = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def evening(tmp_path: Path) -> Iterator[tuple[Company, SimpleNamespace]]:
    company, ids = evening_company(tmp_path)
    with company:
        yield company, ids


@pytest.fixture
def section(qtbot: QtBot, evening: tuple[Company, SimpleNamespace]) -> OutcomeSection:
    company, ids = evening
    made = OutcomeSection(Desk(company, lambda: TODAY))
    made.desk.changed.connect(made.refresh)
    qtbot.addWidget(made)
    made.resize(1280, 900)
    made.show_job(ids.over)
    with qtbot.waitExposed(made):
        made.show()
    made.begin_closing()
    return made


def kept(section: OutcomeSection) -> Job:
    with section.desk.read() as conn:
        return fetch_one(conn, Job, job, section.job_id)


def press(qtbot: QtBot, *keys: Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    for key in keys:
        widget = QApplication.focusWidget()
        assert widget is not None
        qtbot.keyClick(widget, key, modifier)


def answers(section: OutcomeSection) -> list[str]:
    return [line.answer for line in section.closing.table.rows_model().rows]


def test_each_line_takes_one_key_and_the_rest_one_more(qtbot: QtBot, section: OutcomeSection) -> None:
    lines = len(answers(section))
    assert lines > 3
    assert set(answers(section)) == {""}
    press(qtbot, Key.Key_W, Key.Key_Return, Key.Key_N, Key.Key_Return)
    assert answers(section)[:3] == ["within", "left_out", ""]
    press(qtbot, Key.Key_Return, modifier=Qt.KeyboardModifier.ControlModifier)
    assert kept(section).closed_on is None
    assert "not answered yet" in section.closing.refused.text()
    press(qtbot, Key.Key_A, modifier=REST)
    kinds = [line.key.kind for line in section.closing.table.rows_model().rows]
    assert kinds.count("material") > 2
    assert answers(section) == [
        "left_out" if n == 1 else "within" if kind == "task" else "" for n, kind in enumerate(kinds)
    ], "its words name tasks alone"
    press(qtbot, Key.Key_M, modifier=REST)
    assert "material" not in [line.key.kind for line in section.closing.table.rows_model().rows], "logged as quoted"
    for _ in range(answers(section).count("")):
        press(qtbot, Key.Key_N, Key.Key_Return)
    press(qtbot, Key.Key_Space, Key.Key_Return, Key.Key_Escape)
    assert kept(section).closed_on is None, "no key on a row closes"
    press(qtbot, Key.Key_Return, modifier=Qt.KeyboardModifier.ControlModifier)
    assert kept(section).is_fully_logged
    assert section.head.pill.text() == "closed Nov 12, 2026"
    assert section.closing.table.isHidden()
    section.closing.see.click()
    assert answers(section)[1] == "left_out", "what was answered is seen on the outcome later"
    assert not section.closing.table.isHidden()


def test_what_was_forgotten_is_typed_on_its_line(qtbot: QtBot, section: OutcomeSection) -> None:
    line = section.closing.table.current_row()
    qtbot.keyClicks(QApplication.focusWidget(), "1")
    qtbot.keyClicks(QApplication.focusWidget(), "h30")
    press(qtbot, Key.Key_Return)
    assert line.key not in [one.key for one in section.closing.table.rows_model().rows]
    with section.desk.read() as conn:
        entry = conn.execute(hours_entry.select().order_by(hours_entry.c.id.desc())).first()
    assert entry is not None
    assert (entry.task_id, entry.minutes) == (line.key.ref, 90)


@pytest.mark.parametrize("column", ["name", "quoted", "typed", "answer"])
def test_a_word_typed_on_a_row_answers_no_other_row_and_never_closes(
    qtbot: QtBot, section: OutcomeSection, column: str
) -> None:
    model = section.closing.table.rows_model()
    line = model.rows[0]
    section.closing.table.setCurrentIndex(model.index(0, model.column_of(column)))
    press(qtbot, Key.Key_A, Key.Key_L, Key.Key_L, Key.Key_Return, Key.Key_Return, Key.Key_Escape)
    assert kept(section).closed_on is None
    assert set(answers(section)) == {""}, "nothing but the row typed in"
    assert section.closing.table.hasFocus()
    if column != "answer":
        assert line.key not in [one.key for one in model.rows], "all: the time as quoted is logged"
        with section.desk.read() as conn:
            entry = conn.execute(hours_entry.select().order_by(hours_entry.c.id.desc())).first()
        assert entry is not None
        assert (entry.task_id, entry.minutes) == (line.key.ref, line.minutes)


def test_the_last_row_answered_leaves_the_keyboard_off_the_buttons(qtbot: QtBot, section: OutcomeSection) -> None:
    for _ in range(30):
        if not section.closing.table.rows_model().rows:
            break
        press(qtbot, Key.Key_A, Key.Key_L, Key.Key_L, Key.Key_Return)
    press(qtbot, Key.Key_Return, Key.Key_Space)
    assert kept(section).closed_on is None


def test_closed_unanswered_says_so_and_is_answered_later(qtbot: QtBot, section: OutcomeSection) -> None:
    assert section.closing.close_button.text() == "Close it, not fully logged"
    section.closing.close_button.click()
    assert kept(section).unanswered == len(answers(section))
    assert "not fully logged" in section.head.pill.text()
    assert "learns nothing" in section.closing.words.text()
    assert "less than quoted" not in section.head.sentence.text(), "what nobody wrote down is not saved"
    section.closing.take_focus()
    press(qtbot, Key.Key_A, modifier=REST)
    assert not kept(section).is_fully_logged, "materials are answered by themselves"
    for _ in range(answers(section).count("")):
        press(qtbot, Key.Key_N, Key.Key_Return)
    assert kept(section).is_fully_logged
    assert section.head.pill.text() == "closed Nov 12, 2026"


def test_what_is_owed_leads_to_where_it_is_dealt_with(qtbot: QtBot, section: OutcomeSection) -> None:
    links = section.closing.owed.links()
    invoice = next(link for link in links if link.text().startswith("Never invoiced: $"))
    with qtbot.waitSignal(section.desk.asked_for) as asked:
        invoice.click()
    assert asked.args == ["jobs", section.job_id, "money"]
    assert any(link.text().startswith("Deadline still ahead: closing date") for link in links)


def test_the_close_button_asks_first_where_there_is_something_to_ask(
    qtbot: QtBot, evening: tuple[Company, SimpleNamespace]
) -> None:
    company, ids = evening
    desk = Desk(company, lambda: TODAY)
    part = EndingPart(desk)
    qtbot.addWidget(part)
    for job_id, asks in ((ids.over, True), (ids.draft, False)):
        with company.read() as conn:
            part.show_job(fetch_one(conn, Job, job, job_id))
        with qtbot.waitSignal(desk.asked_for, raising=asks, timeout=300):
            part.close_button.click()
        with company.read() as conn:
            assert (fetch_one(conn, Job, job, job_id).closed_on is None) is asks
