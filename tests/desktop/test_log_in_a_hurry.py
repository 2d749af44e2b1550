"""The log typed in a hurry: nothing that stands there is lost, and no letter of an entry does something else."""

from __future__ import annotations

import time
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.evening import TODAY, evening_company
from tests.desktop.test_log_section import Evening

Key = Qt.Key


@pytest.fixture
def evening(qtbot, tmp_path: Path):
    company, ids = evening_company(tmp_path)
    yield Evening(qtbot, company, ids, ids.today)
    company.close()


def costs(evening: Evening) -> list[tuple[str, str, str]]:
    return [(one.kind, f"{one.quantity * one.unit_cost:.2f}", one.description) for one in evening.log().others]


def refused(table) -> list[str]:
    return [cell.text for cell in table.rows_model().refused_cells()]


def another_cost(evening: Evening, kind: str, then: Qt.Key) -> None:
    evening.section.costs.table.setFocus()
    evening.press(Key.Key_End)
    evening.type(kind, then)


@pytest.mark.parametrize("then", [Key.Key_Return, Key.Key_Tab])
def test_a_second_cost_of_a_kind_stands_beside_the_first(evening, then):
    another_cost(evening, "elec", then)
    evening.type("85.50 electrician")
    another_cost(evening, "sub", then)
    evening.type("40 drywall")
    another_cost(evening, "sub", then)
    evening.press(Key.Key_Return)  # changed one's mind: nothing is added, nothing is taken out
    assert costs(evening) == [("subcontractor", "85.50", "electrician"), ("subcontractor", "40.00", "drywall")]


def test_a_toll_is_no_subcontractor(evening):
    another_cost(evening, "elec", Key.Key_Tab)
    evening.type("85.50")
    another_cost(evening, "toll", Key.Key_Return)
    evening.type("4.25 bridge toll")
    assert costs(evening) == [("subcontractor", "85.50", ""), ("other", "4.25", "bridge toll")]
    another_cost(evening, "tra", Key.Key_Return)
    assert evening.row(evening.section.costs.table) == "Miles driven"


def test_letters_in_the_middle_are_never_taken_by_enter(evening):
    another_cost(evening, "contr", Key.Key_Return)
    assert refused(evening.section.costs.table) == ["contr"]


def test_other_words_in_the_row_itself_are_another_cost_and_the_same_are_a_correction(evening):
    table = evening.section.costs.table
    another_cost(evening, "elec", Key.Key_Tab)
    for text in ("85.50", "85.50 electrician", "90 electrician", "40 drywall"):
        table.edit_cell("subcontractor", "day")
        evening.type(text)
    assert costs(evening) == [("subcontractor", "90.00", "electrician"), ("subcontractor", "40.00", "drywall")]


def test_a_material_or_task_begun_twice_keeps_the_first(evening):
    materials = evening.section.materials.table
    for text in ("2", "3"):
        materials.setFocus()
        evening.press(Key.Key_End)
        evening.type("Fan whip")  # on no price list
        evening.type(f"{text} @ 4.00")
    used = [one for one in evening.log().materials if "whip" in one.description.casefold()]
    assert sorted(one.quantity for one in used) == [2, 3]
    hours = evening.section.hours.table
    for text in ("1h", "30m"):
        hours.setFocus()
        evening.press(Key.Key_End)
        evening.type("Find the f")
        evening.type(text)
    assert sorted(one.minutes for one in evening.log().hours) == [30, 60]


@pytest.mark.parametrize("text", ["asdf", "u2h", "tomorrow", "pm", "why"])
def test_no_letter_of_an_entry_acts_on_the_row(evening, text):
    evening.type(text)
    assert refused(evening.section.hours.table) == [text]
    assert evening.log().hours == ()


def test_a_refused_cell_is_typed_anew_and_escape_brings_back_what_was_there(evening):
    evening.type("8:15-8:45")
    evening.press(Key.Key_Up)
    evening.type("nonsense")
    evening.press(Key.Key_Up)
    evening.type("9:61")
    assert refused(evening.section.hours.table) == ["9:61"]
    evening.press(Key.Key_Up, Key.Key_Escape)
    assert evening.cell(evening.section.hours.table, "Assess", "day") == "8:15-8:45"


def test_so_far_is_right_on_the_day_before_after_escape(evening):
    table = evening.section.hours.table
    evening.type("40m")
    evening.press(Key.Key_Up)
    evening.type("nonsense")
    evening.press(Key.Key_Up, Key.Key_Escape, Key.Key_Left)
    assert evening.section.day == TODAY - timedelta(days=1)
    assert evening.cell(table, "Assess", "so_far") == "40 min"


@pytest.mark.parametrize("text", ["-2", "3h", "+2h", "8:15-10", "99", "--", "1.5 hours"])
def test_a_number_is_no_reason(evening, text):
    evening.type("2h")
    strip = evening.section.hours.causes
    strip.begin_answer()
    evening.type(text)
    assert strip.is_asking
    assert [(one.cause_id, one.note) for one in evening.log().hours] == [(None, "")]


def test_split_times_keep_their_places_and_none_may_overlap(evening):
    evening.type("8:15-14:45")
    evening.type("8-12 and 12:30-4")
    assert refused(evening.section.hours.table) == ["8-12 and 12:30-4"]
    evening.type("3-4 and 4:30-5")
    assert [(one.began, one.minutes) for one in evening.log().hours] == [(495, 390), (900, 60), (990, 30)]
    evening.type("4:45-5:15")
    assert len(evening.log().hours) == 3
    evening.desk.undo()
    assert len(evening.log().hours) == 1, "one step takes back what was typed at once"


def test_a_very_long_entry_is_refused_at_once(evening):
    QApplication.clipboard().setText("asdf" * 750)
    evening.type("9", None)
    started = time.monotonic()
    QTest.keyClick(evening.focus, Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    evening.press(Key.Key_Return)
    assert time.monotonic() - started < 5
    assert evening.log().hours == ()
