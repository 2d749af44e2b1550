"""What was begun in a form and not added stands there again after the program ended, and goes when it is given up."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from desktop.desk import COMPANY, JOBS
from desktop.pages.draft_lines import lines_as_words, lines_in_words
from desktop.pages.visits.dialog import VisitDialog
from desktop.widgets.half import half_entries, watch
from domain.bill_typed import TypedBillLine
from domain.buying.receipt import ReceiptLine
from tests.journeys.at_the_desk import Person

Key = Qt.Key


@pytest.fixture
def owner(qtbot, tmp_path: Path, sample_file: Path) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.open(sample_file)
    yield person
    person.leave()


def firm_part(owner: Person, name: str):
    owner.desk.go(COMPANY, None, name)
    owner.settle()
    return owner.window.stack.currentWidget()._parts[name]


def end_and_start(owner: Person) -> None:
    owner.settle()
    owner.leave()
    owner.start_again()
    owner.settle()


def test_a_half_typed_bill_with_its_line_stands_there_again(owner: Person) -> None:
    bills = firm_part(owner, "bills")
    bills.begin()
    owner.settle()
    owner.click(bills.form.number)
    owner.type("B-4711", Key.Key_Tab)
    table = bills.form.table
    table.setFocus()
    table.setCurrentIndex(bills.form.model.index(0, 0))
    owner.type("Gravel", Key.Key_Return)
    end_and_start(owner)
    bills = firm_part(owner, "bills")
    bills.begin()
    owner.settle()
    assert bills.form.number.text() == "B-4711"
    assert [line.description for line in bills.form._lines] == ["Gravel"]
    owner.click(bills.form.afresh)
    end_and_start(owner)
    bills = firm_part(owner, "bills")
    bills.begin()
    assert bills.form.number.text() == ""
    assert not bills.form._lines


@pytest.mark.parametrize(
    ("part", "field", "text"),
    [
        ("hour", lambda part: part.months.new_name, "Storage unit"),
        ("subcontractors", lambda part: part.supplier, "volt"),
    ],
)  # fmt: skip
def test_half_a_line_of_a_list_stands_there_again(owner: Person, part: str, field, text: str) -> None:
    owner.click(field(firm_part(owner, part)))
    owner.type(text)
    end_and_start(owner)
    shown = field(firm_part(owner, part))
    owner.settle()
    assert text in (shown.currentText() if hasattr(shown, "currentText") else shown.text())


def test_a_job_begun_stands_there_again(owner: Person) -> None:
    owner.desk.go(JOBS, "new")
    owner.settle()
    owner.fill("Title", "Second fan for the wing", Key.Key_Tab)
    end_and_start(owner)
    owner.desk.go(JOBS, "new")
    owner.settle()
    assert owner.field("Title").text() == "Second fan for the wing"


def test_a_visit_begun_comes_back_and_can_be_begun_afresh(owner: Person) -> None:
    def book() -> VisitDialog:
        dialog = VisitDialog(owner.desk, owner.window)
        dialog.book()
        owner.settle()
        return dialog

    dialog = book()
    dialog.fields["starts_at"].setFocus()
    owner.type("9:35", Key.Key_Tab)
    owner.press(Key.Key_Escape)
    owner.settle()
    end_and_start(owner)
    dialog = book()
    assert dialog.fields["starts_at"].value() == 575
    owner.click("Start afresh")
    assert dialog.fields["starts_at"].value() is None
    dialog.reject()
    dialog = book()
    assert dialog.fields["starts_at"].value() is None
    dialog.reject()


def test_a_filter_is_no_entry(owner: Person) -> None:
    owner.desk.go(JOBS)
    owner.settle()
    owner.fill("Job type", "rework", Key.Key_Return)
    assert not watch().fields()
    assert not half_entries()


def test_lines_read_back_as_they_were_and_anything_else_is_no_line() -> None:
    bought = [ReceiptLine(1, None, "Gravel"), ReceiptLine(2, 7, "Elbow", unit="ft", job_id=3)]
    assert lines_in_words(ReceiptLine, lines_as_words(bought)) == bought
    permit = [TypedBillLine(1, "permit", "County")]
    assert lines_in_words(TypedBillLine, lines_as_words(permit)) == permit
    for odd in ("", "[", "3", '[{"id": 1, "gone": 2}]', '[{"id": 1, "quantity": "x"}]', "[4]"):
        assert lines_in_words(ReceiptLine, odd) == []
