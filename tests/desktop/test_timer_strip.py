"""The clock in the window's head: there while it runs, also after the program was closed."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from db.commands.log import start_timer
from db.company_file import open_company
from db.queries.log import job_log
from db.queries.log_offers import running_timer
from desktop.desk import Desk
from desktop.widgets.timer_strip import TimerStrip
from tests.desktop.evening import TODAY, evening_company


@pytest.fixture
def made(tmp_path: Path):
    company, ids = evening_company(tmp_path)
    yield company, ids
    company.close()


def _desk(company) -> Desk:
    return Desk(company, lambda: TODAY)


def _start(company, ids, ago: timedelta) -> None:
    with company.action("Clock") as edit:
        now = datetime.combine(TODAY, datetime.now().time())  # the company's evening at the hour of this machine
        start_timer(edit, ids.today, ids.task["Set the fan"], ids.owner, now - ago)


def test_it_is_hidden_until_a_clock_runs(qtbot, made):
    company, ids = made
    strip = TimerStrip()
    qtbot.addWidget(strip)
    assert strip.isHidden()
    desk = _desk(company)
    strip.set_desk(desk)
    assert strip.isHidden()
    _start(company, ids, timedelta(minutes=0))
    strip.refresh()
    assert not strip.isHidden()
    strip.set_desk(None)
    assert strip.isHidden()


def test_a_clock_started_before_the_program_was_closed_runs_on(qtbot, tmp_path):
    company, ids = evening_company(tmp_path)
    _start(company, ids, timedelta(seconds=70))
    company.close()
    again = open_company(company.path)
    strip = TimerStrip()
    qtbot.addWidget(strip)
    strip.set_desk(_desk(again))
    assert strip.words() == "1 min"
    strip.resize(1600, 40)
    strip.show()
    assert strip.words() == "1 min · Set the fan"
    assert "26-001, Ada Quill" in strip.open.accessibleName()
    again.close()


def test_stopping_logs_the_hours_and_cancelling_logs_nothing(qtbot, made):
    company, ids = made
    desk = _desk(company)
    strip = TimerStrip()
    qtbot.addWidget(strip)
    desk.changed.connect(strip.refresh)
    strip.set_desk(desk)
    _start(company, ids, timedelta(seconds=70))
    strip.refresh()
    qtbot.mouseClick(strip.stop, Qt.MouseButton.LeftButton)
    with company.read() as conn:
        assert [one.minutes for one in job_log(conn, ids.today).hours] == [1]
        assert running_timer(conn) is None
    assert strip.isHidden()
    desk.undo()
    assert not strip.isHidden()
    strip.resize(1600, 40)
    strip.show()
    qtbot.mouseClick(strip.cancel, Qt.MouseButton.LeftButton)
    with company.read() as conn:
        assert job_log(conn, ids.today).hours == ()
    assert strip.isHidden()


def test_it_opens_the_log_it_runs_on(qtbot, made):
    company, ids = made
    desk, went = _desk(company), []
    desk.asked_for.connect(lambda *place: went.append(place))
    _start(company, ids, timedelta(seconds=70))
    strip = TimerStrip()
    qtbot.addWidget(strip)
    strip.set_desk(desk)
    qtbot.mouseClick(strip.open, Qt.MouseButton.LeftButton)
    assert went == [("jobs", ids.today, "log")]
