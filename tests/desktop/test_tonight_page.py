"""Tonight: begins on today's work, arrows reach every row, Enter opens the place where it is dealt with."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from db.commands.billing import draft_invoice, issue_invoice
from db.commands.jobs import cancel_job, schedule_job
from db.commands.log import log_hours
from db.company_file import open_company
from db.company_file.company import Company
from desktop.desk import Desk
from desktop.look.theme import apply_theme
from desktop.pages.tonight import TonightPage
from desktop.pages.tonight.line_row import LineRow
from tests.desktop.evening import TODAY, empty_company, evening_company

Key = Qt.Key


@pytest.fixture(scope="module")
def original(tmp_path_factory) -> tuple:
    company, ids = evening_company(tmp_path_factory.mktemp("evening"))
    company.close()
    return company.path, ids


@pytest.fixture
def company(original, tmp_path: Path) -> Iterator[Company]:
    made = open_company(shutil.copy2(original[0], tmp_path))
    yield made
    made.close()


class Shown:
    """The page in a window, with where it went."""

    def __init__(self, qtbot, company: Company, width: int = 1280, height: int = 754) -> None:
        apply_theme(QApplication.instance(), "light")
        self.desk = Desk(company, lambda: TODAY)
        self.went: list[tuple] = []
        self.desk.asked_for.connect(lambda *place: self.went.append(place))
        self.page = TonightPage(self.desk)
        self.desk.changed.connect(self.page.refresh)
        qtbot.addWidget(self.page)
        self.page.resize(width, height)
        self.page.refresh()
        self.page.show()
        qtbot.waitExposed(self.page)
        self.page.activateWindow()
        QApplication.processEvents()
        self.page._take_focus()
        self.page.read_dates()

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            QTest.keyClick(QApplication.focusWidget(), key)

    @property
    def here(self) -> str:
        return QApplication.focusWidget().accessibleName()

    def lines(self, band) -> list[str]:
        return [f"{row.line.title}: {row.line.fact}" for row in band.rows if not row.isHidden()]


@pytest.fixture
def shown(qtbot, company) -> Shown:
    return Shown(qtbot, company)


def test_it_greets_with_the_day_and_what_waits(shown):
    assert shown.page.head._title.text() == "Good evening, Wren"
    page = shown.page
    cards = (*page._left, *page._right)
    rows = sum(1 for card in cards if not card.isHidden() for row in card.rows if not row.isHidden())
    told = page.head._subtitle.text()
    assert told == f"Thu, Nov 12, 2026. {rows} things wait besides today's work."


def test_every_band_tells_its_job_in_a_line(shown):
    page = shown.page
    assert shown.lines(page.quotes) == [
        "Ferrante: draft, begun 5 days ago",
        "Kowal: $2,660.00 · expires in 2 days",
        "Brandt: $5,935.00 · sent 8 days ago",
    ]
    assert shown.lines(page.dates) == ["Osei Tannery: closing date Wed, Nov 18 lost"]
    (test,) = shown.lines(page.tests)
    assert test.startswith("Lindqvist & Søn: to place, last day in")
    assert shown.lines(page.silent) == ["Lindqvist & Søn: installed 3 days ago"]
    assert shown.lines(page.deadlines) == ["Osei Tannery: closing date Nov 18, in 6 days"]
    assert shown.lines(page.over) == ["Osei Tannery: 2 h 30 over 12 h 30"]
    assert shown.lines(page.unquoted) == ["Osei Tannery: 1 h 35"]


def test_money_to_ask_for_stands_there(shown):
    page = shown.page
    assert shown.lines(page.money)[0] == "Lindqvist & Søn: not invoiced, work finished 3 days ago"
    assert [line.partition(": deposit of ")[0] for line in shown.lines(page.money)[1:]] == [
        "Osei Tannery", "Ada Quill", "Nadir"
    ]


def test_enter_on_todays_job_opens_its_log(shown, original):
    assert shown.here.startswith("Log today on Ada Quill")
    shown.press(Key.Key_Return)
    assert shown.went == [("jobs", original[1].today, "log")]


def test_down_reaches_everything_and_enter_opens_where_it_is_dealt_with(shown, original):
    ids = original[1]
    seen = []
    for _ in range(16):
        shown.press(Key.Key_Return, Key.Key_Down)
    seen = shown.went
    assert seen == [
        ("jobs", ids.today, "log"),
        ("jobs", ids.over, "log"),
        ("company", None, "pull"),  # those two go on tomorrow
        ("jobs", ids.silent, "log"),
        ("jobs", ids.over, "outcome"),
        ("jobs", ids.silent, "closeout"),  # its test after the work
        ("jobs", ids.over, "facts"),
        ("jobs", ids.silent, "money"),
        ("jobs", ids.over, "money"),
        ("jobs", ids.today, "money"),
        ("jobs", ids.next_week, "money"),
        ("jobs", ids.draft, "quote"),
        ("jobs", ids.expiring, "quote"),
        ("jobs", ids.waiting, "quote"),
        ("jobs", ids.over, ""),
        ("jobs", ids.over, "log"),
    ]
    shown.press(Key.Key_Up)
    assert "closing date" in shown.here


def test_right_and_left_go_across(shown):
    shown.press(Key.Key_Right)
    assert shown.here.startswith("Osei Tannery, result Thu, Nov 19, 4 pm at the soonest")
    shown.press(Key.Key_Left)
    assert shown.here.startswith("Log today")


def test_what_is_done_goes_and_the_cursor_stays(shown, original):
    ids = original[1]
    shown.page.quotes.rows[1].setFocus()
    shown.desk.do("Log", lambda e: log_hours(e, ids.silent, TODAY, ids.task["Set the fan"], ids.owner, 60))
    assert shown.page.silent.isHidden()
    assert shown.here.startswith("Kowal")
    shown.desk.undo()
    assert not shown.page.silent.isHidden()


def test_nothing_to_do_is_said_calmly(shown, original):
    ids = original[1]

    def end_all(edit):
        for one in (ids.over, ids.silent, ids.draft, ids.waiting, ids.expiring, ids.next_week):
            cancel_job(edit, one, TODAY, "moved away")
        draft = draft_invoice(edit, "deposit", TODAY, job_id=ids.today)
        issue_invoice(edit, draft, TODAY)

    shown.desk.do("End", end_all)
    shown.page.read_dates()
    assert not shown.page.calm.isHidden()
    assert "Nothing waits" in shown.page.head._subtitle.text()


@pytest.mark.parametrize("size", [(1280, 754), (1024, 594)])
def test_a_page_of_ordinary_size_needs_no_sideways_scrolling(qtbot, company, size):
    page = Shown(qtbot, company, *size).page
    for row in page.findChildren(LineRow):
        assert page.rect().contains(row.mapTo(page, row.rect().topRight())) or row.isHidden()


def test_the_days_bands_fit_on_one_screen_and_the_last_begins_on_it(shown):
    page = shown.page
    bottoms = [band.mapTo(page, band.rect().bottomLeft()).y() for band in (page.over, page.today)]
    assert max(bottoms) < 754
    assert page.unquoted.mapTo(page, page.unquoted.rect().topLeft()).y() < 700


def test_a_new_company_is_led_through_its_first_steps(qtbot, tmp_path):
    made = empty_company(tmp_path)
    shown = Shown(qtbot, made)
    assert shown.page.today.isHidden()
    assert not shown.page.purpose.isHidden()
    for _ in range(3):
        shown.press(Key.Key_Return, Key.Key_Down)
    assert shown.went == [("company", None, "hour"), ("customers", "new", ""), ("jobs", "new", "")]
    made.close()


def test_a_day_without_a_job_offers_those_that_may_have_been_worked_on(shown, original):
    ids = original[1]

    def clear_the_day(edit):
        schedule_job(edit, ids.today, TODAY + timedelta(days=8))
        cancel_job(edit, ids.over, TODAY, "moved away")

    shown.desk.do("Move", clear_the_day)
    assert shown.lines(shown.page.offered) == [
        "Lindqvist & Søn: was to begin 3 days ago",
        "Nadir: begins in 5 days",
        "Ada Quill: begins in 8 days",
    ]
    shown.page.offered.rows[0].setFocus()
    shown.press(Key.Key_Return)
    assert shown.went == [("jobs", ids.silent, "log")]


def test_the_pull_sheet_of_tomorrow_is_a_line_while_there_are_jobs_for_it(shown, original):
    ids = original[1]
    assert shown.page.today.pull.text() == "Pull sheet for tomorrow: 2 jobs"
    shown.page.today.pull.click()
    assert shown.went == [("company", None, "pull")]
    with shown.page.desk.company.action("Stopped") as edit:
        cancel_job(edit, ids.over, TODAY, "sold")
    shown.page.refresh()
    assert shown.page.today.pull.text() == "Pull sheet for tomorrow: 1 job"
    with shown.page.desk.company.action("Stopped") as edit:
        cancel_job(edit, ids.today, TODAY, "sold")
    shown.page.refresh()
    assert shown.page.today.pull.isHidden()
