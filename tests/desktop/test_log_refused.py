"""What the log cannot take stays where it was typed, and nothing typed after it replaces it or lands on a wrong row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desktop.widgets.half import unkept_cells
from domain.log_so_far import JobBudget
from tests.desktop.evening import TODAY, evening_company
from tests.desktop.test_log_section import Evening

Key = Qt.Key


@pytest.fixture
def evening(qtbot: QtBot, tmp_path: Path) -> Iterator[Evening]:
    company, ids = evening_company(tmp_path)
    yield Evening(qtbot, company, ids, ids.today)
    company.close()


def refused(table) -> list[tuple[str, str]]:  # type: ignore[no-untyped-def]
    model = table.rows_model()
    return [(model.text(model.row_at(model.find(one.row_id)), "what"), one.text) for one in model.refused_cells()]


def logged(evening: Evening) -> list[tuple[str, int]]:
    names = {number: name for name, number in evening.ids.task.items()}
    return [(names[one.task_id], one.minutes) for one in evening.log().hours]


def hurry(evening: Evening, *texts: str, then: Qt.Key = Key.Key_Return) -> None:
    """Typed at 20 ms a key, whatever the program answers."""
    for text in texts:
        for letter in text:
            QTest.keyClicks(evening.focus, letter)
            QTest.qWait(20)
        QTest.keyClick(evening.focus, then)
        QTest.qWait(20)


def names_of_rows(evening: Evening) -> list[str]:
    model = evening.section.hours.table.rows_model()
    return [model.text(row, "what") for row in model.rows]


def test_each_time_lands_on_its_own_row_and_what_is_refused_stays(evening: Evening) -> None:
    first, second, third, fourth, fifth = names_of_rows(evening)[:5]
    hurry(evening, "1h", "45", "2 1/4", "8:15-10", "280")
    assert logged(evening) == [(first, 60), (third, 135), (fourth, 105)]
    assert refused(evening.section.hours.table) == [(second, "45"), (fifth, "280")]
    hurry(evening, "9-9:30")  # overlaps what stands there since 8:15
    assert [text for _, text in refused(evening.section.hours.table)] == ["45", "280", "9-9:30"]
    assert len(unkept_cells()) == 3
    assert evening.section.foot.refused.text().startswith(f"Not kept yet: “45” on {second}. ")
    assert evening.section.foot.refused.text().endswith("And 2 more.")


def test_by_tab_as_by_enter_and_the_way_back_corrects(evening: Evening) -> None:
    first, second, third = names_of_rows(evening)[:3]
    hurry(evening, "1h", "45", "30m", then=Key.Key_Tab)
    assert logged(evening) == [(first, 60), (third, 30)]
    evening.section.not_sure.go_to_refused()
    assert evening.row(evening.section.hours.table) == second
    label = evening.section.hours.table._refusals.label
    assert label.isVisible()
    assert "45m" in label.text()
    evening.type("45m")
    assert refused(evening.section.hours.table) == []
    assert not label.isVisible()
    assert unkept_cells() == []
    assert (second, 45) in logged(evening)


def test_the_reason_stands_in_its_row_while_one_types_on(evening: Evening) -> None:
    table = evening.section.hours.table
    hurry(evening, "45")
    evening.type("1", None)
    label, row = table._refusals.label, table.visualRect(table.rows_model().index(0, 3))
    assert label.isVisible()
    assert row.top() <= label.y()
    assert label.geometry().bottom() <= row.bottom()
    evening.press(Key.Key_Escape)


def test_times_typed_where_a_task_is_asked_for_wait_and_land_nowhere(evening: Evening) -> None:
    table = evening.section.hours.table
    evening.press(Key.Key_End)
    hurry(evening, "1h", "45", "20m", then=Key.Key_Tab)
    assert logged(evening) == []
    assert evening.log().materials == ()
    assert [text for _, text in refused(table)] == ["1h", "45", "20m"]
    assert evening.row(table).startswith("Something not quoted")
    evening.press(Key.Key_Up, Key.Key_Delete, Key.Key_Up, Key.Key_Backspace)
    assert len(refused(table)) == 1


def test_an_amount_is_no_material(evening: Evening) -> None:
    table = evening.section.materials.table
    table.setFocus()
    evening.press(Key.Key_End)
    hurry(evening, "20m", "45", "$3.10")
    assert evening.log().materials == ()
    assert [text for _, text in refused(table)] == ["20m", "45", "$3.10"]


def test_so_far_shows_nothing_that_is_not_kept(evening: Evening) -> None:
    table = evening.section.hours.table
    hurry(evening, "8-12", "9-11")
    model = table.rows_model()
    cell = model.index(1, model.column_of("so_far"))
    evening.section.grab()  # painted while typed, and again
    assert cell.data() == ""
    evening.press(Key.Key_Up)
    evening.type("1", None)
    evening.section.grab()
    assert cell.data() == "1 h"
    evening.type("5m", None)
    evening.section.grab()
    assert cell.data() == "15 min"
    evening.press(Key.Key_Escape)


def test_what_is_refused_waits_on_its_day_and_in_the_drafts(evening: Evening) -> None:
    table = evening.section.hours.table
    hurry(evening, "45")
    evening.press(Key.Key_End)
    hurry(evening, "20m")
    evening.section.show_day(TODAY - timedelta(days=1))
    assert refused(table) == []
    assert "waits" in evening.said[-1]
    evening.section.show_day(TODAY)
    assert [text for _, text in refused(table)] == ["45", "20m"]
    assert any("45" in words for key in evening.desk.drafts._mine for words in evening.desk.drafts.words(key).values())
    evening.press(Key.Key_Home, Key.Key_Escape)
    assert [text for _, text in refused(table)] == ["20m"]
    evening.section.show_day(TODAY - timedelta(days=1))
    evening.section.show_day(TODAY)
    assert [text for _, text in refused(table)] == ["20m"]


def test_a_quoted_task_is_not_begun_a_second_time(evening: Evening) -> None:
    quoted = names_of_rows(evening)[0]
    evening.press(Key.Key_End)
    evening.type(quoted)
    evening.type("40m")
    (entry,) = evening.log().hours
    assert (entry.minutes, entry.unquoted) == (40, False)
    assert any("is quoted" in words for words in evening.said)
    assert names_of_rows(evening).count(quoted) == 1


def test_other_work_in_own_words_is_one_line_and_one_entry(evening: Evening) -> None:
    table, section = evening.section.hours.table, evening.section
    evening.press(Key.Key_End)
    hurry(evening, "Haul out old insulation 1h40", "45m cut back the shrubs", "elec 35m")
    entries = evening.log().hours
    assert [(one.minutes, one.unquoted, one.note) for one in entries[:2]] == [
        (100, True, "Haul out old insulation"), (45, True, "cut back the shrubs"),
    ]  # fmt: skip
    wired = next(name for name, number in evening.ids.task.items() if number == entries[2].task_id)
    assert (wired, entries[2].minutes, entries[2].unquoted) == ("Wire the fan", 35, False), "it is quoted"
    assert refused(table) == []
    hurry(evening, "Level the gravel")
    evening.type("20m")
    assert (evening.log().hours[-1].minutes, evening.log().hours[-1].note) == (20, "Level the gravel")
    assert "Other work: “Haul out old insulation” · not quoted" in names_of_rows(evening)
    assert "Other work: “Level the gravel” · not quoted" in names_of_rows(evening)
    evening.press(Key.Key_End)
    hurry(evening, "shrubbery 1h")
    assert len(evening.log().hours) == 4, "one unknown word may be a slip: it asks"
    assert "other work" in section.foot.refused.text().casefold()
    evening.press(Key.Key_Up, Key.Key_Return, Key.Key_Return)
    assert (evening.log().hours[-1].minutes, evening.log().hours[-1].note) == (60, "shrubbery")


def test_twelve_hours_on_a_short_task_are_asked_about_and_kept(evening: Evening) -> None:
    hurry(evening, "12")
    assert [minutes for _, minutes in logged(evening)] == [720]
    assert evening.section.foot.doubt.isVisible()
    assert "12m" in evening.section.foot.doubt.text()
    hurry(evening, "30m", "soon")
    assert evening.section.foot.doubt.isVisible()  # stands until it is answered or corrected
    second = evening.section.foot.doubt._second
    assert second is not None
    assert second.text() == "Not kept yet: “soon”", "the way to what was refused is in reach meanwhile"
    second.click()
    assert evening.row(evening.section.hours.table) == names_of_rows(evening)[2]
    evening.press(Key.Key_Delete)
    assert second.isHidden()
    evening.press(Key.Key_Home)
    hurry(evening, "12m")
    assert not evening.section.foot.doubt.isVisible()


def test_backspace_empties_a_cell_as_delete_does(evening: Evening) -> None:
    evening.type("20m")
    evening.press(Key.Key_Up, Key.Key_Backspace)
    assert evening.log().hours == ()


def test_a_day_that_has_not_come_is_said_and_the_day_shown_stays(evening: Evening) -> None:
    evening.section.show_day(TODAY - timedelta(days=2))
    field = evening.section.days.day
    field.setFocus()
    field.selectAll()
    for letter in f"{(TODAY + timedelta(days=1)):%m/%d/%Y}":
        QTest.keyClicks(field, letter)
    QTest.keyClick(field, Key.Key_Return)
    assert evening.section.day == TODAY - timedelta(days=2)
    assert "has not come yet" in field.problem()
    assert str((TODAY + timedelta(days=1)).day) in field.text()
    assert evening.section.days.about.text() == "shown: Tue, Nov 10, 2026", "the rows below are of that day"
    QTest.keyClick(field, Key.Key_Escape)
    assert field.text() == "Tue, Nov 10, 2026"
    assert evening.section.days.about.text() == "not today"
    evening.section.show_day(TODAY + timedelta(days=1))
    evening.section.days.step(1)
    assert (evening.section.day, field.problem()) == (TODAY - timedelta(days=1), "")


def test_one_comes_back_to_the_day_last_shown_on_the_same_evening(evening: Evening) -> None:
    evening.section.show_day(TODAY - timedelta(days=3))
    evening.section.hide()
    evening.section.show()
    QApplication.processEvents()
    assert evening.section.day == TODAY - timedelta(days=3)
    assert evening.section.days.about.text() == "not today"
    evening.section.show_job(evening.job_id)
    assert evening.section.day == TODAY - timedelta(days=3)


def test_once_a_quote_is_accepted_the_cursor_leaves_the_row_for_what_was_not_quoted(evening: Evening) -> None:
    section, table = evening.section, evening.section.hours.table
    page = section._page
    assert page is not None
    section.hours.show_page(replace(page, budget=JobBudget()), section._person_id)
    evening.press(Key.Key_End)
    assert evening.row(table) == "Type a task …"
    section.hours.show_page(page, section._person_id)
    assert evening.row(table) == names_of_rows(evening)[0]
    hurry(evening, "1h", "45m", then=Key.Key_Tab)
    assert logged(evening) == [(names_of_rows(evening)[0], 60), (names_of_rows(evening)[1], 45)]
