"""What the foot of a table cannot take gets a row of its own; the next entry stands beside it, and all of it waits."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from sqlalchemy import select

from db.commands import quotes
from db.commands.jobs import open_job
from db.company_file import open_company
from db.queries.firm import day_rates, firm
from db.tables import job, labour_line
from desktop.desk import JOBS, TONIGHT, Desk
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.work import WorkCard
from desktop.widgets.rows_model import PROBLEM_ROLE
from tests.journeys.at_the_desk import Key, Person

TODAY = date(2026, 11, 12)


@pytest.fixture(scope="module")
def two_drafts(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[int]]:
    from sample_company import write_sample

    path = tmp_path_factory.mktemp("foot") / "foot.riserbook"
    write_sample(path, jobs=9)
    company = open_company(path, backup=False)
    made = []
    with company.action("Two drafts") as edit:
        known = edit.conn.execute(select(job.c.customer_id, job.c.property_id, job.c.job_type_id)).first()
        assert known is not None
        for title in ("First draft", "Second draft"):
            made.append(open_job(edit, *known, None, title, TODAY))
            quotes.start_quote(edit, made[-1], TODAY, day_rates(edit.conn, TODAY), firm(edit.conn))
    company.close()
    return path, made


@pytest.fixture
def owner(qtbot, tmp_path: Path, two_drafts) -> Iterator[Person]:
    import shutil

    person = Person(qtbot, tmp_path / "settings")
    person.open(Path(shutil.copy2(two_drafts[0], tmp_path)))
    yield person
    person.leave()


def _at_the_foot(owner: Person, job_id: int, section: str, name: str):
    owner.window.go(JOBS, job_id, section)
    owner.settle()
    table = owner.table(name)
    model = table.rows_model()
    table.setFocus()
    first = next(n for n, c in enumerate(model.columns) if c.editable)
    table.setCurrentIndex(model.index(model.rowCount() - 1, first))
    owner.settle()
    return table


def _machine(text: str) -> None:
    """Keys without a pause between them, to whatever has the keyboard."""
    for letter in text:
        key = {"\n": Key.Key_Return, "\t": Key.Key_Tab}.get(letter, letter)
        QTest.keyClick(QApplication.focusWidget(), key)  # type: ignore[call-overload]


def _red(table) -> list[str]:
    return [cell.text for cell in table.rows_model().refused_cells()]


@pytest.mark.parametrize("end", ["\n", "\t"])
def test_what_the_foot_refuses_is_never_typed_over(owner: Person, two_drafts, end: str) -> None:
    table = _at_the_foot(owner, two_drafts[1][0], "quote", "Work")
    rows = table.rows_model().rowCount()
    _machine(f"zzq{end}qqx{end}xxz")
    owner.press(Key.Key_Return)
    assert _red(table) == ["zzq", "qqx", "xxz"]
    model = table.rows_model()
    assert model.rowCount() == rows + 3
    assert all(model.index(n, 0).data(PROBLEM_ROLE) for n in range(rows - 1, rows + 2)), "each says why in its own row"
    assert not model.index(rows + 2, 0).data(PROBLEM_ROLE), "the foot is free"
    assert table.currentIndex().row() == rows + 2
    assert "Not kept yet" in owner.window.saved.text()


def test_a_refused_row_put_right_becomes_the_line(owner: Person, two_drafts) -> None:
    table = _at_the_foot(owner, two_drafts[1][0], "quote", "Work")
    _machine("zzq\n")
    owner.settle()
    model = table.rows_model()
    with owner.desk.read() as conn:
        before = conn.execute(select(labour_line.c.id)).all()
    table.setCurrentIndex(model.index(model.rowCount() - 2, 0))
    task = model.choices_for(table.currentIndex())[0]
    _machine(task)
    owner.press(Key.Key_Return)
    assert _red(table) == []
    with owner.desk.read() as conn:
        assert len(conn.execute(select(labour_line.c.id)).all()) == len(before) + 1
    assert model.columns[table.currentIndex().column()].key == "quantity", "what was picked gets its quantity"


def test_escape_and_delete_take_a_refused_row_back(owner: Person, two_drafts) -> None:
    table = _at_the_foot(owner, two_drafts[1][0], "quote", "Work")
    _machine("zzq\nqqx\n")
    owner.settle()
    for key in (Key.Key_Escape, Key.Key_Delete):
        table.setCurrentIndex(table.rows_model().index(table.rows_model().rowCount() - 2, 0))
        owner.press(key)
    assert _red(table) == []
    model = table.rows_model()
    assert not any(model.is_held(model.index(n, 0)) for n in range(model.rowCount()))


def test_refused_texts_wait_by_job_and_outlive_the_program(owner: Person, two_drafts) -> None:
    first, second = two_drafts[1]
    table = _at_the_foot(owner, first, "quote", "Work")
    _machine("zzq\n")
    owner.settle()
    owner.window.go(TONIGHT)
    table = _at_the_foot(owner, second, "quote", "Work")
    assert _red(table) == [], "what was typed for one job is not shown on another"
    _machine("qqx\n")
    owner.window.close()
    assert owner.window.isVisible(), "closing asks once"
    owner.leave()
    owner.start_again()
    assert _red(_at_the_foot(owner, first, "quote", "Work")) == ["zzq"]
    assert _red(_at_the_foot(owner, second, "quote", "Work")) == ["qqx"]


def test_the_cards_of_a_quote_can_be_sized_before_any_quote_is_shown(
    qtbot: QtBot, two_drafts: tuple[Path, list[int]], tmp_path: Path
) -> None:
    (path := tmp_path / "sized.riserbook").write_bytes(two_drafts[0].read_bytes())
    with open_company(path, backup=False) as company:
        card = WorkCard(QuoteEditing(Desk(company)), "Work", "")
        qtbot.addWidget(card)
        card.model.set_rows([])
        assert card._part() is None


@pytest.mark.parametrize("back", ["escape", "escape in the cell"])
def test_what_follows_a_text_taken_back_at_once_loses_no_letter(owner: Person, two_drafts, back: str) -> None:
    table = _at_the_foot(owner, two_drafts[1][0], "quote", "Work")
    _machine("zzq\n")
    owner.settle()
    table.setCurrentIndex(table.rows_model().index(table.rows_model().rowCount() - 2, 0))
    if back == "escape in the cell":
        QTest.keyClick(QApplication.focusWidget(), Key.Key_F2)
    QTest.keyClick(QApplication.focusWidget(), Key.Key_Escape)
    _machine("q")
    owner.settle()  # as long as a person takes from one key to the next
    _machine("qx\n")
    owner.settle()
    assert _red(table) == ["qqx"]
