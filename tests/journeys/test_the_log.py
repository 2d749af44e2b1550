"""The second evening: a day is logged by someone tired, with one hand and the keyboard alone."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from db.queries.log import job_log
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.log_so_far import JobLog
from tests.journeys.at_the_desk import SHIFT, Person, quiet_qt
from tests.journeys.first_quote import CUSTOMER, Look, company_with_quote

Key = Qt.Key
pytestmark = quiet_qt

HOURS, MATERIALS, COSTS = "Hours by task", "Materials used", "Miles and other costs"


def logged(owner: Person) -> JobLog:
    """What is saved for the job that is shown."""
    with owner.desk.read() as conn:
        return job_log(conn, owner.page.job.job_id)


def test_the_first_job_is_scheduled_and_its_first_day_logged(
    owner: Person, tmp_path: Path, look: Look
) -> None:
    company_with_quote(owner, tmp_path)
    _schedule_for_today(owner, look)
    owner.ctrl(Key.Key_1)
    assert owner.here.startswith("Log today on Łukasz")
    owner.press(Key.Key_Return)
    assert owner.here == HOURS
    _hours_in_three_ways(owner, look)
    _unquoted_work(owner, look)
    _materials(owner, look)
    _miles(owner, look)
    _undo_from_elsewhere(owner)


def _schedule_for_today(owner: Person, look: Look) -> None:
    owner.ctrl(Key.Key_K)
    owner.type("lukasz", Key.Key_Return)  # the stroke through the l is not on every keyboard
    assert owner.place == "Customers"
    assert owner.field("Name").value() == CUSTOMER
    owner.ctrl(Key.Key_K)
    owner.type(f"{owner.desk.today():%y}-001", Key.Key_Return)
    assert owner.place == "Jobs"
    owner.to_section("Quote")
    owner.click("Set the first work day")
    assert owner.here == "First work day"
    owner.type("today", Key.Key_Return)
    assert owner.sees("scheduled")
    look("scheduled")


def _hours_in_three_ways(owner: Person, look: Look) -> None:
    """2h15, 2.25 and 8:15-10:30 are the same two hours and a quarter; the bar moves with each key."""
    big = next(one for one in owner.visible(QuotedActualBar) if one.accessibleName() == "Hours so far")
    owner.type("2h15")
    assert owner.section.totals.day_text() == "2 h 15"
    assert logged(owner).hours == ()
    owner.press(Key.Key_Return)
    owner.type("w", Key.Key_Return)
    assert owner.here == "Why it ran over"
    look("why")
    owner.type("7", Key.Key_Return)  # a cause by its number
    owner.type("2.25", Key.Key_Return)
    owner.type("w", Key.Key_Return)
    owner.type("the floor had to be covered twice", Key.Key_Return)  # or in a few words
    owner.type("8:15-10:30", Key.Key_Return)  # or not at all
    hours = logged(owner).hours
    assert [one.minutes for one in hours] == [135, 135, 135]
    assert [(one.cause_id is not None, one.note) for one in hours] == [
        (True, ""), (False, "the floor had to be covered twice"), (False, ""),
    ]  # fmt: skip
    assert hours[2].began is not None
    assert big.toolTip() or big.accessibleDescription()
    owner.type("a", Key.Key_Return)  # as quoted
    assert len(logged(owner).hours) == 4
    owner.type("3x", Key.Key_Return)
    assert owner.window.saved.text().startswith("Not kept yet: “3x”")
    look("hours")
    owner.press(Key.Key_Up, Key.Key_Escape)
    assert owner.window.saved.text().startswith("Saved")


def _unquoted_work(owner: Person, look: Look) -> None:
    """U and the time: two keystrokes more than quoted work."""
    owner.type("u", Key.Key_Return)
    owner.type("45m", Key.Key_Return)
    entry = logged(owner).hours[-1]
    assert (entry.minutes, entry.unquoted) == (45, True)
    assert owner.sees("Not quoted so far: 45 min")
    look("unquoted")


def _materials(owner: Person, look: Look) -> None:
    """All, none, so many, and something bought on the way at the price paid."""
    owner.press(Key.Key_End, Key.Key_Down)
    assert owner.here == MATERIALS
    owner.type("a", Key.Key_Return)
    owner.type("0", Key.Key_Return)
    owner.type("3", Key.Key_Return)
    owner.type("2 @ 5.15 till 8812", Key.Key_Return)
    uses = logged(owner).materials
    assert len(uses) == 3
    assert uses[0].quantity == owner.table(MATERIALS).rows_model().rows[0].quoted
    assert uses[1].quantity == 3
    assert (uses[2].unit_cost, uses[2].source, uses[2].receipt) == (Decimal("5.1500"), "receipt", "till 8812")
    look("materials")


def _miles(owner: Person, look: Look) -> None:
    owner.press(Key.Key_End, Key.Key_Down)
    assert owner.here == COSTS
    owner.type("38", Key.Key_Return)
    (miles,) = logged(owner).others
    assert (miles.kind, miles.quantity, miles.unit) == ("travel", Decimal(38), "mile")
    look("miles")


def _undo_from_elsewhere(owner: Person) -> None:
    """Ctrl+Z on another page asks, then takes back the last entry, Ctrl+Shift+Z brings it again; nothing else moves."""
    job_id = owner.page.job.job_id
    owner.ctrl(Key.Key_5)
    owner.ctrl(Key.Key_Z)
    assert owner.sees("nothing is changed yet")
    with owner.desk.read() as conn:
        assert len(job_log(conn, job_id).others) == 1
    owner.ctrl(Key.Key_Z)
    assert owner.sees("Undone on job ", ": Log miles driven")
    owner.ctrl(Key.Key_Z, SHIFT)
    owner.ctrl(Key.Key_Z, SHIFT)
    assert owner.sees("Done again on job ", ": Log miles driven")
    owner.ctrl(Key.Key_Z)
    owner.ctrl(Key.Key_Z)
    owner.ctrl(Key.Key_3)
    assert owner.page.job.job_id == job_id
    log = logged(owner)
    assert log.others == ()
    assert len(log.materials) == 3


def test_an_ordinary_day_of_the_sample_company_takes_less_than_a_minute(
    owner: Person, sample_file: Path, look: Look, capsys: pytest.CaptureFixture[str]
) -> None:
    """Six tasks, all materials but two, the miles: two keys a second is slow typing (common practice, no source)."""
    owner.open(sample_file)
    assert owner.here.startswith("Log today on")
    before = owner.keys
    owner.press(Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("25m", Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("45m", Key.Key_Return)
    owner.type("1h50", Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.press(Key.Key_End, Key.Key_Down)
    owner.type("a", Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("3", Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("0", Key.Key_Return)
    owner.press(Key.Key_End, Key.Key_Down)
    owner.type("a", Key.Key_Return)
    keys = owner.keys - before
    log = logged(owner)
    assert (len(log.hours), len(log.materials), len(log.others)) == (6, 4, 1)
    with capsys.disabled():
        print(f"\nan ordinary day takes {keys} keys, from Tonight to the last mile", end=" ")
    assert keys < 60
    look("day")
    owner.ctrl(Key.Key_1)
    assert owner.sees("logged today")


def test_a_running_clock_survives_the_closed_program(owner: Person, sample_file: Path, look: Look) -> None:
    owner.open(sample_file)
    owner.press(Key.Key_Return)
    owner.press(Key.Key_Down, Key.Key_T, Key.Key_Return)
    task = owner.section.hours.table.rows_model().text(owner.section.hours.table.current_row(), "what")
    assert owner.sees("Stop the clock")
    day = owner.desk.today()
    owner.leave()
    with sqlite3.connect(sample_file) as time_passes:
        time_passes.execute("UPDATE timer SET started_at = ?", [f"{day}T00:00:00"])
    time_passes.close()
    owner.start_again()
    assert owner.place == "Tonight"
    strip = owner.window.timer_strip
    assert strip.isVisible()
    assert task.partition(" · ")[0] in strip.open.accessibleName()
    look("running")
    owner.click(strip.open)
    assert owner.sees("Stop the clock")
    since_midnight = datetime.now().hour * 60 + datetime.now().minute
    owner.press(Key.Key_Home, Key.Key_Down, Key.Key_T, Key.Key_Return)
    (entry,) = [one for one in logged(owner).hours if one.day == day]
    assert since_midnight <= entry.minutes <= since_midnight + 2
    assert not strip.isVisible()
