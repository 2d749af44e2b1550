"""The calendar as a person uses it: by keys alone from Tonight to a booked, moved and finished visit."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
import vobject
from PySide6.QtCore import Qt, QThreadPool
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from db.commands.jobs import add_deadline
from db.commands.visits import book_visit
from db.company_file.company import Company
from db.queries.calendar import visits_between, visits_of_job
from desktop.desk import Desk
from desktop.look.theme import apply_theme
from desktop.pages.tonight import TonightPage
from desktop.pages.tonight.calendar.week_cell import lanes_of
from desktop.pages.visits.dialog import VisitDialog
from desktop.pages.visits.job_visits import write_calendar_file
from domain.calendar.visits import PlannedVisit, Visit
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements

Key, Alt, Ctrl = Qt.Key, Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


class Shown:
    """Tonight in a window; keys go where the focus is."""

    def __init__(self, qtbot: QtBot, company: Company) -> None:
        apply_theme(QApplication.instance(), "light")  # type: ignore[arg-type]
        self.qtbot, self.desk = qtbot, Desk(company, lambda: TODAY)
        self.went: list[tuple[object, ...]] = []
        self.said: list[str] = []
        self.desk.asked_for.connect(lambda *place: self.went.append(place))
        self.desk.spoke.connect(lambda text, *_: self.said.append(text))
        self.page = TonightPage(self.desk)
        self.desk.changed.connect(self.page.refresh)
        qtbot.addWidget(self.page)
        self.page.resize(1280, 754)
        self.page.refresh()
        self.page.show()
        qtbot.waitExposed(self.page)
        self.page.activateWindow()
        QApplication.processEvents()

    @property
    def now(self) -> QWidget:
        found = QApplication.focusWidget()
        assert found is not None
        return found

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        QTest.keyClick(self.now, key, modifier)
        QApplication.processEvents()

    def type(self, text: str) -> None:
        QTest.keyClicks(self.now, text)
        self.press(Key.Key_Return)

    def book(self, **what: object) -> VisitDialog:
        """Open the form on a new visit."""
        made = VisitDialog(self.desk, self.page)
        made.book(**what)  # type: ignore[arg-type]
        QApplication.processEvents()
        return made

    @property
    def dialog(self) -> VisitDialog:
        found = [one for one in self.page.findChildren(VisitDialog) if one.isVisible()]
        assert len(found) == 1
        return found[0]


@pytest.fixture
def shown(qtbot: QtBot, company: Company, kept: OneJob) -> Shown:
    return Shown(qtbot, company)


def booked(company: Company, job_id: int) -> list[Visit]:
    with company.read() as conn:
        return [one.visit for one in visits_of_job(conn, job_id)]


def test_a_visit_is_booked_by_keys_alone(shown: Shown, company: Company, kept: OneJob) -> None:
    shown.press(Key.Key_2, Alt)
    assert shown.now.accessibleName().startswith("Thu, May 14, 2026")
    shown.press(Key.Key_Right)
    shown.press(Key.Key_Down)
    assert shown.now.accessibleName().startswith("Fri, May 22, 2026")
    shown.press(Key.Key_Insert)
    assert shown.now is shown.dialog.fields["job_id"].lineEdit() or shown.now is shown.dialog.fields["job_id"]
    for text in ("Wren", "Survey", "", "9", "1h30", "40m"):
        shown.type(text)
    shown.press(Key.Key_Return, Ctrl)
    visit = booked(company, kept.job_id)[0]
    assert (visit.kind, visit.day, visit.starts_at, visit.minutes, visit.travel_minutes) == (
        "survey", date(2026, 5, 22), 540, 90, 40,
    )  # fmt: skip
    assert shown.said == ["Survey booked"]
    assert "9 am to 10:30 am Survey · Wren Halloway" in shown.page.calendar.week_cells[4].accessibleName()
    assert "2 h 10 of 8 h" in shown.page.calendar.week_cells[4].accessibleName()


def test_clashes_and_the_deadline_are_told_while_the_day_is_typed(
    shown: Shown, company: Company, kept: OneJob
) -> None:
    with company.action("Deadline") as edit:
        add_deadline(edit, kept.job_id, TODAY + timedelta(days=12), "closing date")
        book_visit(edit, None, "own", TODAY + timedelta(days=4), title="Dentist", starts_at=600)
    dialog = shown.book(job_id=kept.job_id, kind="work")
    assert "the work is booked for Thu, May 14, 8 am" not in dialog.advice.text()
    dialog.fields["day"].setFocus()
    dialog.fields["day"].selectAll()
    QTest.keyClicks(shown.now, "5/25")
    assert "the work is booked for Mon, May 25, 8 am, later than" in dialog.advice.text()
    dialog.fields["day"].selectAll()
    QTest.keyClicks(shown.now, "5/18")
    shown.press(Key.Key_Return)
    QTest.keyClicks(shown.now, "9")
    assert "Overlaps Dentist, 10 am to 11 am." in dialog.advice.text()
    assert "1 h too much" in dialog.advice.text()
    assert booked(company, kept.job_id) == []
    dialog.reject()


def test_what_is_refused_stays_typed_with_the_reason(shown: Shown, company: Company, kept: OneJob) -> None:
    dialog = shown.book(job_id=kept.job_id, kind="work", day=date(2026, 5, 1))
    dialog.save()
    assert "would come before" in dialog.problem.text()
    assert dialog.isVisible()
    assert booked(company, kept.job_id) == []
    dialog.fields["day"].setFocus()
    dialog.fields["day"].selectAll()
    QTest.keyClicks(shown.now, "32/1")
    dialog.save()
    assert "not in the calendar" in dialog.form.error_of(dialog.fields["day"])
    assert dialog.fields["day"].text() == "32/1"
    dialog.reject()


def test_another_kind_brings_its_usual_length_but_not_over_a_typed_one(shown: Shown, kept: OneJob) -> None:
    dialog = shown.book(job_id=kept.job_id, kind="work")
    fields = dialog.fields
    fields["kind"].setFocus()
    fields["kind"].lineEdit().selectAll()
    shown.type("Electrician")
    assert (fields["minutes"].value(), fields["takes_own_time"].value()) == (120, False)
    fields["minutes"].setFocus()
    fields["minutes"].selectAll()
    shown.type("3h")
    fields["kind"].setFocus()
    fields["kind"].lineEdit().selectAll()
    shown.type("Place test")
    assert (fields["minutes"].value(), fields["title"].isHidden()) == (180, False)
    dialog.reject()


def test_a_test_that_is_picked_up_leads_to_its_record(shown: Shown, company: Company, kept: OneJob) -> None:
    with company.action("Book") as edit:
        visit_id = book_visit(edit, kept.job_id, "test_picked_up", TODAY)
    shown.page.read_dates()
    row = next(row for row in shown.page.dates.rows if not row.isHidden())
    assert row.accessibleName().startswith("Wren Halloway, Pick up test")
    row.setFocus()
    shown.press(Key.Key_Return)
    dialog = shown.dialog
    dialog.mark_done.setFocus()
    shown.press(Key.Key_Return)
    assert booked(company, kept.job_id)[0].done_on == TODAY
    assert shown.went[-1][:2] == ("jobs", kept.job_id)
    assert shown.went[-1][2] in ("closeout", "survey")
    assert visit_id == booked(company, kept.job_id)[0].id
    shown.desk.undo()
    assert booked(company, kept.job_id)[0].done_on is None


def test_a_visit_is_moved_called_off_and_stands_again(shown: Shown, company: Company, kept: OneJob) -> None:
    with company.action("Book") as edit:
        visit_id = book_visit(edit, kept.job_id, "survey", TODAY, starts_at=540)
    shown.press(Key.Key_3, Alt)
    shown.press(Key.Key_Return)
    assert shown.now.accessibleName().startswith("Survey · Wren Halloway, 9 am to 10:30 am · 12 Mill Road")
    shown.press(Key.Key_Return)
    shown.press(Key.Key_Up)  # a day further, in the field itself
    shown.press(Key.Key_Return, Ctrl)
    assert booked(company, kept.job_id)[0].day == TODAY + timedelta(days=1)
    for press in ("call_off", "back"):
        dialog = VisitDialog(shown.desk, shown.page)
        dialog.change(visit_id)
        getattr(dialog, press).click()
        QApplication.processEvents()
    visit = booked(company, kept.job_id)[0]
    assert (visit.stands, visit.sequence) == (True, 3)


def test_pages_turn_and_home_is_today(shown: Shown) -> None:
    shown.press(Key.Key_3, Alt)
    assert shown.page.calendar.head._title.text() == "May 2026"
    shown.press(Key.Key_PageDown)
    assert shown.page.calendar.head._title.text() == "June 2026"
    shown.press(Key.Key_PageUp)
    shown.press(Key.Key_PageUp)
    assert shown.now.accessibleName().startswith("Tue, Apr 14, 2026")
    shown.press(Key.Key_Home)
    assert shown.now.accessibleName().startswith("Thu, May 14, 2026")
    shown.press(Key.Key_2, Alt)
    assert shown.page.calendar.head._title.text() == "Week of May 11, 2026"
    assert "No visit is booked" in shown.page.calendar.head._subtitle.text()
    shown.press(Key.Key_1, Alt)
    assert shown.page.head._title.isVisible()


def test_every_day_and_button_has_a_name_and_one_day_is_a_tab_stop(shown: Shown) -> None:
    for view in ("week", "month"):
        shown.page.show_view(view)
        cells = shown.page.calendar.week_cells if view == "week" else shown.page.calendar.month_cells
        seen = [cell for cell in cells if cell.isVisible()]
        assert all(cell.accessibleName() for cell in seen)
        assert sum(bool(cell.focusPolicy() & Qt.FocusPolicy.TabFocus) for cell in seen) == 1


def test_what_overlaps_stands_side_by_side_and_nothing_else_does() -> None:
    def visit(number: int, start: int, minutes: int) -> PlannedVisit:
        return PlannedVisit(
            Visit(number, 1, "work", "", TODAY, start, minutes, 0, "", None, 1, "", None, None, str(number), 0)
        )

    found = lanes_of([visit(1, 480, 120), visit(2, 540, 30), visit(3, 575, 60), visit(4, 700, 60)])
    assert [(one.visit.id, lane, lanes) for one, lane, lanes in found] == [(1, 0, 2), (2, 1, 2), (3, 1, 2), (4, 0, 1)]


def write(shown: Shown, path: Path, job_id: int | None = None) -> None:
    write_calendar_file(shown.desk, path, job_id)
    QThreadPool.globalInstance().waitForDone()
    QApplication.processEvents()


def test_the_file_is_written_and_a_folder_that_is_missing_is_said(
    shown: Shown, company: Company, kept: OneJob, tmp_path: Path
) -> None:
    with company.action("Book") as edit:
        book_visit(edit, kept.job_id, "survey", TODAY, starts_at=540)
        book_visit(edit, None, "own", TODAY, title="Course")
    write(shown, tmp_path / "all.ics")
    read = vobject.readOne((tmp_path / "all.ics").read_text("utf-8"))
    assert [one.summary.value for one in read.vevent_list] == ["Course", "Survey · Wren Halloway"]
    write(shown, tmp_path / "job.ics", kept.job_id)
    read = vobject.readOne((tmp_path / "job.ics").read_text("utf-8"))
    assert [one.location.value for one in read.vevent_list] == ["12 Mill Road, Alder Falls"]
    write(shown, tmp_path / "nowhere" / "all.ics")
    assert shown.said[-1].startswith("Not written: ")


def test_a_week_and_a_month_take_four_statements_however_much_stands_in_them(
    shown: Shown, company: Company, kept: OneJob
) -> None:
    shown.page.show_view("month")

    def count() -> int:
        return statements(company, lambda _conn: shown.page.refresh())

    few = count()
    with company.action("Book") as edit:
        for number in range(40):
            book_visit(edit, kept.job_id, "survey", TODAY + timedelta(days=number % 9))
    assert count() == few
    assert few <= 4
    with company.read() as conn:
        assert len(visits_between(conn, TODAY, TODAY + timedelta(days=9))) == 40
