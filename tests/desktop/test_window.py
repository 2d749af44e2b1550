"""The window as a whole: files that cannot be opened, places and keys, undo, find, restore, the theme, a bug."""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot
from sqlalchemy import event

from db.company_file import Company, create_company, open_company
from desktop import trouble
from desktop.look.theme import current_tokens
from desktop.pages.company import PARTS
from desktop.places import PLACES
from desktop.record_shelf import shelf_of
from tests.bench.big_company import fill_big_company
from tests.db.company_files import TODAY, add_customer, company_file, content, customer_names, untouched
from tests.journeys.at_the_desk import SHIFT, FileDialogs, Person, quiet_qt

Key = Qt.Key
pytestmark = quiet_qt


@pytest.fixture
def owner(qtbot: QtBot, tmp_path: Path) -> Iterator[Person]:
    """Someone at the welcome page."""
    person = Person(qtbot, tmp_path / "settings")
    yield person
    person.leave()


@pytest.fixture
def dialogs(monkeypatch: pytest.MonkeyPatch) -> FileDialogs:
    return FileDialogs(monkeypatch)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A company with its library and a dozen jobs, closed."""
    return made_up(tmp_path_factory.mktemp("small"), 12)


@pytest.fixture
def company(small: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy2(small, tmp_path / "Quarry Lane.riserbook"))


def made_up(folder: Path, jobs: int) -> Path:
    path = folder / f"{jobs} jobs.riserbook"
    with create_company(path, "Quarry Lane Radon", "Ada Quill", TODAY) as made, made.engine.begin() as conn:
        fill_big_company(conn, jobs, days=400)
        # One deadline that is near, however few the jobs are: without any, the calendar need not look further.
        conn.exec_driver_sql("UPDATE job SET closed_on = NULL, cancelled_on = NULL WHERE id = 1")
        conn.exec_driver_sql(
            "INSERT INTO deadline (job_id, due_on, reason, met) VALUES (1, date('now', '+5 days'), 'closing date', 0)"
        )
    return path


# Files that cannot be opened


def a_letter(folder: Path) -> Path:
    path = folder / "letter.riserbook"
    path.write_text("Dear customer,\n" * 400, "utf-8")
    return path


def another_database(folder: Path) -> Path:
    path = folder / "stamps.riserbook"
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("CREATE TABLE stamp (id INTEGER PRIMARY KEY)")
    return path


def damaged(folder: Path) -> Path:
    path = company_file(folder)
    spoiled = bytearray(path.read_bytes())
    for page in range(2, len(spoiled) // 4096):
        spoiled[page * 4096 : page * 4096 + 64] = b"\xa5" * 64
    path.write_bytes(spoiled)
    return path


def newer(folder: Path) -> Path:
    path = company_file(folder)
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("UPDATE alembic_version SET version_num = '9999'")
        conn.commit()
    return path


TROUBLES = [
    (a_letter, "is not a firm's file"),
    (another_database, "is a database, but not a firm's file"),
    (damaged, "is damaged"),
    (newer, "newer version of Riserbook"),
]


@pytest.mark.parametrize(("make", "words"), TROUBLES, ids=lambda value: getattr(value, "__name__", None))
def test_what_cannot_be_opened_is_said_where_one_stands_and_not_touched(
    owner: Person, company: Path, tmp_path: Path, make: Callable[[Path], Path], words: str
) -> None:
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    path = make(folder)
    before = untouched(folder)
    owner.open(path)
    assert words in owner.window.welcome.problem.text()
    assert owner.window.welcome.problem.isVisible()
    owner.open(company)
    assert owner.place == "Tonight"
    owner.open(path)
    assert words in owner.window.toast.text()
    assert owner.company.path == company  # what was open stays open
    assert untouched(folder) == before
    assert owner.window.settings.recent == [company]


def test_a_read_only_file_is_said_and_left(
    owner: Person, company: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A locked file is only imitated: the one who runs the tests may be allowed everything."""
    really = os.access
    monkeypatch.setattr(
        os, "access",
        lambda path, mode, **more: really(path, mode, **more) and not (mode & os.W_OK and Path(path) == company),
    )  # fmt: skip
    before = company.read_bytes()
    owner.open(company)
    assert owner.window.welcome.problem.isVisible()
    assert company.name in owner.window.welcome.problem.text()
    assert company.read_bytes() == before


def test_a_file_that_is_open_elsewhere_is_said_and_opens_once_it_is_free(owner: Person, company: Path) -> None:
    with open_company(company):
        owner.open(company)
        assert owner.window.company is None
        assert "open" in owner.window.welcome.problem.text()
    owner.open(company)
    assert owner.company.path == company


def test_the_same_file_twice_is_said_and_stays_open(owner: Person, company: Path) -> None:
    owner.open(company)
    owner.open(company)
    assert owner.window.company is not None
    assert owner.place == "Tonight"


# Opening, the recent ones, copies


def test_recent_companies_stand_on_the_welcome_page_and_in_the_menu(
    owner: Person, company: Path, tmp_path: Path
) -> None:
    second = Path(shutil.copy2(company, tmp_path / "Second firm.riserbook"))
    gone = Path(shutil.copy2(company, tmp_path / "Gone.riserbook"))
    for path in (gone, company, second):
        owner.open(path)
    gone.unlink()
    assert owner.window.settings.recent == [second, company]
    owner.leave()
    owner.window = owner._open_window()
    assert owner.sees("Second firm", "Quarry Lane")
    assert not owner.sees("Gone")
    owner.click("Quarry Lane")
    assert owner.company.path == company
    menu = owner.window.menu
    menu.aboutToShow.emit()
    assert [action.text() for action in menu._recent.actions()] == ["Quarry Lane", "Second firm"]


def test_what_is_half_typed_is_saved_when_the_program_is_closed(owner: Person, company: Path) -> None:
    owner.open(company)
    owner.ctrl(Key.Key_2)
    owner.press(Key.Key_Return)
    name = owner.field("Name").value()
    owner.fill("Bills go to", "the office, never the house")  # no Enter, no Tab
    owner.leave()
    owner.window = owner._open_window()
    owner.open(company)
    with owner.desk.read() as conn:
        kept = conn.exec_driver_sql("SELECT name, billing_address FROM customer WHERE billing_address <> ''")
        assert (name, "the office, never the house") in [tuple(row) for row in kept]


def test_a_time_half_typed_in_the_log_is_saved_when_one_goes_elsewhere(owner: Person, sample_file: Path) -> None:
    owner.open(sample_file)
    owner.press(Key.Key_Return)
    before = len(owner.company_hours())
    owner.type("25m")
    owner.ctrl(Key.Key_4)
    assert len(owner.company_hours()) == before + 1


def test_a_backup_brings_the_company_back(owner: Person, company: Path, dialogs: FileDialogs) -> None:
    owner.open(company)
    owner.window.go("company", None, "safe")
    owner.settle()
    owner.click(owner.page.part("safe").back_up_now)
    owner.bot.waitUntil(lambda: owner.sees("Backed up, and the backup was checked."), timeout=20_000)
    names = customer_names(owner.company)
    owner.ctrl(Key.Key_2)
    owner.ctrl(Key.Key_N)
    owner.type("Wren Halloway")
    owner.ctrl(Key.Key_Return)
    assert customer_names(owner.company) == [*names, "Wren Halloway"]
    owner.ctrl(Key.Key_5)
    owner.click(owner.table("Backups"))
    owner.press(Key.Key_Home)
    owner.click("Restore this backup")
    assert owner.sees("would be gone from this firm", "Add customer Wren Halloway")
    owner.click("Restore it")
    assert customer_names(owner.company) == names
    assert owner.window.company is not None
    assert owner.sees("Restored. What was there before is among the backups.")


def test_a_copy_is_written_and_the_first_file_stays_open(owner: Person, company: Path, dialogs: FileDialogs) -> None:
    owner.open(company)
    dialogs.answer = company.with_name("A copy")
    owner.window.menu.save_copy()
    copy = company.with_name("A copy.riserbook")
    said = "Saved a copy: A copy.riserbook. You go on working in the file that is open."
    owner.bot.waitUntil(lambda: owner.sees(said), timeout=20_000)
    assert owner.company.path == company
    owner.window.close_company()
    assert content(copy)["customer"] == content(company)["customer"]


# Places, find, undo


def test_every_place_has_a_key_and_leaves_the_cursor_in_it(owner: Person, company: Path) -> None:
    owner.open(company)
    for _ in range(2):  # the second time a page is there already
        for number, place in enumerate(PLACES):
            owner.ctrl(Key(Key.Key_1 + number))
            assert owner.place == place.title
            assert owner.page.isAncestorOf(owner.focus), place.title
            owner.press(Key.Key_Down)
            assert QApplication.activePopupWidget() is None


def test_going_from_place_to_place_changes_nothing(owner: Person, company: Path) -> None:
    owner.open(company)
    owner.window.close_company()
    before = content(company)
    owner.open(company)
    for number in range(len(PLACES)):
        owner.ctrl(Key(Key.Key_1 + number))
    for part in PARTS:
        owner.window.go("company", None, part)
    owner.settle()
    assert owner.company.undo_label is None
    owner.window.close_company()
    assert content(company) == before


def test_find_goes_to_a_customer_and_to_a_job_from_anywhere(owner: Person, company: Path) -> None:
    owner.open(company)
    with owner.desk.read() as conn:
        number, job_id = conn.exec_driver_sql("SELECT number, id FROM job ORDER BY id DESC LIMIT 1").one()
        name, customer_id = conn.exec_driver_sql("SELECT name, id FROM customer ORDER BY id LIMIT 1").one()
    owner.ctrl(Key.Key_5)
    owner.ctrl(Key.Key_K)
    owner.type(number, Key.Key_Return)
    assert (owner.place, owner.page.job.job_id) == ("Jobs", job_id)
    owner.ctrl(Key.Key_K)
    owner.type("nobody of that name")
    owner.bot.waitUntil(lambda: owner.sees("Nothing found."))
    owner.press(Key.Key_Escape)
    assert owner.place == "Jobs"
    owner.ctrl(Key.Key_K)
    owner.type(name.upper(), Key.Key_Return)
    assert (owner.place, owner.page.view.customer_id) == ("Customers", customer_id)


def test_undo_and_redo_reach_across_pages(owner: Person, company: Path) -> None:
    owner.open(company)
    names = customer_names(owner.company)
    owner.ctrl(Key.Key_2)
    owner.ctrl(Key.Key_N)
    owner.type("Wren Halloway")
    owner.ctrl(Key.Key_Return)
    owner.fill("Bills go to", "the office", Key.Key_Tab)
    owner.ctrl(Key.Key_3)
    owner.ctrl(Key.Key_Z)
    assert owner.sees("Undone: Change bills go to of customer")
    owner.ctrl(Key.Key_Z)
    assert owner.sees("Undone: Add customer Wren Halloway")
    assert customer_names(owner.company) == names
    owner.ctrl(Key.Key_2)  # whose page was shown is gone
    assert not owner.sees("Wren Halloway", "customer since")
    owner.ctrl(Key.Key_Z, SHIFT)
    owner.ctrl(Key.Key_Z, SHIFT)
    assert customer_names(owner.company) == [*names, "Wren Halloway"]
    owner.ctrl(Key.Key_Y)  # nothing is left to do again
    assert customer_names(owner.company) == [*names, "Wren Halloway"]


def test_undo_works_from_inside_a_field_and_first_takes_back_what_is_half_typed(
    owner: Person, company: Path
) -> None:
    owner.open(company)
    owner.ctrl(Key.Key_2)
    owner.press(Key.Key_Return)
    field = owner.field("Bills go to")
    owner.fill("Bills go to", "the office")
    owner.ctrl(Key.Key_Return)  # saved, with the cursor still in the field
    owner.type("!")
    owner.ctrl(Key.Key_Z)
    assert (owner.focus, field.toPlainText()) == (field, "the office")
    owner.ctrl(Key.Key_Z)
    assert owner.sees("Undone: Change bills go to of customer")
    assert (owner.focus, field.toPlainText()) == (field, "")
    owner.ctrl(Key.Key_Z, SHIFT)
    assert field.toPlainText() == "the office"
    owner.fill("Name", "Wren Halloway", Key.Key_Return)
    owner.ctrl(Key.Key_Z)
    assert owner.here == "Name"
    assert owner.field("Name").text() != "Wren Halloway"
    owner.ctrl(Key.Key_Z, SHIFT)
    assert owner.field("Name").text() == "Wren Halloway"
    owner.type(" Jr", Key.Key_Return)
    owner.type("x")
    owner.ctrl(Key.Key_Z)
    assert owner.field("Name").text() == "Wren Halloway Jr"


def test_undo_beside_a_word_never_takes_back_another_step(owner: Person, company: Path) -> None:
    owner.open(company)
    owner.desk.do("Add Ada", lambda edit: add_to(edit, "Ada Quill"), say="Ada is added", undo=True)
    assert owner.window.toast.isVisible()
    owner.desk.do("Add Wren", lambda edit: add_to(edit, "Wren Halloway"))
    assert not owner.window.toast.isVisible()


def add_to(edit: Any, name: str) -> int:
    from db.commands import people

    return people.add_customer(edit, name, TODAY)


# Trouble


@pytest.mark.qt_no_exception_capture
def test_a_bug_becomes_a_report_and_a_word_and_keeps_the_data(
    owner: Person, company: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    trouble.catch_everything(owner.window.show_trouble)
    owner.open(company)
    whose = "Wren Halloway"
    add_customer(owner.company, whose)

    def fail(*_: object) -> None:
        add_customer(owner.company, "kept as well")
        raise ZeroDivisionError(whose)

    QTimer.singleShot(0, fail)
    owner.bot.waitUntil(lambda: any(box.isVisible() for box in owner.window.findChildren(QMessageBox)))
    (box,) = [box for box in owner.window.findChildren(QMessageBox) if box.isVisible()]
    words = f"{box.text()} {box.informativeText()}"
    assert "Every step saved before this one is in the firm's file" in words
    assert "Traceback" not in words
    (report,) = trouble_reports()
    assert "ZeroDivisionError" in report.read_text("utf-8")
    assert whose not in report.read_text("utf-8")  # what an error says may hold a customer's name
    owner.press(Key.Key_Escape)
    assert not box.isVisible()
    owner.ctrl(Key.Key_2)
    assert owner.place == "Customers"  # one can go on
    assert customer_names(owner.company)[-2:] == ["Wren Halloway", "kept as well"]
    assert "Traceback" not in capsys.readouterr().err


def trouble_reports() -> list[Path]:
    from platformdirs import user_log_path

    return sorted(user_log_path("riserbook", appauthor=False).glob("report-*.txt"))


# Looks


def test_light_and_dark_are_changed_at_once_and_remembered(owner: Person, company: Path) -> None:
    owner.open(company)
    owner.window.go("company", None, "appearance")
    owner.settle()
    for choice in ("Dark", "Light", "Dark"):
        owner.click(choice)
        middle = owner.window.grab().toImage().pixelColor(owner.window.width() // 2, owner.window.height() - 8)
        assert middle == QColor(current_tokens().paper)
        assert (middle.lightness() < 90) == (choice == "Dark")
    owner.leave()
    owner.start_again()
    assert owner.window.settings.appearance == "dark"
    assert QColor(current_tokens().paper).lightness() < 90


@pytest.mark.parametrize("appearance", ["light", "dark"])
def test_every_page_opens_without_a_warning(owner: Person, sample_file: Path, appearance: str) -> None:
    """The module's marks fail the test on any warning of Qt, any error in a slot fails it by itself."""
    owner.window.menu.set_appearance(appearance)
    owner.open(sample_file)
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT job_id FROM hours_entry ORDER BY id DESC LIMIT 1").scalar_one()
        customer_id = conn.exec_driver_sql("SELECT max(id) FROM customer").scalar_one()
    stops: list[tuple[str, object, str]] = [(place.key, None, "") for place in PLACES]
    stops += [("company", None, part) for part in PARTS]
    stops += [("customers", customer_id, ""), ("customers", "new", ""), ("jobs", "new", "")]
    for place, key, section in stops:
        owner.window.go(place, key, section)
        assert not owner.window.grab().isNull()
        owner.settle()
    owner.window.go("jobs", job_id)
    for one in range(owner.page.job.strip.layout().count() - 1):
        owner.alt(Key(Key.Key_1 + one))
        owner.window.grab()
    for size in ((1024, 640), (1920, 1080)):
        owner.window.resize(*size)
        owner.settle()
    owner.press(Key.Key_Escape)
    owner.window.close_company()
    owner.window.grab()


# The sample company


def test_the_sample_opens_as_a_copy_that_is_gone_afterwards(owner: Person, sample_original: Path) -> None:
    from desktop import sample

    kept = sample._kept()
    kept.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy2(sample_original, kept)
    before = kept.read_bytes()
    owner.click("Open the sample firm")
    copy = owner.company.path
    assert copy != kept
    add_customer(owner.company, "Wren Halloway")
    assert owner.window.settings.recent == []
    owner.window.close()
    owner.window.let_go()
    assert not copy.exists()
    assert kept.read_bytes() == before


# Speed that does not depend on the size


def test_a_page_opens_with_as_many_statements_in_a_larger_company(
    owner: Person, small: Path, tmp_path: Path
) -> None:
    few = opening_statements(owner, Path(shutil.copy2(small, tmp_path / "few.riserbook")))
    many = opening_statements(owner, made_up(tmp_path, 40))
    assert many == few


def opening_statements(owner: Person, path: Path) -> dict[str, int]:
    """How many statements each place and each section of a closed job takes when it is gone to again.

    Counted once everything is built, readied and learned, and twice: what a machine that is busy with other things
    still does in between (a copy in safe keeping, the clock's look) can only add, so the fewer are the page's own.
    """
    owner.open(path)
    assert owner.window.readying is not None
    owner.window.readying.finish()
    assert shelf_of(owner.desk).wait()
    with owner.desk.read() as conn:
        job_id = conn.exec_driver_sql("SELECT id FROM job WHERE closed_on IS NOT NULL LIMIT 1").scalar_one()
    stops: list[tuple[str, object, str]] = [(place.key, None, "") for place in PLACES]
    stops += [("jobs", job_id, section) for section in ("survey", "quote", "log", "money", "outcome")]
    stops += [("company", None, part) for part in PARTS]
    for stop in stops:  # built beforehand: building is not what is counted
        owner.window.go(*stop)
    owner.settle()
    first, again = count_statements(owner, stops), count_statements(owner, stops)
    return {name: min(count, again[name]) for name, count in first.items()}


def count_statements(owner: Person, stops: list[tuple[str, object, str]]) -> dict[str, int]:
    """Go to each, one after the other."""
    owner.window.go("jobs", "list")
    owner.settle()
    counts: dict[str, int] = {}
    for stop in stops:
        if stop == ("jobs", None, ""):
            stop = ("jobs", "list", "")
        with counted(owner.company) as seen:
            owner.window.go(*stop)
            if stop[0] == "tonight":
                owner.window.stack.currentWidget().finish_reading()
            owner.settle()
        counts[f"{stop[0]} {stop[2]}"] = len(seen)
    return counts


class counted:
    """Statements sent to a company while the block runs."""

    def __init__(self, company: Company) -> None:
        self._engine, self._seen = company.engine, list[str]()

    def __enter__(self) -> list[str]:
        event.listen(self._engine, "before_cursor_execute", self._note)
        return self._seen

    def __exit__(self, *_: object) -> None:
        event.remove(self._engine, "before_cursor_execute", self._note)

    def _note(self, *args: Any) -> None:
        self._seen.append(args[2])


def test_the_date_of_a_new_company_is_that_of_the_clock(owner: Person, company: Path) -> None:
    owner.open(company)
    assert owner.desk.today() == date.today()
