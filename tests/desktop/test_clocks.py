"""Midnight with the window open, clocks put forward and back, leap days, another time zone: no minute and no day lost.

Days on which clocks change in New York: March 8 and November 1, 2026 (IANA time zone database, from memory); the
database itself reckons them here.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from db.commands.log import cancel_timer, start_timer, stop_timer
from db.queries.log import job_log
from db.queries.log_offers import running_timer
from desktop import clock
from desktop.desk import Desk
from desktop.new_day import NewDay
from desktop.pages.job_sections.log import LogSection
from desktop.widgets.date_field import FIRST_DAY, LAST_DAY, DateField
from desktop.widgets.notices import Toast
from desktop.widgets.timer_strip import TimerStrip
from domain.log_entry import passed_seconds, timer_minutes
from tests.desktop.evening import TODAY, evening_company

NEW_YORK, DENVER = ZoneInfo("America/New_York"), ZoneInfo("America/Denver")


class Hand:
    """The hands of the clock: `to` sets them, `on` moves them."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.moment = datetime(TODAY.year, TODAY.month, TODAY.day, 23, 50, tzinfo=NEW_YORK)
        monkeypatch.setattr(clock, "source", lambda: self.moment)

    def to(self, *parts: int, zone: ZoneInfo = NEW_YORK) -> None:
        self.moment = datetime(*parts, tzinfo=zone)  # type: ignore[misc,arg-type]

    def on(self, minutes: int) -> None:
        self.moment = (self.moment.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(self.moment.tzinfo)


@pytest.fixture
def hand(monkeypatch: pytest.MonkeyPatch) -> Hand:
    return Hand(monkeypatch)


@pytest.fixture
def made(tmp_path, hand):
    company, ids = evening_company(tmp_path)
    yield company, ids
    company.close()


def _run(company, ids, hand: Hand, minutes: int):
    """The clock runs so long; what was logged."""
    desk = Desk(company)
    desk.do("Start", lambda edit: start_timer(edit, ids.today, ids.task["Set the fan"], ids.owner, desk.now()))
    hand.on(minutes)
    desk.do("Stop", lambda edit: stop_timer(edit, desk.now()))
    with company.read() as conn:
        return job_log(conn, ids.today).hours[-1]


@pytest.mark.parametrize(
    ("begin", "minutes", "day"),
    [
        ((2026, 11, 1, 0, 30), 180, date(2026, 11, 1)),  # the day of 25 hours: the hands show 2:30
        ((2026, 11, 1, 0, 0), 1440, date(2026, 11, 1)),  # all but an hour of it
        ((2027, 3, 14, 1, 30), 120, date(2027, 3, 14)),  # the day of 23 hours: the hands show 4:30
        ((2026, 12, 31, 23, 15), 90, date(2026, 12, 31)),  # over midnight and the year
        ((2028, 2, 29, 23, 0), 120, date(2028, 2, 29)),  # a leap day
        ((2026, 12, 3, 8, 0), 61, date(2026, 12, 3)),
    ],
)
def test_the_minutes_that_passed_are_logged_whatever_the_hands_did(made, hand, begin, minutes, day):
    company, ids = made
    hand.to(*begin)
    logged = _run(company, ids, hand, minutes)
    assert (logged.minutes, logged.day) == (minutes, day)
    if logged.began is not None:  # a span is only told where it ends at the hour the hands showed
        ends = datetime(*begin) + timedelta(minutes=minutes)
        assert hand.moment.replace(tzinfo=None) == ends


def test_a_drive_into_another_time_zone_takes_as_long_as_it_takes(made, hand):
    company, ids = made
    hand.to(2026, 12, 3, 8, 0)
    desk = Desk(company)
    desk.do("Start", lambda edit: start_timer(edit, ids.today, ids.task["Set the fan"], ids.owner, desk.now()))
    hand.to(2026, 12, 3, 8, 30, zone=DENVER)
    desk.do("Stop", lambda edit: stop_timer(edit, desk.now()))
    with company.read() as conn:
        assert job_log(conn, ids.today).hours[-1].minutes == 150


def test_a_clock_of_an_older_program_has_no_offset_and_runs_by_the_wall():
    began, now = datetime(2026, 12, 3, 8, 0), datetime(2026, 12, 3, 9, 30, tzinfo=NEW_YORK)
    assert timer_minutes(began, now) == 90
    assert passed_seconds(now, began) == -5400


def test_a_computers_clock_set_back_loses_no_running_clock(made, hand):
    company, ids = made
    desk, said = Desk(company), []
    desk.spoke.connect(lambda text, *_: said.append(text))
    hand.to(2026, 12, 3, 8, 0)
    task = ids.task["Set the fan"]
    desk.do("Start", lambda edit: start_timer(edit, ids.today, task, ids.owner, desk.now()))
    hand.to(2026, 12, 2, 7, 0)
    other = next(one for name, one in ids.task.items() if one != task)
    desk.do("Stop", lambda edit: stop_timer(edit, desk.now()))
    desk.do("Start another", lambda edit: start_timer(edit, ids.today, other, ids.owner, desk.now()))
    assert len(said) == 2
    assert all("set back" in one for one in said)
    with company.read() as conn:
        running = running_timer(conn)
    assert running is not None
    assert running.timer.task_id == task  # not stopped without a word
    with company.action("Cancel") as edit:
        cancel_timer(edit)


def test_the_strip_counts_on_over_midnight_and_says_on_which_day_the_hours_stand(qtbot, made, hand):
    company, ids = made
    desk, said = Desk(company), []
    desk.spoke.connect(lambda text, *_: said.append(text))
    strip = TimerStrip()
    qtbot.addWidget(strip)
    desk.do("Start", lambda edit: start_timer(edit, ids.today, ids.task["Set the fan"], ids.owner, desk.now()))
    hand.on(25)
    strip.set_desk(desk)
    assert strip.words().startswith("25 min")
    strip.stop.click()
    assert said[-1].startswith("The hours are logged on")
    with company.read() as conn:
        assert job_log(conn, ids.today).hours[-1].day == TODAY


def test_a_log_open_over_midnight_stays_on_its_day_and_says_so(qtbot, made, hand):
    company, ids = made
    desk, said = Desk(company), []
    desk.spoke.connect(lambda text, *_: said.append(text))
    section = LogSection(desk)
    qtbot.addWidget(section)
    section.resize(1280, 760)
    section.show()
    section.show_job(ids.today)
    desk.changed.connect(section.refresh)
    watch = NewDay(desk)
    assert section.days.today_button.isHidden()
    hand.on(20)
    watch.look()
    watch.look()
    assert len([one for one in said if "new day" in one]) == 1
    assert section.day == TODAY
    assert section.days.today_button.text().startswith("Past midnight: go to")
    section.days.today_button.click()
    assert section.day == TODAY + timedelta(days=1)
    assert section.days.today_button.isHidden()


def test_what_is_half_typed_at_midnight_stays(qtbot, made, hand):
    company, ids = made
    desk = Desk(company)
    section = LogSection(desk)
    qtbot.addWidget(section)
    section.resize(1280, 640)
    section.show_job(ids.today)
    section.show()
    qtbot.waitExposed(section)
    section.activateWindow()
    QApplication.processEvents()
    desk.changed.connect(section.refresh)
    section.hours.table.setFocus()
    QTest.keyClicks(QApplication.focusWidget(), "6")
    QApplication.processEvents()
    field = QApplication.focusWidget()
    assert field is not None
    assert field is not section.hours.table
    watch = NewDay(desk)
    hand.on(20)
    watch.look()
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "h")
    QTest.keyClick(field, Qt.Key.Key_Return)
    with company.read() as conn:
        entries = [(one.minutes, one.day) for one in job_log(conn, ids.today).hours]
    assert (360, TODAY) in entries


def test_a_clock_set_back_to_yesterday_is_said(made, hand):
    company, _ = made
    desk, said = Desk(company), []
    desk.spoke.connect(lambda text, *_: said.append(text))
    watch = NewDay(desk)
    hand.on(-24 * 60)
    watch.look()
    assert "went back" in said[-1]


def test_a_made_up_firms_evening_has_the_hour_of_this_machine(made, hand):
    company, _ = made
    desk = Desk(company, lambda: date(2026, 2, 3))
    assert desk.now().date() == date(2026, 2, 3)
    assert desk.now().hour == 23
    assert Desk(company).now() == hand.moment


def test_the_calendar_of_a_field_ends_where_years_do(qtbot):
    field = DateField(lambda: date(2026, 5, 14))
    qtbot.addWidget(field)
    field.show()
    field.open_calendar()
    popup = field._popup
    assert popup is not None
    for _ in range(3_000):
        QTest.keyClick(popup._calendar, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert popup._calendar.minimumDate() == FIRST_DAY
    popup._pick(FIRST_DAY.addDays(-1))
    assert field.value() is None
    popup._pick(LAST_DAY)
    assert field.value() == date(2199, 12, 31)
    for edge, key in ((date.min, Qt.Key.Key_Down), (date.max, Qt.Key.Key_Up)):
        field.set_value(edge)
        QTest.keyClick(field, key)


def test_a_toast_outlives_its_button(qtbot):
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QWidget

    window = QWidget()
    qtbot.addWidget(window)
    window.resize(600, 300)
    toast = Toast(window)
    window.show()
    window.activateWindow()
    for _ in range(3):
        toast.say("Removed", ("Undo", lambda: None))
        button = toast.action_button()
        assert button is not None
        button.setFocus()
        toast.say("Something else")
        del button
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        toast._leave()


def test_the_menus_entries_outlive_whoever_asked_for_them(qtbot, tmp_path):
    import gc

    import shiboken6
    from PySide6.QtWidgets import QMenu

    from desktop.local_settings import LocalSettings
    from desktop.window import Window

    window = Window(LocalSettings(tmp_path))
    qtbot.addWidget(window)
    for _ in range(5):
        for menu in window.menu.findChildren(QMenu):
            menu.setActiveAction(next(iter(menu.actions()), None))
            menu.activeAction()
        window.menu._recent.clear()
        gc.collect()
        window.menu._bring_up_to_date()
        assert all(shiboken6.isValid(one) for one in window.menu._appearances.values())


def test_an_action_on_what_was_taken_back_meanwhile_is_refused_in_words(made):
    from db.commands.visits import remove_visit

    company, _ = made
    desk, said = Desk(company), []
    desk.spoke.connect(lambda text, *_: said.append(text))
    assert desk.do("Remove a visit", lambda edit: remove_visit(edit, 99_999)) is None
    assert said == ["That is not there any more: it was removed or taken back meanwhile."]
    with pytest.raises(KeyError):
        desk.do("A bug", lambda edit: {}["x"])
