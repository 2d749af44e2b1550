"""The Margins page with keys and clicks: groups, times, the way down to the log entries and back, and the books."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot
from sqlalchemy import text

from db.company_file import create_company
from db.company_file.company import Company
from db.queries.margins import margins
from db.tables import price_adjustment
from desktop.desk import Desk
from desktop.pages.margins import MarginsPage, page
from desktop.pages.margins.tables import TOTAL, both_hours
from domain.money import format_money, format_whole_dollars
from tests.bench.big_company import fill_big_company

TODAY = date(2017, 12, 1)


@pytest.fixture(scope="module")
def company(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Company]:
    path = tmp_path_factory.mktemp("margins") / "Grouse.riserbook"
    with create_company(path, "Grouse Hollow Radon", "Ida Kvale", date(2024, 1, 1)) as made:
        with made.writing() as conn:
            fill_big_company(conn, 80, seed=4, days=700)
        yield made


@pytest.fixture
def margins_page(qtbot: QtBot, company: Company) -> MarginsPage:
    made = MarginsPage(Desk(company, lambda: TODAY))
    qtbot.addWidget(made)
    made.resize(1280, 760)
    with qtbot.waitExposed(made):
        made.show()
    made.refresh()
    return made


def names(margins_page: MarginsPage) -> list[str]:
    return [group.name for group in margins_page.overview.groups.rows_model().rows]


def showing(margins_page: MarginsPage, view: str) -> bool:
    return margins_page.stack.currentWidget() is getattr(margins_page, view)


def test_groups_stand_by_job_type_with_all_closed_jobs_last(margins_page: MarginsPage, company: Company) -> None:
    with company.read() as conn:
        shown = margins(conn, "job-type")
    assert names(margins_page) == [*(group.name for group, _ in shown.groups), "All closed jobs"]
    model = margins_page.overview.groups.rows_model()
    assert model.text(model.rows[-1], "margin") == format_money(shown.total.margin_cents)
    assert margins_page.head._subtitle.text() == f"{shown.total.jobs} closed jobs"


def test_the_total_stays_last_however_the_table_is_sorted(margins_page: MarginsPage) -> None:
    table = margins_page.overview.groups
    for key in ("name", "margin", "lost", "time", "own"):
        for descending in (False, True):
            table.sort_by(key, descending)
            assert names(margins_page)[-1] == "All closed jobs"
    table.sort_by("margin")
    cents = [group.margin_cents for group in table.rows_model().rows[:-1]]
    assert cents == sorted(cents)


def test_the_jobs_furthest_under_their_quotes_stand_on_top(margins_page: MarginsPage) -> None:
    worst = list(margins_page.overview.worst.rows_model().rows)
    assert len(worst) == 5
    assert [job.against_quote_cents for job in worst] == sorted(job.against_quote_cents for job in worst)
    others = [job for job in margins_page._margins.closed if job.accepted and job not in worst]
    assert max(job.against_quote_cents for job in worst) <= min(job.against_quote_cents for job in others)


def test_another_grouping_is_one_click_away(qtbot: QtBot, margins_page: MarginsPage) -> None:
    choice = margins_page.filters.by_choice
    qtbot.mouseClick(choice._group.button(2), Qt.MouseButton.LeftButton)
    assert "basement + crawl space" in names(margins_page)
    assert margins_page.overview.groups.rows_model().columns[0].title == "Foundation"
    qtbot.keyClick(choice._group.button(2), Qt.Key.Key_Right)
    assert margins_page.overview.groups.rows_model().columns[0].title == "Lead source"


def test_overlapping_groups_say_that_they_overlap(margins_page: MarginsPage) -> None:
    assert margins_page.overview.overlap.isHidden()
    margins_page.show_key("access-condition")
    assert not margins_page.overview.overlap.isHidden()
    groups = margins_page.overview.groups.rows_model().rows
    assert sum(group.jobs for group in groups[:-1]) > groups[-1].jobs


def test_open_jobs_are_apart_and_not_counted(margins_page: MarginsPage) -> None:
    running = list(margins_page.overview.running.rows_model().rows)
    assert running
    assert not {job.job_id for job in running} & {job.job_id for job in margins_page._margins.closed}
    assert margins_page.overview.left_out.text().startswith("Counted nowhere: ")


def test_quick_times_and_days_of_ones_own(qtbot: QtBot, margins_page: MarginsPage) -> None:
    everything = margins_page._margins.total.jobs
    filters = margins_page.filters
    qtbot.mouseClick(filters.period_choice._group.button(1), Qt.MouseButton.LeftButton)  # this year
    this_year = margins_page._margins.total.jobs
    assert 0 < this_year < everything
    assert {job.closed_on.year for job in margins_page._margins.closed} == {2017}
    qtbot.mouseClick(filters.period_choice._group.button(4), Qt.MouseButton.LeftButton)  # other days
    assert filters.from_field.isVisible()
    filters.from_field.selectAll()
    qtbot.keyClicks(filters.from_field, "6/1/2017")
    qtbot.keyClick(filters.from_field, Qt.Key.Key_Return)
    assert 0 < margins_page._margins.total.jobs < this_year
    assert "from Jun 1, 2017" in margins_page.head._subtitle.text()


def test_days_the_wrong_way_round_are_said_to_be_so(qtbot: QtBot, margins_page: MarginsPage) -> None:
    filters = margins_page.filters
    filters._pick("other-days")
    for field, words in ((filters.from_field, "6/1/2017"), (filters.to_field, "3/1/2017")):
        field.selectAll()
        qtbot.keyClicks(field, words)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "after the last" in filters.problem.text()
    assert names(margins_page) == []


def test_down_to_the_log_entries_with_the_keyboard_and_back(qtbot: QtBot, margins_page: MarginsPage) -> None:
    groups = margins_page.overview.groups
    groups.setCurrentIndex(groups.model().index(2, 0))
    name = groups.current_row().name
    qtbot.keyClick(groups, Qt.Key.Key_Return)
    assert showing(margins_page, "group")
    assert margins_page.crumbs[2].text() == name
    jobs = margins_page.group.jobs
    jobs.setCurrentIndex(jobs.model().index(0, 0))
    job = jobs.current_row()
    assert job.job_type == name
    qtbot.keyClick(jobs, Qt.Key.Key_Return)
    assert showing(margins_page, "job")
    assert margins_page.crumbs[1].text() == name
    assert job.number in margins_page.crumbs[2].text()
    parts = margins_page.job.parts
    qtbot.waitUntil(lambda: parts._group.button(1).geometry().left() > 0)
    qtbot.keyClick(parts._group.button(0), Qt.Key.Key_Right)
    entries = list(margins_page.job.entries.rows_model().rows)
    assert len(entries) == 12 + 25 + 2
    assert sum(getattr(entry, "minutes", 0) for entry in entries) == job.actual_minutes
    qtbot.keyClick(margins_page, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert showing(margins_page, "group")
    qtbot.keyClick(margins_page, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert showing(margins_page, "overview")
    assert groups.current_row().name == name


def test_a_job_from_the_worst_list_comes_back_to_it(qtbot: QtBot, margins_page: MarginsPage) -> None:
    worst = margins_page.overview.worst
    worst.setCurrentIndex(worst.model().index(1, 0))
    qtbot.keyClick(worst, Qt.Key.Key_Return)
    assert showing(margins_page, "job")
    qtbot.mouseClick(margins_page.back, Qt.MouseButton.LeftButton)
    assert showing(margins_page, "overview")


def test_a_groups_waterfall_is_the_sum_of_its_jobs(margins_page: MarginsPage) -> None:
    margins_page.open_group(TOTAL)
    total = margins_page._margins.total
    steps = margins_page.group.waterfall.model().steps
    assert steps[0].cents == total.quoted_margin_cents
    assert steps[0].cents + sum(step.cents for step in steps[1:-1]) == steps[-1].cents == total.margin_cents
    tasks = margins_page.group.tasks.rows_model().rows
    assert sum(task.actual_minutes for task in tasks) == total.actual_minutes
    assert sum(task.quoted_minutes for task in tasks) == total.quoted_minutes
    assert "than quoted; furthest over: " in margins_page.group.sentence.text()


def test_a_group_that_is_gone_in_another_time_gives_way_to_the_overview(margins_page: MarginsPage) -> None:
    margins_page.open_group("Rework of an existing system")
    assert showing(margins_page, "group")
    margins_page.show_key("month")
    assert showing(margins_page, "overview")
    margins_page.open_group("no such group")
    assert showing(margins_page, "overview")


def test_many_jobs_are_added_up_in_the_background(
    qtbot: QtBot, company: Company, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page, "AT_ONCE", 10)
    made = MarginsPage(Desk(company, lambda: TODAY))
    qtbot.addWidget(made)
    made.refresh()
    assert "Adding up" in made.adding_up.text()
    qtbot.waitUntil(lambda: len(names(made)) > 3)
    assert made.adding_up.isHidden()


def test_the_workbook_is_written_in_the_background(
    qtbot: QtBot, margins_page: MarginsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def answer(_parent: object, _title: str, name: str, _kind: str) -> tuple[str, str]:
        asked.append(Path(name).name)
        return str(tmp_path / "Year"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    with qtbot.waitSignal(margins_page.desk.spoke, timeout=60_000) as spoke:
        qtbot.mouseClick(margins_page.workbook, Qt.MouseButton.LeftButton)
        assert margins_page.exporting.isVisible()
    assert asked == ["Margins 2017.xlsx"]
    assert spoke.args[1] == "good"
    assert load_workbook(tmp_path / "Year.xlsx").sheetnames[0] == "Margins"
    assert margins_page.exporting.isHidden()


def test_writing_can_be_stopped(
    qtbot: QtBot, margins_page: MarginsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "Year.xlsx"), ""))
    with qtbot.waitSignal(margins_page.desk.spoke, timeout=60_000) as spoke:
        qtbot.mouseClick(margins_page.workbook, Qt.MouseButton.LeftButton)
        qtbot.mouseClick(margins_page.exporting.stop, Qt.MouseButton.LeftButton)
    assert spoke.args[0] == "Stopped; no file was written."
    assert list(tmp_path.glob("*.xlsx")) == []


def test_a_csv_of_what_is_shown_and_a_folder_that_refuses(
    qtbot: QtBot, margins_page: MarginsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "Groups.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    qtbot.mouseClick(margins_page.csv, Qt.MouseButton.LeftButton)
    assert target.read_text(encoding="utf-8-sig").startswith("group,jobs,")
    margins_page.open_group(TOTAL)
    qtbot.mouseClick(margins_page.csv, Qt.MouseButton.LeftButton)
    assert target.read_text(encoding="utf-8-sig").startswith("job,title,")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "gone" / "a.csv"), ""))
    with qtbot.waitSignal(margins_page.desk.spoke) as spoke:
        qtbot.mouseClick(margins_page.csv, Qt.MouseButton.LeftButton)
    assert "was not written" in spoke.args[0]


def test_an_empty_company_is_told_what_the_page_is_for(qtbot: QtBot, tmp_path: Path) -> None:
    with create_company(tmp_path / "New.riserbook", "New", "Ida Kvale", date(2026, 1, 1)) as made:
        empty = MarginsPage(Desk(made, lambda: TODAY))
        qtbot.addWidget(empty)
        empty.refresh()
        assert empty.stack.currentWidget() is empty.nothing
        assert empty.filters.isHidden()
        assert empty.workbook.isHidden()
        with qtbot.waitSignal(empty.desk.asked_for) as asked:
            empty.nothing.action.click()
        assert asked.args[0] == "jobs"


def test_results_are_read_again_only_when_something_was_saved(
    margins_page: MarginsPage, company: Company, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("read although nothing was saved")

    with monkeypatch.context() as patched:
        patched.setattr(page, "all_job_results", never)
        margins_page.refresh()
    before = margins_page._margins.total.revenue_cents
    closed = margins_page._margins.closed[0]
    with company.action("Write off") as edit:
        entry = edit.add(
            price_adjustment, job_id=closed.job_id, day=TODAY, kind="write_off", amount_cents=1234, reason="test"
        )
    margins_page.refresh()
    assert margins_page._margins.total.revenue_cents == before - 1234
    company.undo()
    margins_page.refresh()
    assert margins_page._margins.total.revenue_cents == before
    with company.read() as conn:
        assert conn.execute(text("SELECT count(*) FROM price_adjustment WHERE id = :id"), {"id": entry}).scalar() == 0


@pytest.mark.parametrize("width", [1024, 1280, 1920])
def test_no_table_of_the_overview_needs_to_be_scrolled_sideways(
    qtbot: QtBot, margins_page: MarginsPage, width: int
) -> None:
    margins_page.resize(width, 760)
    qtbot.wait(20)
    for table in (margins_page.overview.worst, margins_page.overview.groups, margins_page.overview.running):
        assert table.horizontalScrollBar().maximum() == 0, table.accessibleName()


def test_amounts_in_columns_are_rounded_half_up_and_keep_their_sign() -> None:
    shown = [format_whole_dollars(cents) for cents in (150, 149, -150, -149, 123_456_50)]
    assert shown == ["$2", "$1", "-$2", "-$1", "$123,457"]
    assert both_hours(90, 68_703) == "1 h 30 / 1,145 h 03"
