"""Escape throws no form away, Enter goes on, what is undone elsewhere names its job, a job is closed on its outcome."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from desktop.widgets.table import RowsTable
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:  # type: ignore[no-untyped-def]
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def asked(owner: Person, words: str) -> list[int]:
    with owner.desk.read() as conn:
        return list(conn.exec_driver_sql(words).scalars())


def test_escape_leaves_a_new_customer_half_typed_and_it_is_there_again(owner: Person) -> None:
    owner.desk.go("customers")
    owner.settle()
    owner.page.begin_new()
    owner.settle()
    owner.fill("Name", "Odell Marsh", Key.Key_Tab)
    owner.press(Key.Key_Escape, Key.Key_Escape)
    owner.settle()
    assert "Not added yet: new customer" in owner.window.toast.text()
    owner.page.begin_new()
    owner.settle()
    assert owner.field("Name").text() == "Odell Marsh"
    owner.click("Leave without adding")
    owner.page.begin_new()
    assert owner.field("Name").text() == ""


def test_enter_goes_through_a_new_job_and_escape_keeps_it(owner: Person) -> None:
    owner.desk.go("jobs")
    owner.settle()
    owner.page.begin_new()
    owner.settle()
    form = owner.page.form
    owner.type("Odell Marsh", Key.Key_Return)
    assert owner.here != "Customer"
    first = owner.here
    owner.type("207 555 0177", Key.Key_Return)
    assert owner.here not in ("Customer", first)
    owner.press(Key.Key_Escape, Key.Key_Escape)
    owner.settle()
    owner.page.begin_new()
    owner.settle()
    assert form.customer.lineEdit().text() == "Odell Marsh"
    before = len(asked(owner, "SELECT id FROM job"))
    form.title.setFocus()
    owner.press(Key.Key_Return)  # the last field: it tries to open, and says what is lacking
    assert form.form.error_of(form.job_type)
    assert len(asked(owner, "SELECT id FROM job")) == before
    form.leave()


def test_what_is_undone_on_another_job_names_it(owner: Person) -> None:
    one, other = asked(owner, "SELECT id FROM job WHERE closed_on IS NULL AND cancelled_on IS NULL ORDER BY id")[:2]
    (number,) = asked(owner, f"SELECT number FROM job WHERE id = {one}")
    from db.commands.jobs import change_job

    owner.desk.go("jobs", one, "survey")
    owner.desk.do("Change title", lambda edit: change_job(edit, one, title="Another word"))
    owner.desk.go("jobs", other, "survey")
    owner.settle()
    titled = f"SELECT title FROM job WHERE id = {one}"
    owner.ctrl(Key.Key_Z)
    assert owner.window.toast.text() == (
        f"The last step was on job {number}: “Change title”. Ctrl+Z once more takes it back; nothing is changed yet."
    )
    owner.desk.go("jobs", owner.page.job.job_id, "facts")
    assert asked(owner, titled) == ["Another word"], "asked first, since another page is shown"
    owner.ctrl(Key.Key_Z)
    assert owner.window.toast.text() == f"Undone on job {number}: Change title"
    assert asked(owner, titled) != ["Another word"]
    owner.ctrl(Key.Key_Y)
    assert owner.window.toast.text().startswith(f"The step to do again was on job {number}")
    owner.ctrl(Key.Key_Y)
    assert asked(owner, titled) == ["Another word"]
    owner.desk.go("jobs", one, "survey")
    owner.ctrl(Key.Key_Z)
    assert asked(owner, titled) != ["Another word"], "on its own page nothing is asked"
    owner.desk.go("jobs", other, "survey")
    owner.desk.do("Change title", lambda edit: change_job(edit, other, title="One more"))
    owner.ctrl(Key.Key_Z)
    assert owner.window.toast.text() == "Undone: Change title"


def test_a_job_is_closed_on_its_outcome_and_the_cursor_is_in_no_entry_after(owner: Person) -> None:
    one = asked(owner, "SELECT DISTINCT job.id FROM job JOIN hours_entry ON job_id = job.id WHERE closed_on IS NULL")[0]
    owner.desk.go("jobs", one, "outcome")
    owner.settle()
    section = owner.section
    assert section.close_button.isVisible()
    section._scroll.verticalScrollBar().setValue(200)
    owner.click(section.close_button)
    owner.settle()
    assert section.closing.isVisible()
    assert not section.close_button.isVisible()
    owner.click(section.closing.leave)
    assert section.close_button.isVisible()
    owner.click(section.close_button)
    owner.click(section.closing.close_button)
    owner.settle()
    assert len(asked(owner, f"SELECT id FROM job WHERE id = {one} AND closed_on IS NOT NULL")) == 1
    assert not section.close_button.isVisible()
    assert not section.price_side.isAncestorOf(owner.focus)


def test_an_outcome_opens_at_its_top(owner: Person) -> None:
    one, other = asked(owner, "SELECT id FROM job WHERE closed_on IS NOT NULL ORDER BY id DESC")[:2]
    owner.desk.go("jobs", one, "outcome")
    owner.settle()
    bar = owner.section._scroll.verticalScrollBar()
    bar.setValue(bar.maximum())
    assert bar.value() > 0
    owner.desk.go("jobs", other, "outcome")
    owner.settle()
    assert bar.value() == 0


def test_what_a_log_refused_outlives_the_program_and_f8_leads_there(owner: Person) -> None:
    one = asked(owner, "SELECT DISTINCT job.id FROM job JOIN hours_entry ON job_id = job.id WHERE closed_on IS NULL")[0]
    owner.desk.go("jobs", one, "log")
    owner.settle()
    owner.type("45", Key.Key_Return)
    owner.settle()
    assert owner.window.saved.text().startswith("Not kept yet: “45”")
    owner.desk.go("tonight")
    owner.settle()
    assert owner.window.saved.text().startswith("Not kept yet: “45”")
    owner.press(Key.Key_F8)
    owner.settle()
    assert owner.page.job.section_key == "log"
    table = owner.section.hours.table
    assert table.hasFocus()
    assert table.rows_model().refused_text(table.current_row().key, "day") == "45"
    owner.leave()
    owner.start_again()
    owner.desk.go("jobs", one, "log")
    owner.settle()
    assert [cell.text for cell in owner.section.hours.table.rows_model().refused_cells()] == ["45"]


def test_closing_asks_once_about_a_refused_cell_that_waits_nowhere(owner: Person) -> None:
    owner.desk.go("company", None, "prices")
    owner.settle()
    table = next(one for one in owner.visible(RowsTable) if one.rows_model().is_editable)
    model = table.rows_model()
    column = next(n for n, one in enumerate(model.columns) if one.editable and one.align == "right")
    table.edit_cell(model.id_at(0), model.columns[column].key)
    owner.ctrl(Key.Key_A)
    owner.type("dear", Key.Key_Return)
    assert [cell.text for cell in model.refused_cells()] == ["dear"]
    assert not owner.window.close()
    assert "“dear”" in owner.window.toast.text()
    assert owner.window.isVisible()
    assert owner.window.close()
